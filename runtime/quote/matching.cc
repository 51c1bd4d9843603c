#include "runtime/quote/matching.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "compiler/law/law.hpp"
#include "compiler/space/reach.hpp"

namespace lacestay::runtime {

using compiler::Int128;
using compiler::Requirement;
using compiler::Table;

namespace {

// The most near misses listed for a piece.
constexpr std::size_t most_near = 3;

class Matching {
 public:
  Matching(const Engine& engine, const Player& player, const std::vector<Possible>& possible, const Stock& stock,
           std::int64_t today)
      : engine_(engine),
        policy_(engine.policy()),
        player_(player),
        stock_(stock),
        today_(today),
        possible_(possible),
        of_property_(policy_.properties.size()),
        of_piece_(policy_.pieces.size()) {
    for (TableId id = 0; id < possible_.size(); ++id) {
      const auto& table = policy_.tables.tables[id];
      if (table.kind == Table::Kind::property) of_property_[table.target] = id;
      if (table.kind == Table::Kind::piece) of_piece_[table.target] = id;
    }
    std::vector<compiler::ValueRange> ranges;
    for (std::size_t i = 0; i < player.readings.size(); ++i) {
      const auto& domain = policy_.tables.asked[i];
      ranges.push_back({player.readings[i].value_or(domain.lowest), player.readings[i].value_or(domain.highest)});
    }
    compiler::Reach reach(policy_.tables);
    (void)reach.over(ranges);
    for (std::size_t i = 0; i < policy_.tables.columns.size(); ++i) measured_.push_back(reach.value(i));
  }

  std::vector<Match> run() {
    std::vector<Match> all;
    for (std::uint32_t piece = 0; piece < policy_.pieces.size(); ++piece) {
      if (std::binary_search(player_.owns.begin(), player_.owns.end(), piece)) continue;
      const auto id = of_piece_[piece];
      bool in = false, out = false;
      for (const auto found : possible_[id].classes)
        (compiler::in_kit(engine_.outcome(id, found).standing) ? in : out) = true;
      if (!in) continue;
      Match made;
      made.piece = piece;
      made.suggested = std::none_of(possible_[id].classes.begin(), possible_[id].classes.end(), [&](auto found) {
        return engine_.outcome(id, found).standing == Standing::needed;
      });
      if (out) {
        made.kind = Match::Kind::not_certain;
        made.not_known = unknown_under(id);
      } else {
        choose(made);
      }
      all.push_back(std::move(made));
    }
    return all;
  }

 private:
  // What is asked of an item's property: steps as the advice has them, moved by a line of the policy; or nothing.
  struct Asked {
    bool open = false;  // any will do
    std::int64_t low = 0, high = 0;
  };

  std::vector<std::string> unknown_under(TableId id) const {
    std::vector<std::string> names;
    const auto looked_at = policy_.tables.asked_under(policy_.tables.tables[id]);
    for (std::size_t i = 0; i < looked_at.size(); ++i)
      if (looked_at[i] && !player_.readings[i]) names.push_back(policy_.details[i].name);
    return names;
  }

  void choose(Match& made) {
    const auto& accepts = policy_.shop.accepts[made.piece];
    if (!accepts) {
      made.kind = Match::Kind::not_sold;
      return;
    }
    if (!settle(*accepts, made)) return;
    if (take(*accepts, made)) return;
    look_elsewhere(*accepts, made);
    find_near(*accepts, made);
  }

  // The policy's `if none in stock` lines, in their order.
  void look_elsewhere(const compiler::Acceptance& accepts, Match& made) {
    for (std::size_t i = 0; i < accepts.instead.size(); ++i) {
      const auto& line = accepts.instead[i];
      made.instead = i;
      switch (line.kind) {
        case compiler::Instead::Kind::refer: made.kind = Match::Kind::refer; return;
        case compiler::Instead::Kind::order: made.kind = Match::Kind::order; return;
        case compiler::Instead::Kind::any: {
          const auto was = asked_;
          asked(line.property).open = true;
          const bool taken = take(accepts, made);
          asked_ = was;
          if (taken) return;
          break;
        }
        case compiler::Instead::Kind::step: {
          const auto was = asked_;
          const bool taken = step(line) && take(accepts, made);
          asked_ = was;
          if (taken) return;
          break;
        }
      }
    }
    made.instead.reset();
    made.kind = Match::Kind::none;
  }

  Asked& asked(std::uint32_t property) {
    return asked_[property - policy_.pieces[policy_.properties[property].piece].first_property];
  }
  const Asked& asked(std::uint32_t property) const { return const_cast<Matching*>(this)->asked(property); }

