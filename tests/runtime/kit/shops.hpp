// Invented shops to build kits from: small ones with few different sums, so that ties and edges are met often, and ones
// with a shop's prices. The same seed gives the same shop everywhere.
#pragma once

#include <cstdint>

#include "runtime/kit/problem.hpp"
#include "tests/reference/draw.hpp"

namespace lacestay::kits {

struct Chance : naive::Draw {
  explicit Chance(std::uint64_t seed) : Draw(seed * 0x9E3779B97F4A7C15u + 1) {}
  bool once_in(std::int64_t times) { return between(1, times) == 1; }
};

// At most four pieces of at most four items, with sums up to a dozen minor units.
[[nodiscard]] runtime::KitProblem small_shop(std::uint64_t seed);

struct ShopShape {
  std::size_t pieces, items, makes, deals;
  std::int64_t minor = 1;  // prices are divided by this: solvers that work in floating point need small sums
  std::size_t links = 0;   // at most; trees of up to four pieces
};
// A shop's prices, dearer grades worth about what they cost more, makes with their own price levels, deals of
// all kinds, limits from none to ones no kit is within, and pieces of which only some items go together: those of some
// makes, and a few by themselves.
[[nodiscard]] runtime::KitProblem shop(std::uint64_t seed, const ShopShape& shape);
// 2 to 14 pieces, 1 to 60 items, 1 to 10 makes, 0 to 5 deals, 0 to 4 links; in small sums.
[[nodiscard]] runtime::KitProblem any_shop(std::uint64_t seed);

}  // namespace lacestay::kits
