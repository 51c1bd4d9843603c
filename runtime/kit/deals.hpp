// What deals come to: the sets that may stand together, and the exact price of a kit under the best of them.
//
// Made once for a problem without fault, which must outlive it. Immutable, so shared by threads.
#pragma once

#include <bit>
#include <cstdint>
#include <span>
#include <vector>

#include "runtime/kit/problem.hpp"

namespace lacestay::runtime {

using Lines = std::uint32_t;    // a set of lines: bit p is the line of piece p
using DealSet = std::uint32_t;  // bit d is deal d

// The places of the set bits, ascending.
template <typename Visit>
void each_bit(std::uint32_t bits, Visit visit) {
  for (; bits != 0; bits &= bits - 1) visit(static_cast<std::size_t>(std::countr_zero(bits)));
}

class KitDeals {
 public:
  explicit KitDeals(const KitProblem& problem);

  [[nodiscard]] const KitProblem& problem() const { return problem_; }
  // Exact money is in 1/scale minor units: the parts' common denominator where the bill rounds once, else 1.
  [[nodiscard]] std::int64_t scale() const { return scale_; }
  // The sets of deals that may stand together and are in no larger one: since no deal ever raises the price, the best
  // bill is among them. In the order of preference at equal totals. At most 3^(deals / 3) of them, each deal
  // alone where none add.
  [[nodiscard]] const std::vector<DealSet>& sets() const { return sets_; }

  // A deal's part, in 1/unit; 0 for other effects.
  [[nodiscard]] std::int64_t parts(std::size_t deal) const { return parts_[deal]; }
  [[nodiscard]] std::int64_t unit() const { return unit_; }
  // What `parts` of the unit take off a line, in exact money.
  [[nodiscard]] std::int64_t part_off(std::int64_t price, std::int64_t parts) const;
  // Where the exact price is no more than this, what the customer pays is within the limit. The problem has a limit.
  [[nodiscard]] std::int64_t exact_limit() const;
  // What the customer pays of an exact price.
  [[nodiscard]] std::int64_t paid(std::int64_t exact) const;

  // Each application of a deal that takes something off: its make (-1 for all), its lines.
  template <typename Visit>
  void each_application(std::span<const std::size_t> choice, std::size_t deal, Visit visit) const;
  // What an application of a SumOff or OnePrice takes off, in minor units; may be below 0.
  [[nodiscard]] std::int64_t whole_off(std::span<const std::size_t> choice, std::size_t deal, Lines lines) const;

  // The exact price under one set of deals, never below 0; and under the best. About a microsecond.
  [[nodiscard]] std::int64_t exact_price(std::span<const std::size_t> choice, DealSet set) const;
  [[nodiscard]] std::int64_t exact_price(std::span<const std::size_t> choice) const;

 private:
  [[nodiscard]] bool takes_something(std::span<const std::size_t> choice, std::size_t deal, Lines lines) const;
  void find_sets(DealSet standing, DealSet open, DealSet closed);

  const KitProblem& problem_;
  std::int64_t unit_ = 1, scale_ = 1;
  std::vector<std::int64_t> parts_;
  std::vector<DealSet> adds_;  // by deal
  std::vector<DealSet> sets_;
};

template <typename Visit>
void KitDeals::each_application(std::span<const std::size_t> choice, std::size_t deal, Visit visit) const {
  const auto& terms = problem_.deals[deal];
  Lines reached = 0;
  for (std::size_t p = 0; p < choice.size(); ++p) {
    const auto& covered = terms.reaches[p];
    if (!covered.empty() && covered[choice[p]]) reached |= Lines{1} << p;
  }
  const auto try_on = [&](int make, Lines lines) {
    if (static_cast<std::size_t>(std::popcount(lines)) >= terms.at_least && takes_something(choice, deal, lines))
      visit(make, lines);
  };
  if (!terms.one_make) return try_on(-1, reached);
  while (reached != 0) {
    const auto make_of = [&](std::size_t piece) { return problem_.pieces[piece][choice[piece]].make; };
    const auto make = make_of(static_cast<std::size_t>(std::countr_zero(reached)));
    Lines same = 0;
    each_bit(reached, [&](std::size_t p) { same |= make_of(p) == make ? Lines{1} << p : 0; });
    reached &= ~same;
    if (make >= 0) try_on(make, same);
  }
}

}  // namespace lacestay::runtime