  // The advised values of all the line looks at; false where one of them is not certain, or for the fitter.
  bool settle(const compiler::Acceptance& accepts, Match& made) {
    asked_.assign(policy_.pieces[made.piece].properties, {});
    const auto one = [&](std::uint32_t property) {
      const auto id = of_property_[property];
      const auto& first = engine_.outcome(id, possible_[id].classes.front());
      if (different_outcomes(engine_, id, possible_[id].classes) > 1) {
        made.kind = Match::Kind::not_certain;
        for (auto& name : unknown_under(id)) made.not_known.push_back(std::move(name));
      } else if (first.standing == Standing::answered) {
        asked(property) = {false, first.low, first.high};
      } else if (made.kind != Match::Kind::not_certain && made.kind != Match::Kind::no_answer) {
        made.kind = first.standing == Standing::referred ? Match::Kind::refer : Match::Kind::no_answer;
      }
    };
    made.kind = Match::Kind::none;
    for (const auto& need : accepts.requirements) {
      if (need.kind <= Requirement::Kind::within) one(need.property);
      if (need.once_cut_to) one(*need.once_cut_to);
      if (need.once_cut_to) made.cut_to = ticks(*need.once_cut_to, asked(*need.once_cut_to).low);
      if (need.kind != Requirement::Kind::covers ||
          compiler::compare(measured_[need.column].lowest, measured_[need.column].highest) == 0)
        continue;
      made.kind = Match::Kind::not_certain;
      policy_.tables.each_asked_under(need.column, [&](std::uint16_t detail) {
        if (!player_.readings[detail]) made.not_known.push_back(policy_.details[detail].name);
      });
    }
    auto& names = made.not_known;
    std::sort(names.begin(), names.end());
    names.erase(std::unique(names.begin(), names.end()), names.end());
    return made.kind == Match::Kind::none;
  }

  // Moves what is asked, but never under a safety floor, over a safety cap, or off the property's range.
  bool step(const compiler::Instead& line) {
    auto& now = asked(line.property);
    now.low += line.steps, now.high += line.steps;
    if (now.low < 0 || now.high >= static_cast<std::int64_t>(policy_.tables.answers[line.property].steps)) return false;
    const auto id = of_property_[line.property];
    const auto& classes = possible_[id].classes;
    return std::all_of(classes.begin(), classes.end(), [&](auto found) {
      return compiler::safety_allows(policy_.tables, policy_.tables.tables[id], engine_.rows(id, found), now.low,
                                     now.high);
    });
  }

  bool take(const compiler::Acceptance& accepts, Match& made) {
    for (auto i = stock_.first[made.piece]; i < stock_.first[made.piece + 1]; ++i) {
      const auto& item = stock_.items[i];
      const bool fits = item.on_hand > 0 && may_be_sold(item) &&
                        std::all_of(accepts.requirements.begin(), accepts.requirements.end(),
                                    [&](const auto& need) { return answers(item, need); });
      if (fits) made.items.push_back(i);
    }
    if (made.items.empty()) return false;
    made.kind = Match::Kind::items;
    return true;
  }

  bool in_date(const StockItem& item) const { return item.certified_until && *item.certified_until >= today_; }
  bool may_be_sold(const StockItem& item) const {
    return !policy_.shop.protection[item.piece] ||
           (!item.used && (!item.certified_until || *item.certified_until >= today_));
  }

  std::int64_t ticks(std::uint32_t property, std::int64_t step) const {
    const auto& text = policy_.properties[property];
    return text.first + step * text.step;
  }
  const ItemValue& value(const StockItem& item, std::uint32_t property) const {
    return item.values[property - policy_.pieces[item.piece].first_property];
  }

  bool answers(const StockItem& item, const Requirement& need) const {
    switch (need.kind) {
      case Requirement::Kind::in_date: return in_date(item);
      case Requirement::Kind::condition_new: return !item.used;
      case Requirement::Kind::is: return has_member(value(item, need.property), need.member);
      case Requirement::Kind::covers: return covers(item, need);
      default: break;
    }
    const auto& want = asked(need.property);
    if (want.open) return true;
    const auto& has = value(item, need.property);
    const bool members = policy_.properties[need.property].scale.has_members();
    // In steps for members, in ticks for amounts: the lowest and the highest the item can be.
    const auto low = members ? lowest_of(has.members) : has.low, high = members ? highest_of(has.members) : has.high;
    const auto asked_low = members ? want.low : ticks(need.property, want.low);
    const auto asked_high = members ? want.high : ticks(need.property, want.high);
    switch (need.kind) {
      case Requirement::Kind::as_advised:
        return members ? has_member(has, want.low) : low <= asked_low && high >= asked_low;
      case Requirement::Kind::at_least: return high >= asked_low;
      case Requirement::Kind::at_most: return low <= asked_low;
      default:
        return need.once_cut_to ? felt_within(item, need, asked_low, asked_high)
                                : low >= asked_low && high <= asked_high;
    }
  }

  static std::int64_t lowest_of(std::uint64_t members) { return members == 0 ? 0 : __builtin_ctzll(members); }
  static std::int64_t highest_of(std::uint64_t members) { return members == 0 ? -1 : 63 - __builtin_clzll(members); }

