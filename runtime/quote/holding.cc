#include "runtime/quote/holding.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "compiler/values/days.hpp"
#include "grammar/tree/units.hpp"

namespace lacestay::runtime {

using compiler::Int128;
using compiler::Requirement;
using compiler::Stage;
using compiler::StepRange;

namespace {

bool has_member_in(const ItemValue& has, const StepRange& steps) {
  for (auto step = steps.low; step <= steps.high; ++step)
    if (steps.holds(step) && has_member(has, step)) return true;
  return false;
}

}  // namespace

Holding::Holding(const compiler::Policy& policy, const Stock& stock, std::int64_t today,
                 std::vector<compiler::Interval> measured)
    : policy_(policy), stock_(stock), today_(today), measured_(std::move(measured)) {}

// What the stage lets each property of an item be, in steps of the item's own value; of a shaft, of its uncut length.
void Holding::hold_to(const Stage& stage, std::uint32_t piece, const std::vector<KnownProperty>& known_properties) {
  known_ = &known_properties;
  any_condition_ = stage.any_condition;
  held_.clear();
  for (std::uint32_t at = 0; at < stage.asked.size(); ++at) {
    const auto& asked = stage.asked[at];
    const auto& known = known_properties[at];
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

bool Holding::in_date(const StockItem& item) const { return item.certified_until && *item.certified_until >= today_; }
// In years before today; a day yet to come is none.
bool Holding::made_since(const StockItem& item, std::int64_t years) const {
  return item.made && *item.made <= today_ && compiler::years_after(*item.made, years) >= today_;
}
bool Holding::may_be_sold(const StockItem& item) const {
  return !policy_.shop.protection[item.piece] ||
         (!item.used && (!item.certified_until || *item.certified_until >= today_));
}

// What an item does not meet, each as a person is told; nothing where it may be handed over at the stage that is held
// to. A requirement that names a property answers for all that is asked of that property.
std::vector<std::string> Holding::misses(const StockItem& item, const compiler::Acceptance& accepts) const {
  std::vector<std::string> all;
  std::vector<bool> looked_at(known_->size());
  for (const auto& need : accepts.requirements) {
    if (!need.is_of(item.used)) continue;
    switch (need.kind) {
      case Requirement::Kind::in_date:
        if (!in_date(item)) all.push_back(but(item, need));
        break;
      case Requirement::Kind::condition_new:
        if (item.used && !any_condition_) all.push_back(but(item, need));
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
  for (std::uint32_t at = 0; at < known_->size(); ++at)
    if (!looked_at[at] && !has_one(item, at)) all.push_back(is_instead(item, first_property(item.piece) + at));
  return all;
}

// One value of the cell is as it must be; a blank one meets nothing that is asked.
bool Holding::has_one(const StockItem& item, std::uint32_t at) const {
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

// The flex that some stamp and length of the item's cells come to, once cut, is as it must be. Felt flex rises with
// both, so the softest and the stiffest tell.
bool Holding::felt(const StockItem& item, const Requirement& need) const {
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
  const auto cut = ticks(*need.once_cut_to, (*known_)[cut_at].advised.low);
  const auto softest = felt_flex(flex.low, shortest, cut), stiffest = felt_flex(flex.high, longest, cut);
  return softest && stiffest && compiler::compare(*softest, {ticks(need.property, held.high), 1}) <= 0 &&
         compiler::compare(*stiffest, {ticks(need.property, held.low), 1}) >= 0;
}

bool Holding::felt_in_form_1(const Requirement& need, const ItemValue& flex, const ItemValue& length,
                             const StepRange& held) const {
  const auto low = ticks(need.property, held.low), high = ticks(need.property, held.high);
  const auto& advised =
      (*known_)[*need.once_cut_to - policy_.pieces[policy_.properties[need.property].piece].first_property];
  const auto cut = ticks(*need.once_cut_to, advised.advised.low);
  const auto softest = felt_flex(flex.low, length.low, cut), stiffest = felt_flex(flex.high, length.low, cut);
  return flex.high <= high && softest && stiffest && compiler::compare(*softest, {low, 1}) >= 0 &&
         compiler::compare(*stiffest, {high, 1}) <= 0;
}

bool Holding::covers(const StockItem& item, const Requirement& need) const {
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
std::string Holding::but(const StockItem& item, const Requirement& need) const {
  if (need.goods != Requirement::Goods::all) {
    auto asked_of_all = need;
    asked_of_all.goods = Requirement::Goods::all;
    return (item.used ? "it is used, and " : "it is new, and ") + but(item, asked_of_all);
  }
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
    const auto cut = ticks(*need.once_cut_to, (*known_)[*need.once_cut_to - first_property(item.piece)].advised.low);
    if (value(item, *need.once_cut_to).low > cut)
      text += fmt::format(" on {}, and felt stiffer once cut to {}",
                          write_value(length.scale, value(item, *need.once_cut_to)), length.scale.write(cut));
  }
  return text;
}
std::string Holding::is_instead(const StockItem& item, std::uint32_t property) const {
  const auto& text = policy_.properties[property];
  if (!value(item, property).known) return fmt::format("its {} is not told", text.name);
  return fmt::format("its {} is {}", text.name, write_value(text.scale, value(item, property)));
}

std::vector<std::string> Holding::lacks(const StockItem& item, const compiler::Acceptance& accepts) const {
  auto missed = misses(item, accepts);
  if (item.on_hand == 0) missed.insert(missed.begin(), "none is on hand");
  const bool told_sold = std::any_of(accepts.requirements.begin(), accepts.requirements.end(), [&](const auto& need) {
    return (need.kind == Requirement::Kind::in_date && !in_date(item)) ||
           (need.kind == Requirement::Kind::condition_new && item.used && !any_condition_);
  });
  if (may_be_sold(item) || told_sold) return missed;
  // Entries of older forms were recorded with the shorter words.
  const bool shorter = policy_.was_sealed_before(4);
  missed.push_back(!item.used ? "its label is out of date"
                   : shorter  ? "it is used"
                              : "it is used, and what protects a player is only sold new");
  return missed;
}

std::optional<compiler::Rational> felt_flex(std::int64_t flex, std::int64_t length, std::int64_t cut) {
  if (length <= cut) return compiler::Rational{flex, 1};
  const auto times = compiler::reduced(length, cut);
  std::optional felt = compiler::Rational{flex, 1};
  for (int i = 0; i < 3 && felt; ++i) felt = compiler::multiply(*felt, times);
  return felt;
}

}  // namespace lacestay::runtime
