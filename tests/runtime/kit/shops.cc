#include "tests/runtime/kit/shops.hpp"

#include <algorithm>

namespace lacestay::kits {
namespace {

using runtime::Deal;
using runtime::KitProblem;

void let_some_add(KitProblem& problem, Chance& chance) {
  const auto deals = problem.deals.size();
  const auto often = chance.between(0, 3);  // never to always
  problem.adds.assign(deals, std::vector<bool>(deals, false));
  for (std::size_t a = 0; a < deals; ++a)
    for (std::size_t b = 0; b < a; ++b) problem.adds[a][b] = problem.adds[b][a] = chance.between(1, 3) <= often;
}

runtime::PartOff some_part(Chance& chance) {
  static constexpr runtime::PartOff parts[] = {{1, 20}, {1, 10}, {3, 20}, {1, 8}, {1, 3}, {1, 5}, {1, 4}};
  return parts[chance.between(0, 6)];
}

// A deal over `covered` pieces or so; of these it reaches every item, or most.
Deal some_deal(const KitProblem& problem, std::size_t covered, Chance& chance) {
  Deal deal;
  deal.one_make = !chance.once_in(3);
  deal.reaches.resize(problem.pieces.size());
  const bool picky = chance.once_in(3);
  std::vector<std::size_t> pieces(problem.pieces.size());
  for (std::size_t p = 0; p < pieces.size(); ++p) pieces[p] = p;
  for (std::size_t i = 0; i < covered; ++i) {
    std::swap(pieces[i], pieces[static_cast<std::size_t>(chance.between(
                             static_cast<std::int64_t>(i), static_cast<std::int64_t>(pieces.size()) - 1))]);
    auto& reached = deal.reaches[pieces[i]];
    for (std::size_t c = 0; c < problem.pieces[pieces[i]].size(); ++c) reached.push_back(!picky || !chance.once_in(3));
  }
  return deal;
}

// Has some parts taken off some of their lines alone.
void give_some(KitProblem& problem, Chance& chance) {
  for (auto& deal : problem.deals) {
    if (!std::holds_alternative<runtime::PartOff>(deal.effect) || !chance.once_in(3)) continue;
    for (std::size_t p = 0; p < problem.pieces.size(); ++p) deal.off.push_back(chance.once_in(2));
    // A gift is often the whole of a line.
    if (chance.once_in(2)) deal.effect = runtime::PartOff{1, 1};
  }
}

// Links two pieces, if that closes no circle and joins no more than four.
bool try_to_link(KitProblem& problem, std::size_t a, std::size_t b) {
  const auto tree_of = [&](std::size_t piece) {
    std::vector<std::size_t> tree{piece};
    for (std::size_t i = 0; i < tree.size(); ++i)
      for (const auto& link : problem.links) {
        const auto other = link.first == tree[i] ? link.second : link.first;
        if ((link.first == tree[i] || link.second == tree[i]) &&
            std::find(tree.begin(), tree.end(), other) == tree.end())
          tree.push_back(other);
      }
    return tree;
  };
  const auto here = tree_of(a);
  if (std::find(here.begin(), here.end(), b) != here.end() || here.size() + tree_of(b).size() > 4) return false;
  problem.links.push_back({std::min(a, b), std::max(a, b), {}, {}});
  return true;
}

void link_some(KitProblem& problem, std::size_t links, Chance& chance) {
  const auto last = static_cast<std::int64_t>(problem.pieces.size()) - 1;
  for (std::size_t tries = 0; tries < links && last > 0; ++tries) {
    const auto a = static_cast<std::size_t>(chance.between(0, last)),
               b = static_cast<std::size_t>(chance.between(0, last));
    if (a == b || !try_to_link(problem, a, b)) continue;
    auto& link = problem.links.back();
    // By makes, and now and then by an item's own number.
    const auto usual = chance.between(0, 3);
    for (const auto& item : problem.pieces[link.first]) {
      auto& names = link.first_names.emplace_back();
      for (std::uint32_t make = 0; make < 4; ++make)
        if (static_cast<std::int64_t>(make) == (item.make + 1) % 4 ? usual > 0 : chance.between(0, 3) < usual)
          names.push_back(make);
      if (chance.once_in(8)) names.push_back(4 + static_cast<std::uint32_t>(chance.between(0, 9)));
    }
    for (std::uint32_t c = 0; c < problem.pieces[link.second].size(); ++c)
      link.second_names.push_back({static_cast<std::uint32_t>(problem.pieces[link.second][c].make + 1) % 4, 4 + c});
  }
}

std::int64_t typical(const KitProblem& problem, const Deal& deal) {
  std::int64_t sum = 0;
  for (std::size_t p = 0; p < deal.reaches.size(); ++p)
    if (!deal.reaches[p].empty()) sum += problem.pieces[p][problem.pieces[p].size() / 2].price;
  return sum;
}

}  // namespace

KitProblem small_shop(std::uint64_t seed) {
  Chance chance(seed);
  KitProblem problem;
  const auto pieces = static_cast<std::size_t>(chance.between(1, 4));
  const auto dearest = chance.between(1, 12), most_worth = chance.between(0, 8), makes = chance.between(1, 3);
  for (std::size_t p = 0; p < pieces; ++p) {
    problem.pieces.emplace_back();
    for (auto left = chance.between(1, 4); left > 0; --left)
      problem.pieces.back().push_back({chance.between(0, dearest),
                                       chance.between(chance.once_in(9) ? -2 : 0, most_worth),
                                       static_cast<int>(chance.between(chance.once_in(4) ? -1 : 0, makes - 1))});
  }
  for (auto left = chance.between(0, 4); left > 0; --left) {
    const auto covered = static_cast<std::size_t>(chance.between(1, static_cast<std::int64_t>(pieces)));
    auto deal = some_deal(problem, covered, chance);
    deal.at_least = static_cast<std::size_t>(chance.between(1, static_cast<std::int64_t>(covered)));
    switch (chance.between(0, 3)) {
      case 0: deal.effect = runtime::SumOff{chance.between(0, dearest)}; break;
      case 1:
        deal.at_least = covered;
        deal.effect = runtime::OnePrice{chance.between(0, dearest * static_cast<std::int64_t>(covered))};
        break;
      default: deal.effect = chance.once_in(8) ? runtime::PartOff{93, 100} : some_part(chance);
    }
    problem.deals.push_back(std::move(deal));
  }
  let_some_add(problem, chance);
  if (!chance.once_in(3)) problem.limit = chance.between(0, dearest * static_cast<std::int64_t>(pieces));
  problem.rounding = chance.once_in(2) ? runtime::Rounding::per_bill : runtime::Rounding::per_line;
  problem.objective = chance.once_in(4) ? runtime::KitObjective::price : runtime::KitObjective::price_less_worth;
  link_some(problem, static_cast<std::size_t>(chance.between(0, 3)), chance);
  give_some(problem, chance);
  return problem;
}

KitProblem shop(std::uint64_t seed, const ShopShape& shape) {
  Chance chance(seed);
  KitProblem problem;
  std::vector<std::int64_t> level;  // per cent, by make
  for (std::size_t m = 0; m < shape.makes; ++m) level.push_back(chance.between(85, 120));
  for (std::size_t p = 0; p < shape.pieces; ++p) {
    problem.pieces.emplace_back();
    const auto plain = chance.between(900, 24'000) / shape.minor, step = chance.between(plain / 8, plain / 2);
    const auto step_worth = step * chance.between(70, 130) / 100;
    for (std::size_t i = 0; i < shape.items; ++i) {
      const auto grade = chance.between(0, 4);
      const auto make = static_cast<std::size_t>(chance.between(0, static_cast<std::int64_t>(shape.makes) - 1));
      const auto price = (plain + grade * step) * level[make] / 100 * chance.between(85, 115) / 100;
      problem.pieces.back().push_back(
          {chance.once_in(3) ? price / 100 * 100 + 99 : price, grade * step_worth, static_cast<int>(make)});
    }
  }
  for (std::size_t d = 0; d < shape.deals; ++d) {
    const bool one_price = chance.once_in(4) && shape.pieces >= 2;
    const auto least = one_price ? std::int64_t{2} : std::int64_t{1};
    const auto most = one_price ? std::min<std::int64_t>(3, static_cast<std::int64_t>(shape.pieces))
                                : static_cast<std::int64_t>(shape.pieces);
    const auto covered =
        static_cast<std::size_t>(one_price ? chance.between(least, most) : chance.between((most + 1) / 2, most));
    auto deal = some_deal(problem, covered, chance);
    const auto sum = typical(problem, deal);
    if (one_price) {
      deal.at_least = covered;
      deal.effect = runtime::OnePrice{sum * chance.between(60, 95) / 100};
    } else {
      deal.at_least =
          static_cast<std::size_t>(chance.between(std::min<std::int64_t>(2, static_cast<std::int64_t>(covered)),
                                                  static_cast<std::int64_t>((covered + 1) / 2 + 1)));
      deal.at_least = std::min(deal.at_least, covered);
      if (chance.once_in(3))
        deal.effect = runtime::SumOff{sum * static_cast<std::int64_t>(deal.at_least) /
                                      static_cast<std::int64_t>(covered) * chance.between(4, 20) / 100};
      else
        deal.effect = some_part(chance);
    }
    problem.deals.push_back(std::move(deal));
  }
  let_some_add(problem, chance);
  std::int64_t cheapest = 0;
  for (const auto& piece : problem.pieces)
    cheapest += std::min_element(piece.begin(), piece.end(), [](const auto& a, const auto& b) {
                  return a.price < b.price;
                })->price;
  if (!chance.once_in(4)) problem.limit = cheapest * chance.between(85, chance.once_in(2) ? 105 : 170) / 100;
  problem.rounding = chance.once_in(2) ? runtime::Rounding::per_bill : runtime::Rounding::per_line;
  link_some(problem, shape.links, chance);
  give_some(problem, chance);
  return problem;
}

KitProblem any_shop(std::uint64_t seed) {
  Chance chance(~seed);
  const auto some = [&](std::int64_t first, std::int64_t last) {
    return static_cast<std::size_t>(chance.between(first, last));
  };
  const ShopShape shape{some(2, 14), some(1, 60), some(1, 10), some(0, 5), 10, some(0, 4)};
  return shop(seed, shape);
}

}  // namespace lacestay::kits
