#include "runtime/quote/matching.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "compiler/law/law.hpp"
#include "compiler/shelf/stages.hpp"
#include "compiler/space/reach.hpp"
#include "compiler/values/days.hpp"
#include "grammar/tree/units.hpp"

namespace lacestay::runtime {

using compiler::Asked;
using compiler::Int128;
using compiler::Requirement;
using compiler::Stage;
using compiler::StepRange;
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
  // What is known of a property of the piece: its certain answer, where the accept line looks at it; and for each class
  // of players still possible, what binds items, with the answer that a safety rule's base keeps them to.
  struct Known {
    Outcome advised;
    std::vector<std::pair<compiler::ItemBounds, Outcome>> bounds;
    bool varies = false;  // what binds items is not the same for all of them
  };

  // The accept line that is for the player; nothing where none is, or where that is not certain.
  std::optional<std::size_t> line_for(Match& made) const {
    const auto& lines = policy_.shop.accepts[made.piece];
    made.kind = lines.empty() ? Match::Kind::not_sold : Match::Kind::not_for_him;
    for (std::size_t i = 0; i < lines.size(); ++i) {
      const auto known = applies(engine_, player_, lines[i].players);
      if (known == Applies::yes) return i;
      if (known == Applies::no) continue;
      made.kind = Match::Kind::not_certain;
      for (auto& name : unknown_under(*lines[i].players)) made.not_known.push_back(std::move(name));
    }
    tidy(made.not_known);
    return std::nullopt;
  }

  std::vector<std::string> unknown_under(TableId id) const {
    std::vector<std::string> names;
    const auto looked_at = policy_.tables.asked_under(policy_.tables.tables[id]);
    for (std::size_t i = 0; i < looked_at.size(); ++i)
      if (looked_at[i] && !player_.readings[i]) names.push_back(policy_.details[i].name);
    return names;
  }

  void choose(Match& made) {
    const auto line = line_for(made);
    known_.assign(policy_.pieces[made.piece].properties, {});
    if (!line) {
      const bool his = made.kind == Match::Kind::not_certain && reaches_items() && is_the_fitters(made.piece);
      if (his) made.kind = Match::Kind::refer, made.not_known.clear();
      return;
    }
    made.line = *line;
    const auto& accepts = policy_.shop.accepts[made.piece][*line];
    stages_ = compiler::stages_of(policy_, made.piece, *line);
    if (!settle(accepts, made)) return;
    look_on_shelf(accepts, made);
    find_near(accepts, made);
  }

  // Stage by stage, then by the first line that refers or orders.
  void look_on_shelf(const compiler::Acceptance& accepts, Match& made) {
    for (const auto& stage : stages_) {
      if (is_refused_by_form_1(stage, made.piece)) continue;
      hold_to(stage, made.piece);
      made.instead = stage.instead;
      if (take(accepts, made)) return;
    }
    // Bounds of players who differ in a blank detail stand together; which of them is his, that detail tells.
    for (std::uint32_t i = 0; i < known_.size(); ++i)
      if (known_[i].varies) not_certain(made, first_property(made.piece) + i);
    if (made.kind == Match::Kind::not_certain) {
      made.instead.reset();
      return tidy(made.not_known);
    }
    for (std::size_t i = 0; i < accepts.instead.size(); ++i) {
      const auto kind = accepts.instead[i].kind;
      made.instead = i;
      if (kind == compiler::Instead::Kind::refer) return void(made.kind = Match::Kind::refer);
      if (kind == compiler::Instead::Kind::order) return void(made.kind = Match::Kind::order);
    }
    made.instead.reset();
    made.kind = Match::Kind::none;
  }

  std::uint32_t first_property(std::uint32_t piece) const { return policy_.pieces[piece].first_property; }
  bool reaches_items() const { return policy_.tables.safety_reaches_items; }

  void not_certain(Match& made, std::uint32_t property) const {
    made.kind = Match::Kind::not_certain;
    for (auto& name : unknown_under(of_property_[property])) made.not_known.push_back(std::move(name));
  }
  static void tidy(std::vector<std::string>& names) {
    std::sort(names.begin(), names.end());
    names.erase(std::unique(names.begin(), names.end()), names.end());
  }

