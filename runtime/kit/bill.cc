#include "runtime/kit/bill.hpp"

#include <algorithm>
#include <optional>

#include "compiler/values/rational.hpp"

namespace lacestay::runtime {
namespace {

// The deals of the set with an application that takes something off.
DealSet used(const KitDeals& deals, std::span<const std::size_t> choice, DealSet set) {
  DealSet held = 0;
  each_bit(set, [&](std::size_t deal) {
    deals.each_application(choice, deal, [&](int, Lines) { held |= DealSet{1} << deal; });
  });
  return held;
}

DealSet best_set(const KitDeals& deals, std::span<const std::size_t> choice) {
  DealSet best = 0;
  std::optional<std::int64_t> least;
  for (const auto set : deals.sets()) {
    const auto price = deals.exact_price(choice, set);
    if (least && price > *least) continue;
    const auto held = used(deals, choice, set);
    const auto differing = held ^ best;
    if (least && price == *least && (held & (differing & -differing)) == 0) continue;
    least = price;
    best = held;
  }
  return best;
}

// Shares out whole minor units: each share is how much the rounded running sum grows, so that the shares add up to the
// rounded total.
class Sharer {
 public:
  explicit Sharer(std::int64_t unit) : unit_(unit) {}
  std::int64_t share(compiler::Int128 exact) {
    sum_ += exact;
    const auto rounded = static_cast<std::int64_t>((2 * sum_ + unit_) / (2 * unit_));
    const auto grown = rounded - given_;
    given_ = rounded;
    return grown;
  }

 private:
  std::int64_t unit_, given_ = 0;
  compiler::Int128 sum_ = 0;
};

}  // namespace

KitBill bill_of(const KitDeals& deals, std::span<const std::size_t> choice) {
  const auto& problem = deals.problem();
  KitBill bill;
  for (std::size_t p = 0; p < choice.size(); ++p) {
    bill.lines.push_back({problem.pieces[p][choice[p]].price, 0});
    bill.list += bill.lines.back().list;
  }
  const bool per_bill = problem.rounding == Rounding::per_bill;
  Sharer whole_bill(deals.unit());
  std::vector<Sharer> by_line(choice.size(), Sharer(deals.unit()));
  std::vector<std::int64_t> parts(choice.size(), 0);
  const auto set = best_set(deals, choice);
  each_bit(set, [&](std::size_t deal) {
    const bool is_part = std::holds_alternative<PartOff>(problem.deals[deal].effect);
    deals.each_application(choice, deal, [&](int make, Lines lines) {
      KitBill::Application application{deal, make, {}, 0};
      each_bit(lines, [&](std::size_t p) {
        application.lines.push_back(p);
        if (!is_part || !problem.deals[deal].reduces(p)) return;
        const auto more = std::min(deals.parts(deal), deals.unit() - parts[p]);
        parts[p] += more;
        auto& sharer = per_bill ? whole_bill : by_line[p];
        const auto off = sharer.share(compiler::Int128{bill.lines[p].list} * more);
        bill.lines[p].off += off;
        application.off += off;
      });
      if (!is_part) application.off = deals.whole_off(choice, deal, lines);
      bill.applications.push_back(std::move(application));
    });
  });
  bill.total = deals.paid(deals.exact_price(choice, set));
  bill.saved = bill.list - bill.total;
  return bill;
}

KitBill bill_of(const KitProblem& problem, std::span<const std::size_t> choice) {
  return bill_of(KitDeals(problem), choice);
}

}  // namespace lacestay::runtime
