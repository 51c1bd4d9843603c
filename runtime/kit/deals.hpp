// The deals priced: the maximal sets of compatible deals, and the exact price of a kit under the best of them.
//
// Made once for a problem without fault, which must outlive it. Immutable once made, so threads may share it.
#pragma once

#include <bit>
#include <cstdint>
#include <span>
#include <vector>

#include "runtime/kit/problem.hpp"

namespace lacestay::runtime {

using Lines = std::uint32_t;    // a set of lines: bit p is the line of piece p
using DealSet = std::uint32_t;  // bit d is deal d

// Calls `visit` with the index of each set bit, ascending.
template <typename Visit>
void each_bit(std::uint32_t bits, Visit visit) {
  for (; bits != 0; bits &= bits - 1) visit(static_cast<std::size_t>(std::countr_zero(bits)));
}

class KitDeals {
 public:
  explicit KitDeals(const KitProblem& problem);

  [[nodiscard]] const KitProblem& problem() const { return problem_; }
  // *Exact money* here and in the other files is in 1/scale minor units: the parts' common denominator where the bill
  // rounds once, else 1. So all sums are whole numbers, and nothing is rounded before the end.
  [[nodiscard]] std::int64_t scale() const { return scale_; }
  // The maximal sets of deals that pairwise add: the maximal cliques of the compatibility graph. Since no deal ever
  // raises the price, the best bill is under one of them. In order of preference at equal totals: the set that has the
  // first deal that is not in both. At most 3^(deals / 3) of them (Moon and Moser 1965); each deal alone where none
  // add.
  [[nodiscard]] const std::vector<DealSet>& sets() const { return sets_; }

  // A PartOff's fraction is parts(deal) / unit(), with one denominator for all deals; parts is 0 for other effects.
  [[nodiscard]] std::int64_t parts(std::size_t deal) const { return parts_[deal]; }
  [[nodiscard]] std::int64_t unit() const { return unit_; }
  // What parts / unit() take off a line of this list price (minor units), at most all of it; in exact money.
  [[nodiscard]] std::int64_t part_off(std::int64_t price, std::int64_t parts) const;
  // The customer pays at most the limit if and only if the exact price is at most this. The problem must have a limit.
  [[nodiscard]] std::int64_t exact_limit() const;
  // An exact price rounded to what the customer pays, in minor units; halves in the customer's favour.
  [[nodiscard]] std::int64_t paid(std::int64_t exact) const;

  // Calls visit(make, lines) for each application of the deal that this kit earns and that takes something off; make is
  // -1 where it is over all. `choice` in all of these: the candidate of each piece.
  template <typename Visit>
  void each_application(std::span<const std::size_t> choice, std::size_t deal, Visit visit) const;
  // What an application of a SumOff or OnePrice takes off, in minor units; may be below 0.
  [[nodiscard]] std::int64_t whole_off(std::span<const std::size_t> choice, std::size_t deal, Lines lines) const;

  // The exact price under one set of deals, never below 0; and under the best set. About a microsecond a set.
  [[nodiscard]] std::int64_t exact_price(std::span<const std::size_t> choice, DealSet set) const;
  [[nodiscard]] std::int64_t exact_price(std::span<const std::size_t> choice) const;

 private:
  [[nodiscard]] bool takes_something(std::span<const std::size_t> choice, std::size_t deal, Lines lines) const;
  void find_sets(DealSet standing, DealSet open, DealSet closed);

  const KitProblem& problem_;
  std::int64_t unit_ = 1, scale_ = 1;
  std::vector<std::int64_t> parts_;
  std::vector<DealSet> adds_;  // by deal: those it adds to
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
