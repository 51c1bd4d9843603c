// The kit builder: of all kits the shop can hand over, an optimal one, with a proof. README.md beside this file
// explains the method.
//
// The best kit's total is within the limit; it has the least exact price less worth (or the least price, as the
// objective says), ties by the other, then the candidates that come first, in the order of the pieces. So the answer is
// unique, and the same on every machine: work is counted in steps, not in seconds.
//
// 12 pieces of 50 items of 8 makes take some milliseconds. The problem is NP-hard (with a limit it contains the
// multiple-choice knapsack problem), so there is a budget of work; past it the best kit found so far is given, and how
// far it may be from the best.
//
// The functions share no state, so any number of threads may call them.
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
  refused,      // the problem has a fault (problem.hpp); nothing else of the result is filled in
};

struct KitResult {
  KitStatus status = KitStatus::refused;
  std::vector<std::size_t> choice;  // the candidate of each piece; with the rest, only for best and best_so_far
  KitBill bill;
  // In 1/scale minor units. `value`: the exact price less the worth, or the exact price, as the objective has it.
  // `bound`: no kit's value is below it; filled in for every status but none and refused.
  std::int64_t value = 0, bound = 0, scale = 1;
  std::int64_t worth = 0;  // minor units, of all its items
  std::uint64_t work = 0;  // steps; a step is a few nanoseconds

  [[nodiscard]] bool has_kit() const { return status == KitStatus::best || status == KitStatus::best_so_far; }
};

constexpr std::uint64_t kit_budget = 400'000'000;  // some seconds of work; usual shops need far below a hundredth

[[nodiscard]] KitResult build_kit(const KitProblem& problem, std::uint64_t budget = kit_budget);

// The best kit without the item that `best` has for the piece; nothing where there is none, or none was found within
// the budget. `best` is a result of this problem. Kits that differ from it in this piece alone start the search, which
// makes it shorter and never changes its answer.
[[nodiscard]] std::optional<KitResult> runner_up(const KitProblem& problem, const KitResult& best, std::size_t piece,
                                                 std::uint64_t budget = kit_budget);

}  // namespace lacestay::runtime