  // What is advised of all the line looks at, and what binds items; false where one of these is not certain, or
  // anything of the piece is for the fitter.
  bool settle(const compiler::Acceptance& accepts, Match& made) {
    made.kind = Match::Kind::none;
    if (reaches_items() && is_the_fitters(made.piece)) {
      made.kind = Match::Kind::refer;
      return false;
    }
    for (std::uint32_t i = 0; i < known_.size(); ++i) settle_property(made, i);
    for (const auto& need : accepts.requirements) {
      if (need.once_cut_to)
        made.cut_to = ticks(*need.once_cut_to, known_[*need.once_cut_to - first_property(made.piece)].advised.low);
      if (need.kind != Requirement::Kind::covers ||
          compiler::compare(measured_[need.column].lowest, measured_[need.column].highest) == 0)
        continue;
      made.kind = Match::Kind::not_certain;
      policy_.tables.each_asked_under(need.column, [&](std::uint16_t detail) {
        if (!player_.readings[detail]) made.not_known.push_back(policy_.details[detail].name);
      });
    }
    tidy(made.not_known);
    return made.kind == Match::Kind::none;
  }

  bool to_fitter(TableId id, ClassId found) const { return engine_.outcome(id, found).standing == Standing::referred; }
  // Some property is left to the fitter whatever the blanks are, named by the line or not: no detail would change that.
  bool is_the_fitters(std::uint32_t piece) const {
    for (std::uint32_t at = 0; at < known_.size(); ++at) {
      const auto id = of_property_[first_property(piece) + at];
      const auto& classes = possible_[id].classes;
      if (std::all_of(classes.begin(), classes.end(), [&](auto found) { return to_fitter(id, found); })) return true;
    }
    return false;
  }

  void settle_property(Match& made, std::uint32_t at) {
    const auto property = first_property(made.piece) + at;
    const auto id = of_property_[property];
    const auto& classes = possible_[id].classes;
    auto& known = known_[at];
    const auto& first = engine_.outcome(id, classes.front());
    const bool looked_at = stages_.front().asked[at].rests_on_advice();
    if (looked_at && different_outcomes(engine_, id, classes) > 1) return not_certain(made, property);
    if (!looked_at && reaches_items() &&
        std::any_of(classes.begin(), classes.end(), [&](auto found) { return to_fitter(id, found); }))
      return not_certain(made, property);
    if (looked_at && first.standing != Standing::answered) {
      if (made.kind != Match::Kind::not_certain && made.kind != Match::Kind::no_answer)
        made.kind = first.standing == Standing::referred ? Match::Kind::refer : Match::Kind::no_answer;
      return;
    }
    known.advised = first;
    for (const auto found : classes) {
      const auto& table = policy_.tables.tables[id];
      const auto bounds = compiler::item_bounds(policy_.tables, table, engine_.rows(id, found));
      known.bounds.emplace_back(bounds, engine_.outcome(id, found));
      const auto& [other, outcome] = known.bounds.front();
      known.varies |= bounds.low != other.low || bounds.high != other.high || bounds.base != other.base ||
                      (bounds.base && known.bounds.back().second != outcome);
    }
  }

  // What the stage lets each property of an item be, in steps of the item's own value; of a shaft, of its uncut length.
  void hold_to(const Stage& stage, std::uint32_t piece) {
    held_.clear();
    for (std::uint32_t at = 0; at < stage.asked.size(); ++at) {
      const auto& asked = stage.asked[at];
      const auto& known = known_[at];
      const auto& space = policy_.tables.answers[first_property(piece) + at];
      const StepRange all{0, std::int64_t{space.steps} - 1};
      auto bound = all;
      for (const auto& [bounds, outcome] : known.bounds)
        bound = shared_steps(bound, compiler::steps_bound(asked, bounds, outcome));
      auto steps = compiler::steps_asked(space, asked, known.advised);
      if (asked.cut_to) {
        // Once cut a longer shaft is of the advised length, which has to lie within what binds it.
        if (bound.low > known.advised.low) bound = {};
        if (bound.high >= known.advised.low) bound.high = all.high;
      }
      steps = shared_steps(steps, bound);
      held_.push_back({steps, asked.relations.empty() && steps == all});
    }
  }

  bool is_refused_by_form_1(const Stage& stage, std::uint32_t piece) const {
    for (std::uint32_t at = 0; at < stage.asked.size(); ++at) {
      const auto id = of_property_[first_property(piece) + at];
      for (const auto found : possible_[id].classes)
        if (compiler::refused_by_form_1(policy_.tables, policy_.tables.tables[id], engine_.rows(id, found),
                                        stage.asked[at], known_[at].advised))
          return true;
    }
    return false;
  }

  bool take(const compiler::Acceptance& accepts, Match& made) {
    for (auto i = stock_.first[made.piece]; i < stock_.first[made.piece + 1]; ++i) {
      const auto& item = stock_.items[i];
      if (item.on_hand > 0 && may_be_sold(item) && misses(item, accepts).empty()) made.items.push_back(i);
    }
    if (made.items.empty()) return false;
    made.kind = Match::Kind::items;
    made.held = held_;
    return true;
  }

