#include "runtime/compare/comparison.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>
#include <stdexcept>

#include "compiler/compare/items.hpp"
#include "compiler/values/names.hpp"
#include "grammar/tree/units.hpp"
#include "runtime/chart/findings.hpp"
#include "runtime/compare/matched_outcome.hpp"

namespace lacestay::runtime {

using compiler::both_sides;
using compiler::OfSides;
using compiler::Side;
using compiler::Table;

namespace {

EditionLine edition_line(const compiler::Policy& policy) {
  EditionLine line;
  line.policy = policy.title;
  line.edition = policy.edition;
  line.in_force = in_force(policy);
  line.money = policy.currency;
  return line;
}

// Members as a policy declares them: "small, x_large shown as "XL"".
std::string declared(const compiler::Scale& scale) {
  std::vector<std::string> all;
  for (std::size_t i = 0; i < scale.members.size(); ++i) {
    const auto& shown = scale.shown_member(i);
    all.push_back(scale.members[i] + (shown == scale.members[i] ? "" : fmt::format(" shown as \"{}\"", shown)));
  }
  return compiler::listed(all);
}

// What a detail accepts: "4 to 90 years", "new, improving, league". With `written` as it was written, else in its
// units.
std::string domain_of(const compiler::Policy& policy, std::size_t detail, bool written) {
  const auto& scale = policy.details[detail].scale;
  const auto& domain = policy.tables.asked[detail];
  if (scale.has_members()) return declared(scale);
  const auto end = [&](std::int64_t at) { return written ? scale.write_edge(at) : scale.write(at); };
  const auto from = end(domain.lowest), to = end(domain.highest);
  return fmt::format("{} to {}{}", from, to, scale.whole ? ", whole" : "");
}

// What a property can be.
std::string answers_of(const compiler::Policy& policy, std::size_t property) {
  const auto& text = policy.properties[property];
  const auto& space = policy.tables.answers[property];
  if (text.scale.has_members()) return (space.ordered ? "grades " : "choice ") + declared(text.scale);
  if (!text.sizes.empty()) {
    std::vector<std::string> sizes;
    for (const auto size : text.sizes) sizes.push_back(text.scale.write(size));
    return "one of " + compiler::listed(sizes, "or");
  }
  const auto step = text.scale.kind == compiler::Scale::Kind::amount
                        ? compiler::show(text.step, text.scale.dimension, text.scale.shown, text.scale.money_digits)
                        : std::string("1");
  return fmt::format("{}{} step {}", space.band ? "band " : "", text.write(0, space.steps - 1), step);
}

// A box as conditions in the order of the names of what they look at: however a line was laid out, and in whatever
// order the details are asked.
std::string in_order_of_names(const compiler::Policy& policy, compiler::Box box) {
  std::sort(box.begin(), box.end(),
            [&](const auto& a, const auto& b) { return policy.name_of(a.column) < policy.name_of(b.column); });
  return as_conditions(policy, policy.tables, box);
}

std::string nobody_of(const compiler::Policy& policy, const compiler::ShutOut& each) {
  return fmt::format("{} \"{}\"", in_order_of_names(policy, each.box), policy.nobody[each.line].sentence);
}

// A `make sure` line as the language has it.
std::string claim_of(const compiler::Policy& policy, const compiler::Sure& sure) {
  using Kind = compiler::Sure::Kind;
  const auto subject = [&] {
    if (sure.of_piece()) return policy.pieces[sure.target].name;
    const auto& name = policy.name_of(policy.tables.tables[policy.tables.property_table(sure.target)]);
    return sure.advice_alone ? "the advice of " + name : name;
  };
  const auto says = [&]() -> std::string {
    const auto value = [&] { return policy.properties[sure.target].write_for_policy(sure.low, sure.high); };
    switch (sure.kind) {
      case Kind::needed: return "is needed";
      case Kind::left_out: return "is left out";
      case Kind::at_least: return "is at least " + value();
      case Kind::at_most: return "is at most " + value();
      case Kind::within: return "is within " + value();
      case Kind::one_of: {
        std::string members;
        for (const auto member : sure.members)
          members += (members.empty() ? "" : " or ") + policy.properties[sure.target].scale.members[member];
        return "is " + members;
      }
      case Kind::never_falls: return fmt::format("never falls as {} rises", policy.details[sure.detail].name);
      case Kind::never_rises: return fmt::format("never rises as {} rises", policy.details[sure.detail].name);
    }
    return "";
  };
  const auto conditions = in_order_of_names(policy, sure.when);
  return fmt::format("{} {}{}", subject(), says(), conditions.empty() ? "" : " for " + conditions);
}

class Lines {
 public:
  Lines(const Engine& earlier, const Engine& later, const compiler::Difference& difference)
      : engines_{&earlier, &later}, difference_(difference), editions_(*difference.editions) {}

