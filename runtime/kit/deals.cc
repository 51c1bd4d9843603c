#include "runtime/kit/deals.hpp"

#include <algorithm>
#include <limits>
#include <numeric>

#include "compiler/values/rational.hpp"

namespace lacestay::runtime {

KitDeals::KitDeals(const KitProblem& problem) : problem_(problem) {
  const auto deals = problem.deals.size();
  for (const auto& deal : problem.deals)
    if (const auto* part = std::get_if<PartOff>(&deal.effect))
      unit_ = std::lcm(unit_, part->denominator / std::gcd(part->numerator, part->denominator));
  for (const auto& deal : problem.deals) {
    const auto* part = std::get_if<PartOff>(&deal.effect);
    parts_.push_back(part ? part->numerator * unit_ / part->denominator : 0);
  }
  if (problem.rounding == Rounding::per_bill) scale_ = unit_;
  adds_.assign(deals, 0);
  for (std::size_t a = 0; a < problem.adds.size(); ++a)
    for (std::size_t b = 0; b < problem.adds.size(); ++b)
      if (a != b && problem.adds[a][b]) adds_[a] |= DealSet{1} << b;
  const auto all = deals == 0 ? DealSet{0} : ~DealSet{0} >> (32 - deals);
  find_sets(0, all, 0);
  // The set that has the first deal that is not in both goes first.
  std::sort(sets_.begin(), sets_.end(), [](DealSet a, DealSet b) {
    const auto differing = a ^ b;
    return differing != 0 && (a & (differing & -differing)) != 0;
  });
}

// Maximal cliques by Bron and Kerbosch's algorithm with a pivot. `standing` is the clique so far; every deal of `open`
// and `closed` adds to all of it; those of `closed` have been tried, so a set that could still take one is not new.
void KitDeals::find_sets(DealSet standing, DealSet open, DealSet closed) {
  if (open == 0 && closed == 0) sets_.push_back(standing);
  if (open == 0) return;
  // Every maximal set holds the pivot or a deal that does not add to it, so only those are tried. The pivot that adds
  // to most open deals leaves the fewest.
  DealSet pivots = 0;
  int most = -1;
  each_bit(open | closed, [&](std::size_t d) {
    const auto here = std::popcount(open & adds_[d]);
    if (here > most) most = here, pivots = adds_[d];
  });
  each_bit(open & ~pivots, [&](std::size_t d) {
    const auto deal = DealSet{1} << d;
    find_sets(standing | deal, open & adds_[d], closed & adds_[d]);
    open &= ~deal;
    closed |= deal;
  });
}

std::int64_t KitDeals::part_off(std::int64_t price, std::int64_t parts) const {
  const auto exact = compiler::Int128{price} * std::min(parts, unit_);
  if (scale_ == unit_) return static_cast<std::int64_t>(exact);
  return static_cast<std::int64_t>((2 * exact + unit_) / (2 * unit_));
}

// The customer pays list - floor(off + 1/2), which is the exact price less a half, rounded up: at most the limit where
// the exact price is no more than half a minor unit above it.
std::int64_t KitDeals::exact_limit() const { return *problem_.limit * scale_ + scale_ / 2; }

std::int64_t KitDeals::paid(std::int64_t exact) const { return compiler::ceil_divide(2 * exact - scale_, 2 * scale_); }

std::int64_t KitDeals::whole_off(std::span<const std::size_t> choice, std::size_t deal, Lines lines) const {
  const auto& effect = problem_.deals[deal].effect;
  if (const auto* off = std::get_if<SumOff>(&effect)) return off->sum;
  std::int64_t sum = 0;
  each_bit(lines, [&](std::size_t p) { sum += problem_.pieces[p][choice[p]].price; });
  return sum - std::get<OnePrice>(effect).price;
}

bool KitDeals::takes_something(std::span<const std::size_t> choice, std::size_t deal, Lines lines) const {
  if (!std::holds_alternative<PartOff>(problem_.deals[deal].effect)) return whole_off(choice, deal, lines) > 0;
  std::int64_t dearest = 0;
  each_bit(lines, [&](std::size_t p) {
    if (problem_.deals[deal].reduces(p)) dearest = std::max(dearest, problem_.pieces[p][choice[p]].price);
  });
  return parts_[deal] > 0 && dearest > 0;
}

std::int64_t KitDeals::exact_price(std::span<const std::size_t> choice, DealSet set) const {
  std::int64_t parts[KitProblem::most_pieces] = {}, sum = 0;
  each_bit(set, [&](std::size_t deal) {
    const bool is_part = std::holds_alternative<PartOff>(problem_.deals[deal].effect);
    each_application(choice, deal, [&](int, Lines lines) {
      if (is_part)
        each_bit(lines, [&](std::size_t p) { parts[p] += problem_.deals[deal].reduces(p) ? parts_[deal] : 0; });
      else
        sum -= whole_off(choice, deal, lines) * scale_;
    });
  });
  for (std::size_t p = 0; p < choice.size(); ++p) {
    const auto price = problem_.pieces[p][choice[p]].price;
    sum += price * scale_ - part_off(price, parts[p]);
  }
  return std::max<std::int64_t>(sum, 0);
}

std::int64_t KitDeals::exact_price(std::span<const std::size_t> choice) const {
  auto best = std::numeric_limits<std::int64_t>::max();
  for (const auto set : sets_) best = std::min(best, exact_price(choice, set));
  return best;
}

}  // namespace lacestay::runtime