  bool in_date(const StockItem& item) const { return item.certified_until && *item.certified_until >= today_; }
  // In years before today; a day yet to come is none.
  bool made_since(const StockItem& item, std::int64_t years) const {
    return item.made && *item.made <= today_ && compiler::years_after(*item.made, years) >= today_;
  }
  bool may_be_sold(const StockItem& item) const {
    return !policy_.shop.protection[item.piece] ||
           (!item.used && (!item.certified_until || *item.certified_until >= today_));
  }

  std::int64_t ticks(std::uint32_t property, std::int64_t step) const { return policy_.properties[property].at(step); }
  const ItemValue& value(const StockItem& item, std::uint32_t property) const {
    return item.values[property - policy_.pieces[item.piece].first_property];
  }

  // What an item does not meet, each as a person is told; nothing where it may be handed over at the stage that is held
  // to. A requirement that names a property answers for all that is asked of that property.
  std::vector<std::string> misses(const StockItem& item, const compiler::Acceptance& accepts) const {
    std::vector<std::string> all;
    std::vector<bool> looked_at(known_.size());
    for (const auto& need : accepts.requirements) {
      switch (need.kind) {
        case Requirement::Kind::in_date:
          if (!in_date(item)) all.push_back(but(item, need));
          break;
        case Requirement::Kind::condition_new:
          if (item.used) all.push_back(but(item, need));
          break;
        case Requirement::Kind::price:
          if (item.price < need.least || item.price > need.most) all.push_back(but(item, need));
          break;
        case Requirement::Kind::made:
          if (!made_since(item, need.most)) all.push_back(but(item, need));
          break;
        case Requirement::Kind::covers:
          if (!covers(item, need)) all.push_back(but(item, need));
          break;
        default: {
          const auto at = need.property - first_property(item.piece);
          if (looked_at[at] && !need.once_cut_to) break;
          looked_at[at] = true;
          if (!(need.once_cut_to ? felt(item, need) : has_one(item, at))) all.push_back(but(item, need));
        }
      }
    }
    // What binds items is met whether the line names the property or not.
    for (std::uint32_t at = 0; at < known_.size(); ++at)
      if (!looked_at[at] && !has_one(item, at)) all.push_back(is_instead(item, first_property(item.piece) + at));
    return all;
  }

  // One value of the cell is as it must be; a blank one meets nothing that is asked.
  bool has_one(const StockItem& item, std::uint32_t at) const {
    const auto& held = held_[at];
    if (held.anything) return true;
    const auto property = first_property(item.piece) + at;
    const auto& has = value(item, property);
    if (!has.known || held.steps.empty()) return false;
    if (policy_.properties[property].scale.has_members()) return has_member_in(has, held.steps);
    const auto low = ticks(property, held.steps.low), high = ticks(property, held.steps.high);
    // In form 1 the whole of a range had to lie in a band.
    if (!reaches_items() && policy_.tables.answers[property].band) return low <= has.low && has.high <= high;
    return has.low <= high && low <= has.high;
  }
  static bool has_member_in(const ItemValue& has, const StepRange& steps) {
    for (auto step = steps.low; step <= steps.high; ++step)
      if (has_member(has, step)) return true;
    return false;
  }

  // The flex that some stamp and length of the item's cells come to, once cut, is as it must be. Felt flex rises with
  // both, so the softest and the stiffest tell.
  bool felt(const StockItem& item, const Requirement& need) const {
    const auto& held = held_[need.property - first_property(item.piece)].steps;
    const auto cut_at = *need.once_cut_to - first_property(item.piece);
    const auto &flex = value(item, need.property), &length = value(item, *need.once_cut_to);
    if (held.empty()) return false;
    if (!reaches_items()) return felt_in_form_1(need, flex, length, held);
    if (!flex.known || !length.known) return false;
    auto shortest = length.low, longest = length.high;
    // A length that is itself not as it must be is told by itself.
    if (!held_[cut_at].anything && has_one(item, cut_at)) {
      shortest = std::max(shortest, ticks(*need.once_cut_to, held_[cut_at].steps.low));
      longest = std::min(longest, ticks(*need.once_cut_to, held_[cut_at].steps.high));
    }
    const auto cut = ticks(*need.once_cut_to, known_[cut_at].advised.low);
    const auto softest = felt_flex(flex.low, shortest, cut), stiffest = felt_flex(flex.high, longest, cut);
    return softest && stiffest && compiler::compare(*softest, {ticks(need.property, held.high), 1}) <= 0 &&
           compiler::compare(*stiffest, {ticks(need.property, held.low), 1}) >= 0;
  }