  Comparison run() {
    Comparison all;
    all.earlier = edition_line(policy(Side::earlier));
    all.later = edition_line(policy(Side::later));
    all.apart = editions_.apart();
    for (const auto side : both_sides)
      for (const auto& each : difference_.shut_out[side])
        (side == Side::earlier ? all.let_in_now : all.shut_out_now).push_back(line_of(side, each));
    for (const auto& change : difference_.changes)
      all.changes.push_back(lines_of<BecomesLine>(
          name(change.answer), change,
          [&](const auto& statement, const auto& becomes) { return line_of(change.answer, statement, becomes); }));
    for (const auto& change : difference_.items)
      all.items.push_back(lines_of<ItemsBecomeLine>(
          policy(Side::later).pieces[change.piece.later].name, change,
          [&](const auto& statement, const auto& becomes) { return line_of(change.piece, statement, becomes); }));
    all.same = unchanged();
    about_details(all.asked);
    about_kit(all.asked);
    about_texts(all.texts);
    about_safety(all.held_to);
    about_sures(all.held_to);
    about_nobody(all.held_to);
    about_shop(all.shop);
    return all;
  }

 private:
  const Engine& engine(Side side) const { return *engines_[side]; }
  const compiler::Policy& policy(Side side) const { return engines_[side]->policy(); }

  std::string name(const compiler::MatchedAnswer& answer) const {
    return name_of(engine(Side::earlier), engine(Side::later), answer);
  }

  // A piece by its name alone where nothing about it changes.
  std::vector<SameLine> unchanged() const {
    const auto piece_of = [&](const compiler::MatchedAnswer& answer) {
      const auto side = answer.target.later ? Side::later : Side::earlier;
      const auto target = *answer.target[side];
      return policy(side)
          .pieces[answer.kind == Table::Kind::piece ? target : policy(side).properties[target].piece]
          .name;
    };
    std::set<std::string> touched;
    for (const auto& change : difference_.changes)
      if (change.answer.kind != Table::Kind::caution) touched.insert(piece_of(change.answer));
    for (const auto& change : difference_.items) touched.insert(policy(Side::later).pieces[change.piece.later].name);
    std::vector<SameLine> lines;
    for (const auto& answer : difference_.same) {
      if (answer.kind == Table::Kind::caution) continue;
      const bool whole = touched.count(piece_of(answer)) == 0;
      if (answer.kind == Table::Kind::property && !whole) lines.push_back({name(answer), false});
      if (answer.kind == Table::Kind::piece) lines.push_back({name(answer), !whole});
    }
    return lines;
  }

  template <typename Line, typename What, typename Make>
  ChangeLinesOf<Line> lines_of(std::string about, const compiler::Told<What>& told, Make line_of) const {
    ChangeLinesOf<Line> lines;
    lines.answer = std::move(about);
    lines.left_out = told.left_out;
    lines.settled = told.settled;
    for (const auto& statement : told.statements) {
      StatementLineOf<Line> line;
      const auto who = in_words(difference_.space, statement.who);
      line.who = who.empty() ? "every player" : who;
      for (const auto& box : statement.but_not) line.but_not.push_back(in_words(difference_.space, box));
      line.share = statement.share;
      for (const auto& becomes : statement.becomes) line.becomes.push_back(line_of(statement, becomes));
      lines.statements.push_back(std::move(line));
    }
    return lines;
  }

  BecomesLine line_of(const compiler::MatchedAnswer& answer, const compiler::Statement& statement,
                      const compiler::Becomes& becomes) const {
    BecomesLine line;
    OfSides<std::vector<TableId>> looked_at;
    for (const auto side : both_sides) {
      const auto& outcome = side == Side::earlier ? becomes.before : becomes.after;
      (side == Side::earlier ? line.before : line.after) = text_of(policy(side), answer, side, outcome);
      if (!answer.target[side]) continue;
      const auto id = answer.table_in(policy(side).tables, side);
      looked_at[side].push_back(id);
      if (!becomes.settled) continue;
      const auto readings = editions_.readings_in(side, becomes.player);
      auto scratch = engine(side).scratch();
      engine(side).place(readings, scratch);
      if (engine(side).outcome(id, scratch) != outcome) throw disagreed(name(answer));
      auto& why = side == Side::earlier ? line.why_before : line.why_after;
      for (auto& part : explain(engine(side), player_of(readings), id).parts)
        if (speaks(part)) why.push_back(std::move(part));
    }
    add_changed(looked_at, statement.who, becomes, line);
    return line;
  }