  bool felt_within(const StockItem& item, const Requirement& need, std::int64_t low, std::int64_t high) const {
    const auto& flex = value(item, need.property);
    const auto& length = value(item, *need.once_cut_to);
    if (flex.high > high) return false;  // it is never felt softer than stamped
    const auto cut = ticks(*need.once_cut_to, asked(*need.once_cut_to).low);
    const auto softest = felt_flex(flex.low, length.low, cut), stiffest = felt_flex(flex.high, length.low, cut);
    return softest && stiffest && compiler::compare(*softest, {low, 1}) >= 0 &&
           compiler::compare(*stiffest, {high, 1}) <= 0;
  }

  bool covers(const StockItem& item, const Requirement& need) const {
    const auto& columns = stock_.covered[item.piece];
    const auto at = static_cast<std::size_t>(std::find(columns.begin(), columns.end(), need.column) - columns.begin());
    const auto& known = policy_.tables.columns[need.column];
    const bool plain = known.worked_out ? policy_.tables.worked_out[known.detail].plain_number
                                        : policy_.tables.asked[known.detail].plain_number;
    const Int128 per = plain ? compiler::ticks_per_one : 1;
    const auto& measured = measured_[need.column].lowest;
    return compiler::compare(measured, compiler::reduced(item.covers[at].low, per)) >= 0 &&
           compiler::compare(measured, compiler::reduced(item.covers[at].high, per)) <= 0;
  }

  // What the item has instead, for a person.
  std::string but(const StockItem& item, const Requirement& need) const {
    switch (need.kind) {
      case Requirement::Kind::in_date:
        return item.certified_until
                   ? "it was certified until " + compiler::show(*item.certified_until, compiler::Dimension::day, {})
                   : "it carries no date it is certified until";
      case Requirement::Kind::condition_new: return "it is used";
      case Requirement::Kind::covers: {
        const auto& columns = stock_.covered[item.piece];
        const auto at =
            static_cast<std::size_t>(std::find(columns.begin(), columns.end(), need.column) - columns.begin());
        return fmt::format("it covers {} {}", policy_.name_of(need.column),
                           write_value(policy_.scale_of(need.column), item.covers[at]));
      }
      default: break;
    }
    const auto& property = policy_.properties[need.property];
    auto text = fmt::format("its {} is {}", property.name, write_value(property.scale, value(item, need.property)));
    if (need.once_cut_to) {
      const auto& length = policy_.properties[*need.once_cut_to];
      const auto cut = ticks(*need.once_cut_to, asked(*need.once_cut_to).low);
      if (value(item, *need.once_cut_to).low > cut)
        text += fmt::format(" on {}, and felt stiffer once cut to {}",
                            write_value(length.scale, value(item, *need.once_cut_to)), length.scale.write(cut));
    }
    return text;
  }

  void find_near(const compiler::Acceptance& accepts, Match& made) {
    for (auto i = stock_.first[made.piece]; i < stock_.first[made.piece + 1] && made.near.size() < most_near; ++i) {
      if (std::binary_search(made.items.begin(), made.items.end(), i)) continue;  // handed over after all
      const auto& item = stock_.items[i];
      std::vector<std::string> missed;
      if (item.on_hand == 0) missed.push_back("none is on hand");
      bool told_sold = false;
      for (const auto& need : accepts.requirements) {
        if (answers(item, need)) continue;
        missed.push_back(but(item, need));
        told_sold |= need.kind == Requirement::Kind::in_date || need.kind == Requirement::Kind::condition_new;
      }
      if (!may_be_sold(item) && !told_sold) missed.push_back(item.used ? "it is used" : "its label is out of date");
      if (missed.size() == 1) made.near.push_back({i, std::move(missed.front())});
    }
  }

  const Engine& engine_;
  const compiler::Policy& policy_;
  const Player& player_;
  const Stock& stock_;
  std::int64_t today_;
  const std::vector<Possible>& possible_;
  std::vector<TableId> of_property_, of_piece_;
  std::vector<compiler::Interval> measured_;  // by column; one value where it is known
  std::vector<Asked> asked_;                  // by property of the piece now matched
};

}  // namespace

std::optional<compiler::Rational> felt_flex(std::int64_t flex, std::int64_t length, std::int64_t cut) {
  if (length <= cut) return compiler::Rational{flex, 1};
  const auto times = compiler::reduced(length, cut);
  std::optional felt = compiler::Rational{flex, 1};
  for (int i = 0; i < 3 && felt; ++i) felt = compiler::multiply(*felt, times);
  return felt;
}

std::vector<Match> match(const Engine& engine, const Player& player, const std::vector<Possible>& possible,
                         const Stock& stock, std::int64_t today) {
  return Matching(engine, player, possible, stock, today).run();
}

}  // namespace lacestay::runtime