  bool felt_in_form_1(const Requirement& need, const ItemValue& flex, const ItemValue& length,
                      const StepRange& held) const {
    const auto low = ticks(need.property, held.low), high = ticks(need.property, held.high);
    const auto& advised =
        known_[*need.once_cut_to - policy_.pieces[policy_.properties[need.property].piece].first_property];
    const auto cut = ticks(*need.once_cut_to, advised.advised.low);
    const auto softest = felt_flex(flex.low, length.low, cut), stiffest = felt_flex(flex.high, length.low, cut);
    return flex.high <= high && softest && stiffest && compiler::compare(*softest, {low, 1}) >= 0 &&
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
      case Requirement::Kind::price:
        return "it costs " + compiler::show(item.price, compiler::Dimension::money, {{std::nullopt, policy_.currency}},
                                            grammar::currency_digits(policy_.currency).value_or(2));
      case Requirement::Kind::made:
        return item.made ? "it was made " + compiler::show(*item.made, compiler::Dimension::day, {})
                         : "it carries no day it was made";
      case Requirement::Kind::covers: {
        const auto& columns = stock_.covered[item.piece];
        const auto at =
            static_cast<std::size_t>(std::find(columns.begin(), columns.end(), need.column) - columns.begin());
        return fmt::format("it covers {} {}", policy_.name_of(need.column),
                           write_value(policy_.scale_of(need.column), item.covers[at]));
      }
      default: break;
    }
    auto text = is_instead(item, need.property);
    if (need.once_cut_to) {
      const auto& length = policy_.properties[*need.once_cut_to];
      const auto cut = ticks(*need.once_cut_to, known_[*need.once_cut_to - first_property(item.piece)].advised.low);
      if (value(item, *need.once_cut_to).low > cut)
        text += fmt::format(" on {}, and felt stiffer once cut to {}",
                            write_value(length.scale, value(item, *need.once_cut_to)), length.scale.write(cut));
    }
    return text;
  }
  std::string is_instead(const StockItem& item, std::uint32_t property) const {
    const auto& text = policy_.properties[property];
    if (!value(item, property).known) return fmt::format("its {} is not told", text.name);
    return fmt::format("its {} is {}", text.name, write_value(text.scale, value(item, property)));
  }

  // As advised, at the first stage.
  void find_near(const compiler::Acceptance& accepts, Match& made) {
    if (made.kind == Match::Kind::not_certain) return;
    hold_to(stages_.front(), made.piece);
    for (auto i = stock_.first[made.piece]; i < stock_.first[made.piece + 1] && made.near.size() < most_near; ++i) {
      if (std::binary_search(made.items.begin(), made.items.end(), i)) continue;  // handed over after all
      const auto& item = stock_.items[i];
      auto missed = misses(item, accepts);
      if (item.on_hand == 0) missed.insert(missed.begin(), "none is on hand");
      const bool told_sold =
          std::any_of(accepts.requirements.begin(), accepts.requirements.end(), [&](const auto& need) {
            return (need.kind == Requirement::Kind::in_date && !in_date(item)) ||
                   (need.kind == Requirement::Kind::condition_new && item.used);
          });
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
  // Of the piece now matched: its stages, and by property what is known and what an item is held to.
  std::vector<Stage> stages_;
  std::vector<Known> known_;
  std::vector<HeldTo> held_;
};

}  // namespace

std::optional<compiler::Rational> felt_flex(std::int64_t flex, std::int64_t length, std::int64_t cut) {
  if (length <= cut) return compiler::Rational{flex, 1};
  const auto times = compiler::reduced(length, cut);
  std::optional felt = compiler::Rational{flex, 1};
  for (int i = 0; i < 3 && felt; ++i) felt = compiler::multiply(*felt, times);
  return felt;
}

Applies applies(const Engine& engine, const Player& player, const std::optional<compiler::TableId>& line) {
  if (!line) return Applies::yes;
  bool some = false, others = false;
  for (const auto found : possible_answers(engine, *line, player).classes)
    (engine.outcome(*line, found).standing == Standing::spoken ? some : others) = true;
  return some && others ? Applies::not_certain : some ? Applies::yes : Applies::no;
}

std::vector<Match> match(const Engine& engine, const Player& player, const std::vector<Possible>& possible,
                         const Stock& stock, std::int64_t today) {
  return Matching(engine, player, possible, stock, today).run();
}

}  // namespace lacestay::runtime
