// A quick look at a node before its states are counted.
//
// Lines that lack and money over the limit are not forbidden but charged: an item is credited for each need it lowers,
// each need is charged for in full, and money at a rate. Then every piece is on its own, and whatever the charges, no
// kit on these terms costs less. Good charges are found by moving each with what the kit found lacks, by a step that
// would close the gap to the best kit known were the cost as steep everywhere. Most nodes are closed so, or parted in
// two, and their states, which can be hundreds of thousands, never counted.
#include <algorithm>

#include "compiler/values/rational.hpp"
#include "runtime/kit/relaxed.hpp"

namespace lacestay::runtime {
namespace {

constexpr int most_rounds = 60, patience = 6;
constexpr std::int64_t highest_charge = std::int64_t{1} << 48;  // so that all lines' together fit

}  // namespace

std::optional<KitRelaxation::Charged> KitRelaxation::charge(const KitValue& known, KitCharges& charges) {
  const bool limited = limit_ < largest_ && objective_ == KitObjective::price_less_worth;
  // Money is counted in lines of a middling price, so that its step is like the others'.
  const auto line = std::max<std::int64_t>(1, (limited ? limit_ : largest_) / static_cast<std::int64_t>(size_ + 1));
  const auto target = compiler::Int128{grain_} * known.first + 1;
  std::vector<std::int64_t> line_charges(needs_of_.size());
  for (std::size_t n = 0; n < needs_of_.size(); ++n)
    line_charges[n] = static_cast<std::int64_t>(std::min<compiler::Int128>(
        compiler::Int128{charges.lines[needs_of_[n].application]} * grain_ / charges.grain, highest_charge));
  auto rate = limited ? static_cast<std::int64_t>(std::min<compiler::Int128>(
                            compiler::Int128{charges.rate} * grain_ / charges.grain, highest_rate_))
                      : 0;

  compiler::Int128 aim = target, best = 0;
  Charged charged;
  Choice choice(size_);
  std::vector<std::int64_t> lacking(needs_of_.size());
  std::int64_t share = 1;  // steps are halved as they stop helping
  int idle = 0;
  for (int round = 0; round < most_rounds; ++round) {
    compiler::Int128 bound =
        -compiler::Int128{grain_ + rate} * sums_off_ - compiler::Int128{rate} * (limited ? limit_ : 0);
    auto over = -sums_off_ - limit_;
    for (std::size_t n = 0; n < needs_of_.size(); ++n) {
      lacking[n] = static_cast<std::int64_t>(needs_of_[n].lines);
      bound += compiler::Int128{line_charges[n]} * lacking[n];
    }
    for (std::size_t p = 0; p < size_; ++p) {
      work_.spend(kinds_[p].back().end - kinds_[p].front().first);
      compiler::Int128 least = 0;
      const Option* taken = nullptr;
      std::uint64_t lowered = 0;
      for (const auto& kind : kinds_[p]) {
        std::int64_t credit = 0;
        for (auto bits = kind.lowers; bits != 0; bits &= bits - 1)
          credit += line_charges[static_cast<std::size_t>(std::countr_zero(bits))];
        for (auto o = kind.first; o < kind.end; ++o) {
          const auto cost = compiler::Int128{grain_ * options_[o].value.first + rate * options_[o].price} - credit;
          if (taken && cost >= least) continue;
          least = cost;
          taken = &options_[o];
          lowered = kind.lowers;
        }
      }
      bound += least;
      choice[p] = taken->candidate;
      over += taken->price;
      for (; lowered != 0; lowered &= lowered - 1) --lacking[static_cast<std::size_t>(std::countr_zero(lowered))];
    }
    if (bound >= target) return std::nullopt;
    if (round == 0) aim += (target - bound) / 8;  // steps that lead to the target itself never get there
    if (round == 0 || bound > best) {
      best = bound;
      charged.choice = choice;
      idle = 0;
      charges.grain = grain_;
      charges.rate = rate;
      for (std::size_t n = 0; n < needs_of_.size(); ++n) charges.lines[needs_of_[n].application] = line_charges[n];
    } else if (++idle == patience) {
      idle = 0;
      share *= 2;
    }
    const auto lines_over = limited ? over / line : 0;
    auto steep = compiler::Int128{lines_over} * lines_over;
    for (const auto each : lacking) steep += each * each;
    if (steep == 0) break;
    const auto step =
        static_cast<std::int64_t>(std::min<compiler::Int128>((aim - bound) / (steep * share), highest_charge));
    for (std::size_t n = 0; n < needs_of_.size(); ++n)
      line_charges[n] = std::clamp<std::int64_t>(line_charges[n] + step * lacking[n], 0, highest_charge);
    if (limited)
      rate = static_cast<std::int64_t>(
          std::clamp<compiler::Int128>(rate + compiler::Int128{step} * lines_over / line, 0, highest_rate_));
  }
  charged.at_least = static_cast<std::int64_t>(compiler::ceil_divide(best, compiler::Int128{grain_}));
  return charged;
}

}  // namespace lacestay::runtime