  ShutOutLine line_of(Side side, const compiler::ShutOutAlone& each) const {
    ShutOutLine line;
    line.sentence = policy(side).nobody[each.line].sentence;
    line.settled = each.settled;
    for (const auto& box : each.who) line.who.push_back(in_words(difference_.space, box));
    if (each.player.empty()) return line;
    for (const auto other : both_sides) {
      auto scratch = engine(other).scratch();
      engine(other).place(editions_.readings_in(other, each.player), scratch);
      if (engine(other).can_be(scratch) == (other == side)) throw disagreed("who cannot be");
    }
    const auto& details = difference_.space.details;
    const auto looked = difference_.space.tables.asked_under(each.who.front());
    for (std::size_t i = 0; i < details.size(); ++i) {
      const std::pair value(details[i].name, details[i].scale.write_exactly(each.player[i]));
      line.complete.push_back(value);
      if (looked[i]) line.player.push_back(value);
    }
    return line;
  }

  ItemsBecomeLine line_of(const OfSides<std::uint32_t>& piece,
                          const compiler::StatementOf<compiler::ItemsBecome>& statement,
                          const compiler::ItemsBecome& becomes) const {
    ItemsBecomeLine line;
    line.some_lost = becomes.only_in.earlier;
    line.some_gained = becomes.only_in.later;
    OfSides<std::vector<TableId>> looked_at;
    for (const auto side : both_sides) {
      const auto& text = policy(side).pieces[piece[side]];
      for (auto property = text.first_property; property < text.first_property + text.properties; ++property)
        looked_at[side].push_back(static_cast<TableId>(policy(side).tables.property_table(property)));
      const auto& sample = becomes.sample[side];
      if (!sample) continue;
      for (const auto other : both_sides)
        if (stage_for(other, piece[other], becomes.player, *sample) !=
            (other == side ? std::optional(sample->stage) : std::nullopt))
          throw disagreed("what may be handed over of " + text.name);
      (side == Side::earlier ? line.lost : line.gained) = item_line(side, piece[side], *sample);
    }
    add_changed(looked_at, statement.who, becomes, line);
    return line;
  }

  static std::logic_error disagreed(const std::string& about) {
    return std::logic_error(fmt::format(
        "the comparison and the engine disagree about {}; this is a fault of lacestay, please report it with both "
        "policies",
        about));
  }

  std::optional<std::size_t> stage_for(Side side, std::uint32_t piece, const compiler::Readings& player,
                                       const compiler::SampleItem& item) const {
    auto scratch = engine(side).scratch();
    engine(side).place(editions_.readings_in(side, player), scratch);
    const auto rows = [&](TableId table) {
      const auto applying = engine(side).rows(table, engine(side).look_up(table, scratch.places));
      return std::vector<std::uint32_t>(applying.begin(), applying.end());
    };
    return compiler::handed_over_at(policy(side), side, piece, rows, item);
  }

  ItemLine item_line(Side side, std::uint32_t piece, const compiler::SampleItem& item) const {
    using Label = compiler::SampleItem::Label;
    ItemLine line;
    for (const auto& each : item.values) {
      if (each.free) continue;
      // An edition that has no such property, or no such member, lets it be anything, or nothing.
      const auto from = each.value[side] ? side : side == Side::earlier ? Side::later : Side::earlier;
      const auto& property = policy(from).properties[*each.property[from]];
      line.values.emplace_back(property.name, property.scale.write(*each.value[from]));
    }
    line.used = item.used;
    line.label = item.label == Label::in_date   ? "in date"
                 : item.label == Label::undated ? "without a date"
                                                : "out of date";
    line.not_covered = item.not_covered;
    if (item.price)
      line.price = compiler::show(*item.price, compiler::Dimension::money, {{std::nullopt, policy(side).currency}},
                                  grammar::currency_digits(policy(side).currency).value_or(2));
    using Age = compiler::SampleItem::Age;
    const auto years = fmt::format("{} year{} ago", item.years, item.years == 1 ? "" : "s");
    if (item.age == Age::within) line.made = "made at most " + years;
    if (item.age == Age::over) line.made = "made over " + years;
    if (item.age == Age::not_told) line.made = "without the day it was made";
    const auto stage = compiler::stages_of(policy(side), piece)[item.stage];
    line.by = std::string(compiler::line_of(policy(side), piece, stage).text());
    return line;
  }

