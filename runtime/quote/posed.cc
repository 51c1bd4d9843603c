#include "runtime/quote/posed.hpp"

#include <algorithm>

#include "runtime/base/table_words.hpp"
#include "runtime/quote/partners.hpp"

namespace lacestay::runtime {

using compiler::Table;

Posing::Posing(const Engine& engine, const Player& player, const Stock& stock)
    : policy_(engine.policy()), stock_(stock) {
  for (TableId id = 0; id < policy_.tables.tables.size(); ++id)
    for_him_.push_back(policy_.tables.tables[id].kind == Table::Kind::shop_line &&
                       applies(engine, player, id) == Applies::yes);
}

KitProblem Posing::problem_of(const std::vector<const Match*>& pieces, std::vector<std::size_t>& deals_of) {
  KitProblem problem;
  problem.rounding = policy_.shop.round_on_bill ? Rounding::per_bill : Rounding::per_line;
  for (const auto* each : pieces) {
    problem.pieces.emplace_back();
    for (const auto item : each->items) problem.pieces.back().push_back(kit_item(stock_.items[item]));
  }
  const auto& deals = policy_.shop.deals;
  // A deal whose pieces are not all there to be had can't stand; the builder wants none such.
  std::vector<std::size_t> standing;
  for (std::size_t i = 0; i < deals.size(); ++i)
    if (auto made = kit_deal(deals[i], pieces)) {
      problem.deals.push_back(std::move(*made));
      standing.push_back(i);
    }
  problem.adds.assign(standing.size(), std::vector<bool>(standing.size()));
  for (std::size_t a = 0; a < standing.size(); ++a)
    for (std::size_t b = 0; b < standing.size(); ++b)
      problem.adds[a][b] = std::binary_search(deals[standing[a]].adds_to.begin(), deals[standing[a]].adds_to.end(),
                                              static_cast<std::uint32_t>(standing[b]));
  problem.links = links(pieces);
  deals_of = std::move(standing);
  return problem;
}

KitItem Posing::kit_item(const StockItem& item) {
  KitItem made{item.price, worth_of(item), -1};
  if (const auto make = plain_name(item.make); !make.empty())
    made.make = makes_.try_emplace(make, static_cast<int>(makes_.size())).first->second;
  return made;
}

// Of every step above the lowest that the item has.
std::int64_t Posing::worth_of(const StockItem& item) const {
  std::int64_t sum = 0;
  for (const auto& each : policy_.shop.worth) {
    if (!is_for_him(each.players)) continue;
    const auto& property = policy_.properties[each.property];
    if (property.piece != item.piece) continue;
    const auto& value = item.values[each.property - policy_.pieces[item.piece].first_property];
    if (!value.known) continue;
    const auto steps = property.scale.has_members() ? (value.members == 0 ? 0 : 63 - __builtin_clzll(value.members))
                                                    : std::max<std::int64_t>(0, property.step_within(value.high));
    sum += steps * each.amount;
  }
  return sum;
}

std::optional<Deal> Posing::kit_deal(const compiler::Deal& deal, const std::vector<const Match*>& pieces) const {
  if (!is_for_him(deal.players)) return std::nullopt;
  Deal made;
  made.one_make = deal.one_make;
  made.at_least = deal.whole_kit ? std::max<std::size_t>(pieces.size(), 2) : deal.at_least;
  if (deal.gives == compiler::Deal::Gives::percent_off)
    made.effect = PartOff{deal.numerator, deal.denominator};
  else if (deal.gives == compiler::Deal::Gives::sum_off)
    made.effect = SumOff{deal.amount};
  else
    made.effect = OnePrice{deal.amount};
  std::size_t reached = 0;
  const auto make = plain_name(deal.make);
  for (const auto* each : pieces) {
    if (!deal.off_pieces.empty())
      made.off.push_back(std::binary_search(deal.off_pieces.begin(), deal.off_pieces.end(), each->piece));
    made.reaches.emplace_back();
    if (!std::binary_search(deal.pieces.begin(), deal.pieces.end(), each->piece)) continue;
    const auto tag =
        std::find_if(deal.tags.begin(), deal.tags.end(), [&](const auto& held) { return held.piece == each->piece; });
    bool any = false;
    for (const auto item : each->items) {
      const auto& tried = stock_.items[item];
      made.reaches.back().push_back(
          (make.empty() || plain_name(tried.make) == make) &&
          (tag == deal.tags.end() || (tag->least <= tried.price && tried.price <= tag->most)));
      any |= made.reaches.back().back();
    }
    if (any)
      ++reached;
    else
      made.reaches.back().clear();
  }
  return reached >= made.at_least ? std::optional(std::move(made)) : std::nullopt;
}

// Between those of the policy's links whose pieces are both here.
std::vector<KitLink> Posing::links(const std::vector<const Match*>& pieces) const {
  std::vector<KitLink> all;
  const auto place = [&](std::uint32_t piece) {
    return static_cast<std::size_t>(
        std::find_if(pieces.begin(), pieces.end(), [&](const auto* each) { return each->piece == piece; }) -
        pieces.begin());
  };
  for (const auto& link : policy_.shop.links) {
    const auto piece = place(link.piece), partner = place(link.partner);
    if (piece == pieces.size() || partner == pieces.size()) continue;
    all.push_back(link_of(stock_, {piece, pieces[piece]->items}, {partner, pieces[partner]->items}));
  }
  return all;
}

}  // namespace lacestay::runtime
