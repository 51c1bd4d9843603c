// The kit builder: of all kits the shop can hand over, the best; exactly, and with a proof.
//
// The best kit's total is within the limit; it has the least exact price less worth (or the least price, as the problem
// says), ties by the other, then the candidates that come first, in the order of the pieces. Nobody finds a
// better one from the same items under the same deals: the search ends when no kit left can be better, and says so by
// `bound`. It is the same on every machine, for work is counted in steps, not in seconds.
//
// 12 pieces of 50 items of 8 makes take some milliseconds. The problem is hard in general (its limit alone makes it
// so), so there is a budget of work; past it the best kit so far is given, and how far it may be from the best.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "runtime/kit/bill.hpp"
#include "runtime/kit/problem.hpp"

namespace lacestay::runtime {

enum class KitStatus : std::uint8_t {
  best,         // proven: bound == value
  best_so_far,  // the budget ended: the best kit's value is from `bound` to `value`
  none,         // proven: no kit is within the limit
  unsettled,    // the budget ended before any kit within the limit was found; there may be one
  refused,      // the problem has a fault (kit_problem.hpp)
};

struct KitResult {
  KitStatus status = KitStatus::refused;
  std::vector<std::size_t> choice;  // the candidate of each piece; with the rest, only for best and best_so_far
  KitBill bill;
  // In 1/scale minor units: the exact price less the worth, or the exact price, as the objective has it; and what no
  // kit's value is below, for every status but none and refused.
  std::int64_t value = 0, bound = 0, scale = 1;
  std::int64_t worth = 0;  // minor units, of all its items
  std::uint64_t work = 0;  // steps; a step is a few nanoseconds

  [[nodiscard]] bool has_kit() const { return status == KitStatus::best || status == KitStatus::best_so_far; }
};

constexpr std::uint64_t kit_budget = 400'000'000;  // seconds; it takes an odd shop to get there

[[nodiscard]] KitResult build_kit(const KitProblem& problem, std::uint64_t budget = kit_budget);

// The best kit without the item `best` has for the piece, or nothing where there is none, or none was found within the
// budget. `best` is a kit of this problem; it makes the search shorter, never different.
[[nodiscard]] std::optional<KitResult> runner_up(const KitProblem& problem, const KitResult& best, std::size_t piece,
                                                 std::uint64_t budget = kit_budget);

}  // namespace lacestay::runtime