  // Where it changes, and the player: first what the statement speaks of, then whatever else these tables look at.
  void add_changed(const OfSides<std::vector<TableId>>& looked_at, const compiler::Box& who,
                   const compiler::Changed& changed, ChangedLine& line) const {
    for (const auto& box : changed.where) {
      const auto words = in_words(difference_.space, box);
      if (!words.empty()) line.where.push_back(words);
    }
    line.settled = changed.settled;
    if (!changed.settled) return;
    const auto& details = difference_.space.details;
    std::vector<bool> told(details.size());
    const auto add = [&](std::size_t detail) {
      if (told[detail]) return;
      told[detail] = true;
      line.player.emplace_back(details[detail].name, details[detail].scale.write_exactly(changed.player[detail]));
    };
    const auto& space = difference_.space.tables;
    for (const auto& cell : who) space.each_asked_under(cell.column, add);
    for (const auto& box : changed.where)
      for (const auto& cell : box) space.each_asked_under(cell.column, add);
    for (const auto side : both_sides) {
      const auto& tables = policy(side).tables;
      for (const auto table : looked_at[side]) {
        const auto looked = tables.asked_under(tables.tables[table]);
        for (std::size_t i = 0; i < details.size(); ++i)
          if (const auto own = editions_.detail_in(side)[i]; own && looked[*own]) add(i);
      }
    }
    for (std::size_t i = 0; i < details.size(); ++i)
      line.complete.emplace_back(details[i].name, details[i].scale.write_for_policy(changed.player[i]));
  }

  void about_details(std::vector<AlsoLine>& lines) const {
    const auto& earlier = editions_.detail_in(Side::earlier);
    const auto& later = editions_.detail_in(Side::later);
    for (std::size_t i = 0; i < earlier.size(); ++i) {
      AlsoLine line{difference_.space.details[i].name, "", ""};
      const auto asked = [&](bool written) {
        if (earlier[i]) line.before = domain_of(policy(Side::earlier), *earlier[i], written);
        if (later[i]) line.after = domain_of(policy(Side::later), *later[i], written);
        return line.before != line.after;
      };
      if (asked(false) && asked(true)) lines.push_back(line);
    }
  }

  // Properties with other answers, and those of one edition alone; pieces alone are told among the changes.
  void about_kit(std::vector<AlsoLine>& lines) const {
    const auto full_name = [](const compiler::Policy& policy, std::size_t i) {
      return policy.name_of(policy.tables.tables[policy.tables.property_table(i)]);
    };
    const auto& earlier = policy(Side::earlier);
    const auto& later = policy(Side::later);
    std::vector<bool> matched(later.properties.size());
    for (std::size_t i = 0; i < earlier.properties.size(); ++i) {
      AlsoLine line{full_name(earlier, i), answers_of(earlier, i), ""};
      for (std::size_t k = 0; k < later.properties.size(); ++k)
        if (full_name(later, k) == line.about) matched[k] = true, line.after = answers_of(later, k);
      if (line.before != line.after) lines.push_back(std::move(line));
    }
    for (std::size_t k = 0; k < matched.size(); ++k)
      if (!matched[k]) lines.push_back({full_name(later, k), "", answers_of(later, k)});
  }

  void about_texts(std::vector<AlsoLine>& lines) const {
    for (const auto& [a, b] : difference_.rules) {
      const auto& before = policy(Side::earlier).rules[a];
      const auto& after = policy(Side::later).rules[b];
      const auto add = [&](const std::string& what, const std::string& was, const std::string& is) {
        if (was != is) lines.push_back({what, was, is});
      };
      add("name of a rule", before.name, after.name);
      add(fmt::format("reason of {}", after.name), before.because, after.because);
      add(fmt::format("source of {}", after.name), before.source, after.source);
      add(fmt::format("caution of {}", after.name), before.caution, after.caution);
    }
  }

