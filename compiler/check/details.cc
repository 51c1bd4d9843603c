// What the fitter asks: names, domains, units to show.
#include <fmt/format.h>

#include <algorithm>
#include <unordered_map>

#include "compiler/check/names.hpp"
#include "grammar/text/letters.hpp"

namespace lacestay::compiler {

// A name that was declared before is an error that shows the first one.
bool Checker::fresh_name(const std::string& name, const grammar::Span& span, const char* what,
                         const std::vector<std::pair<std::string, grammar::Span>>& known) {
  for (const auto& [other, where] : known) {
    if (other != name) continue;
    diagnostics
        .add("names-2", span, fmt::format("There are two {} called '{}'.", what, name),
             "give one of them another name, or take it out")
        .notes.push_back({"the first one", where});
    return false;
  }
  return true;
}

bool Checker::members_once(const grammar::Domain& domain, Scale& scale) {
  // Past this, naming them all in a message, or in a chart, helps nobody.
  constexpr std::size_t most_members = 1000;
  if (domain.members.size() > most_members) {
    diagnostics.add("limits-2", domain.span,
                    fmt::format("There are {} members here; the most is {}.", domain.members.size(), most_members),
                    "join members that are treated alike");
    return false;
  }
  scale.kind = domain.kind == grammar::Domain::Kind::grades ? Scale::Kind::grades : Scale::Kind::choice;
  std::vector<std::pair<std::string, grammar::Span>> seen;
  for (const auto& word : domain.members) {
    if (!fresh_name(word.text, word.span, "members", seen)) return false;
    seen.emplace_back(word.text, word.span);
    scale.members.push_back(word.text);
  }
  return read_shown_members(domain, scale);
}

// The words shown for members are read in stock files and details, so they must tell the members apart there.
bool Checker::read_shown_members(const grammar::Domain& domain, Scale& scale) {
  std::unordered_map<std::string, std::size_t> whose;
  for (std::size_t i = 0; i < domain.members.size(); ++i) whose.emplace(grammar::plain_name(scale.members[i]), i);
  for (std::size_t i = 0; i < domain.members.size(); ++i) {
    const auto& words = domain.members[i].shown_as;
    if (!words) continue;
    scale.shown_as.resize(domain.members.size());
    scale.shown_as[i] = words->text;
    const auto read_as = grammar::plain_name(words->text);
    if (read_as.empty()) {
      diagnostics.add("names-2", words->span, "These words hold no letter and no digit, so they name no member.",
                      "write the words that stand on the item, as in: x_large shown as \"XL\"");
      return false;
    }
    const auto [other, fresh] = whose.emplace(read_as, i);
    if (fresh || other->second == i) continue;
    const auto& first = domain.members[other->second];
    const bool its_name = grammar::plain_name(first.text) == read_as;
    diagnostics
        .add("names-2", words->span,
             its_name
                 ? fmt::format("'{}' would be read as '{}', which is another member.", words->text, first.text)
                 : fmt::format("'{}' and '{}' would both be read as these words.", first.text, domain.members[i].text),
             "give one of the two other words")
        .notes.push_back({"the other one", its_name ? first.span : first.shown_as->span});
    return false;
  }
  return true;
}

void Checker::read_shown(const grammar::Domain& domain, Scale& scale) {
  if (domain.shown_in.empty()) return;
  std::vector<ShownUnit> units;
  for (const auto& word : domain.shown_in) {
    const auto unit = grammar::unit_named(word.text);
    const auto found = unit ? dimension_of(*unit) : Dimension::money;
    if (scale.kind != Scale::Kind::amount || found != scale.dimension) {
      if (scale.kind == Scale::Kind::amount)
        diagnostics.add(
            "units-2", word.span,
            fmt::format("'{}' is no unit of {}, which is what stands here.", word.text, a_dimension(scale.dimension)),
            "name a unit of the range's own kind");
      else
        diagnostics.add("units-2", word.span, "Only an amount is shown in a unit.", "leave the shown in out");
      return;
    }
    units.push_back({unit, unit ? "" : word.text});
  }
  if (units.size() == 2) {
    const auto first = ticks_per(units[0]), second = ticks_per(units[1]);
    const auto& words = domain.shown_in;
    const bool turned = second > first && second % first == 0;
    if (first <= second || first % second != 0) {
      diagnostics.add("units-2", words[1].span,
                      fmt::format("'{}' and '{}' don't go together in this order.", words[0].text, words[1].text),
                      turned
                          ? fmt::format("name the larger one first: shown in {} and {}", words[1].text, words[0].text)
                          : fmt::format("show one of them alone: shown in {}", words[0].text));
      return;
    }
  }
  scale.shown = std::move(units);
}

// What an amount is measured and shown in, from the last quantity of what it can be.
void Checker::take_units(const grammar::Quantity& last, const grammar::Domain& domain, Scale& scale) {
  scale.dimension = dimension_of(last);
  scale.shown = units_of(last);
  scale.money_digits = grammar::currency_digits(policy.currency).value_or(2);
  scale.whole = domain.whole;
  if (domain.whole && scale.dimension == Dimension::age) scale.bare_unit = last.parts.back().unit;
  if (scale.bare_unit == grammar::Unit::month) scale.bare_unit.reset();
}

// How the ends of a range are written, where that is in the unit they are shown in.
void Checker::note_ends(const grammar::Interval& interval, Scale& scale) {
  for (const auto* end : {&interval.from, &interval.to})
    if (const auto* quantity = std::get_if<grammar::Quantity>(end)) note_written(*quantity, scale);
}

void Checker::note_written(const grammar::Quantity& quantity, Scale& scale) {
  const auto& part = quantity.parts.back();
  auto& unit = scale.shown.back();
  if (unit.same_unit({part.unit, part.currency})) unit.note(part);
}

// Fills the scale and the two ends in ticks.
void Checker::read_domain(const grammar::Domain& domain, Scale& scale, std::int64_t& low, std::int64_t& high) {
  const auto& interval = *domain.interval;
  if (std::holds_alternative<grammar::Date>(interval.to)) {
    scale.kind = Scale::Kind::day;
    scale.dimension = Dimension::day;
    scale.shown = {ShownUnit{}};
  } else if (const auto* quantity = std::get_if<grammar::Quantity>(&interval.to)) {
    take_units(*quantity, domain, scale);
  } else {
    diagnostics.add("domain-1", interval.span, "Two numbers or two days should stand here.",
                    "write it as in: 12 to 180 kg; or use grades or choice for words");
    return;
  }
  // The upper end is checked first: the unit is written there, and the lower end takes it over, so an error is reported
  // once.
  const auto to = amount(interval.to, scale);
  const auto from = to ? amount(interval.from, scale) : std::nullopt;
  if (!from || !to) return;
  low = *from, high = *to;
  if (low > high)
    diagnostics.add("domain-1", interval.span, larger_first(scale.write(low), scale.write(high)),
                    fmt::format("write the smaller first, if both are right: {} to {}; or mend the end that is wrong",
                                scale.write(high), scale.write(low)));
}

namespace {

bool same_units(const std::vector<ShownUnit>& some, const std::vector<ShownUnit>& others) {
  return std::equal(some.begin(), some.end(), others.begin(), others.end(),
                    [](const auto& a, const auto& b) { return a.same_unit(b); });
}

}  // namespace

void Checker::note_edge(ColumnId column, const grammar::Value& value, std::int64_t at) {
  const auto* quantity = std::get_if<grammar::Quantity>(&value);
  if (quantity) note_edge(column, units_of(*quantity), at);
}

void Checker::note_edge(ColumnId column, const std::vector<ShownUnit>& units, std::int64_t at) {
  auto& scale = policy.scale_of(column);
  if (scale.kind != Scale::Kind::amount) return;
  const bool own = same_units(units, scale.shown);
  const auto bare = [](const ShownUnit& unit) { return !unit.unit && unit.currency.empty(); };
  if (own) scale.shown.back().note(units.back());
  if (!own && std::any_of(units.begin(), units.end(), bare)) return;
  auto& written = written_edges_[{column, at}];
  if (own || written.empty()) written = units;
}

void Checker::show_edges_as_written() {
  // A plain number that a formula works out, and that is compared with shares alone, is one.
  const ShownUnit share{grammar::Unit::percent, ""};
  const auto is_formula = [&](ColumnId column) {
    const auto& known = policy.tables.columns[column];
    return known.worked_out && !policy.tables.worked_out[known.detail].formula.empty();
  };
  std::map<ColumnId, bool> shares;
  for (const auto& [edge, units] : written_edges_)
    shares.try_emplace(edge.first, is_formula(edge.first)).first->second &= units.front().same_unit(share);
  for (const auto& [column, is_share] : shares)
    if (is_share) policy.scale_of(column).shown = {share};
  for (const auto& [edge, units] : written_edges_) {
    auto& scale = policy.scale_of(edge.first);
    if (show(edge.second, scale.dimension, units, scale.money_digits) != scale.write(edge.second))
      scale.edges.push_back({edge.second, units});
  }
}

void Checker::declare_details() {
  std::vector<std::pair<std::string, grammar::Span>> known;
  each<grammar::Ask>([&](const grammar::Ask& ask, const grammar::Item& item, std::size_t) {
    DetailText text;
    text.name = ask.name.text;
    text.question = ask.question ? ask.question->text : "";
    text.may_change = ask.may_change;
    text.may_be_blank = ask.may_be_blank;
    text.span = item.head;
    AskedDomain domain;
    if (!fresh_name(text.name, ask.name.span, "details", known)) return;
    known.emplace_back(text.name, ask.name.span);
    const auto before = diagnostics.size();
    if (ask.domain.kind == grammar::Domain::Kind::amount) {
      read_domain(ask.domain, text.scale, domain.lowest, domain.highest);
      const auto& scale = text.scale;
      domain.plain_number = scale.kind == Scale::Kind::amount && scale.dimension == Dimension::number;
      if (scale.dimension == Dimension::age && !scale.whole)
        diagnostics.add("domain-2", ask.domain.span, "Years and months are asked whole.",
                        fmt::format("write {}, whole", ask.domain.span.text()));
      if (scale.whole && scale.kind == Scale::Kind::amount)
        domain.grain = ticks_per(scale.shown.back(), scale.money_digits);
      if (diagnostics.size() == before && (domain.lowest % domain.grain != 0 || domain.highest % domain.grain != 0)) {
        const auto& ends = *ask.domain.interval;
        diagnostics.add("units-6", span_of(domain.lowest % domain.grain != 0 ? ends.from : ends.to),
                        fmt::format("{} is asked in whole units, but this end of its range is not whole.", text.name),
                        "write whole ends");
      }

    } else {
      domain.members = true;
      members_once(ask.domain, text.scale);
      domain.highest = static_cast<std::int64_t>(text.scale.members.size()) - 1;
    }
    if (diagnostics.size() != before) {
      columns.emplace(text.name, told_column);
      return;
    }
    if (ask.give_or_take && text.scale.kind == Scale::Kind::amount)
      text.precision = ticks(*ask.give_or_take, due_for(text.scale));
    else if (ask.give_or_take)
      diagnostics.add("domain-3", ask.give_or_take->span, "Only a measured number has a give or take.",
                      "leave the give or take out");
    read_shown(ask.domain, text.scale);
    Column column;
    column.detail = static_cast<std::uint16_t>(policy.details.size());
    if (domain.members) column.places = static_cast<std::uint32_t>(text.scale.members.size());
    columns.emplace(text.name, static_cast<ColumnId>(policy.tables.columns.size()));
    policy.tables.columns.push_back(column);
    policy.tables.asked.push_back(domain);
    policy.details.push_back(std::move(text));
    if (const auto& ends = ask.domain.interval) {
      note_edge(columns.at(ask.name.text), ends->from, domain.lowest);
      note_edge(columns.at(ask.name.text), ends->to, domain.highest);
    }
  });
}

// A pack says what it needs the policy to ask or work out, of which kind, and in which grain it is asked.
void Checker::check_reliance() {
  each<grammar::ReliesOn>([&](const grammar::ReliesOn& relies, const grammar::Item& item, std::size_t) {
    const auto column = column_named(relies.detail);
    if (!column || !relies.unit) return;
    const auto& known = policy.tables.columns[*column];
    const auto& scale = policy.scale_of(*column);
    const auto unit = grammar::unit_named(relies.unit->text);
    const bool same = unit && scale.kind == Scale::Kind::amount && scale.dimension == dimension_of(*unit);
    const bool whole = !relies.whole || known.worked_out ||
                       (scale.whole && same && ticks_per({unit, ""}) == policy.tables.asked[known.detail].grain);
    if (same && whole) return;
    relied_on_otherwise.insert(*column);
    diagnostics
        .add("parts-5", item.head,
             fmt::format("This pack relies on {}{} {}, but the policy {} otherwise.", policy.name_of(*column),
                         relies.whole ? " in whole" : " in", relies.unit->text,
                         known.worked_out ? "works it out" : "asks it"),
             fmt::format("{} as the pack relies on it, or leave the pack out",
                         known.worked_out ? "work it out" : "ask it"))
        .notes.push_back({known.worked_out ? "worked out here" : "asked here",
                          known.worked_out ? policy.worked_out[known.detail].span : policy.details[known.detail].span});
  });
}

}  // namespace lacestay::compiler