  // A safety rule can't be outranked by the shop's other rules; an edition in which it is none may answer alike and yet
  // protect nobody from the next edit.
  void about_safety(std::vector<AlsoLine>& lines) const {
    const auto safety_in = [&](Side side) {
      std::set<std::string> names;
      for (const auto& rule : policy(side).rules)
        if (rule.safety) names.insert(rule.name);
      return names;
    };
    auto before = safety_in(Side::earlier);
    const auto after = safety_in(Side::later);
    // One that has another name now is still the same rule.
    for (const auto& [a, b] : difference_.rules)
      if (before.erase(policy(Side::earlier).rules[a].name) != 0) before.insert(policy(Side::later).rules[b].name);
    differences_of("a safety rule", before, after, lines);
  }

  void about_sures(std::vector<AlsoLine>& lines) const {
    const auto sures_in = [&](Side side) {
      std::set<std::string> all;
      for (const auto& sure : policy(side).sures) all.insert(claim_of(policy(side), sure));
      return all;
    };
    differences_of("made sure", sures_in(Side::earlier), sures_in(Side::later), lines);
  }

  void about_nobody(std::vector<AlsoLine>& lines) const {
    const auto lines_in = [&](Side side) {
      std::set<std::string> all;
      for (const auto& each : policy(side).tables.shut_out) all.insert(nobody_of(policy(side), each));
      return all;
    };
    differences_of("nobody has", lines_in(Side::earlier), lines_in(Side::later), lines);
  }

  static void differences_of(const char* about, const std::set<std::string>& before, const std::set<std::string>& after,
                             std::vector<AlsoLine>& lines) {
    for (const auto& each : before)
      if (after.count(each) == 0) lines.push_back({about, each, ""});
    for (const auto& each : after)
      if (before.count(each) == 0) lines.push_back({about, "", each});
  }

  // By what each is about, however the items are ordered.
  void about_shop(std::vector<AlsoLine>& lines) const {
    const auto &earlier = policy(Side::earlier), &later = policy(Side::later);
    if (earlier.currency != later.currency) lines.push_back({"money", earlier.currency, later.currency});
    std::map<std::string, std::pair<std::string, std::string>> texts;
    const auto add = [](std::string& text, const std::string& more) { text += (text.empty() ? "" : "; ") + more; };
    for (const auto& item : earlier.shop.items) add(texts[item.about].first, item.text);
    for (const auto& item : later.shop.items) add(texts[item.about].second, item.text);
    // What an item begins with is said by what it is about.
    const auto without = [](const std::string& about, const std::string& text) {
      for (const auto* between : {"; ", " is "})
        if (text.rfind(about + between, 0) == 0) return text.substr(about.size() + std::string_view(between).size());
      return text;
    };
    for (const auto& [about, text] : texts)
      if (text.first != text.second) lines.push_back({about, without(about, text.first), without(about, text.second)});
  }

  OfSides<const Engine*> engines_;
  const compiler::Difference& difference_;
  const compiler::Editions& editions_;
};

}  // namespace

std::string ItemLine::what() const {
  std::vector<std::string> all;
  for (const auto& [property, value] : values) all.push_back(property + " " + value);
  if (used) all.emplace_back("used");
  if (label != "in date") all.push_back(label);
  for (const auto& detail : not_covered) all.push_back("not covering " + detail);
  if (!price.empty()) all.push_back("priced " + price);
  if (!made.empty()) all.push_back(made);
  std::string text;
  for (const auto& each : all) text += (text.empty() ? values.empty() ? "one that is " : "" : ", ") + each;
  return text;
}

std::string name_of(const Engine& earlier, const Engine& later, const compiler::MatchedAnswer& answer) {
  const auto side = answer.target.later ? Side::later : Side::earlier;
  const auto& policy = (side == Side::later ? later : earlier).policy();
  return policy.name_of(policy.tables.tables[answer.table_in(policy.tables, side)]);
}

std::string in_words(const compiler::Policy& policy, const compiler::Box& box) {
  std::string out;
  for (const auto& cell : box) {
    std::vector<std::string> ranges;
    const auto& scale = policy.scale_of(cell.column);
    if (scale.has_members())
      for (const auto member : policy.tables.columns[cell.column].members_in(cell.places, scale.members.size()))
        ranges.push_back(scale.shown_member(member));
    else
      for (const auto& range : cell.places) ranges.push_back(policy.write_places(cell.column, {range}));
    out += fmt::format("{}{} {}", out.empty() ? "" : ", ", policy.name_of(cell.column), compiler::listed(ranges, "or"));
  }
  return out;
}

Comparison comparison_of(const Engine& earlier, const Engine& later, const compiler::Difference& difference) {
  return Lines(earlier, later, difference).run();
}

}  // namespace lacestay::runtime
