// The Lagrangian bound of a node, by subgradient: a cheap test before its state graph is built.
//
// The constraints that tie the pieces together (required lines, the limit) are dropped, and their violation is charged
// for instead: each need costs its multiplier for every line it requires, an item is credited the multiplier of each
// need it lowers, and price over the limit costs `rate`. Then the best item of each piece can be chosen by itself, and
// for any multipliers >= 0 the sum is a lower bound on every kit under these fixings. The violations of the kit so
// chosen are a subgradient of the bound; the multipliers take a Polyak-style step along it, as long as would raise the
// bound to just above the best known kit's value if the bound were linear. Most nodes are pruned or branched on this
// alone, and their state graphs, which can have hundreds of thousands of states, are never built.
#include <algorithm>

#include "compiler/values/rational.hpp"
#include "runtime/kit/relaxed.hpp"

namespace lacestay::runtime {
namespace {

constexpr int most_rounds = 60, patience = 6;
constexpr std::int64_t highest_multiplier = std::int64_t{1} << 48;  // so that a sum over all lines fits 64 bits

}  // namespace

std::optional<KitRelaxation::Lagrangian> KitRelaxation::lagrangian(const KitValue& known, KitMultipliers& multipliers) {
  const bool limited = limit_ < largest_ && objective_ == KitObjective::price_less_worth;
  // The limit's violation is measured in lines of an average price, so that it weighs like missing lines in the step.
  const auto line = std::max<std::int64_t>(1, (limited ? limit_ : largest_) / static_cast<std::int64_t>(size_ + 1));
  const auto target = compiler::Int128{grain_} * known.first + 1;
  std::vector<std::int64_t> line_multipliers(needs_of_.size());
  for (std::size_t n = 0; n < needs_of_.size(); ++n)
    line_multipliers[n] = static_cast<std::int64_t>(std::min<compiler::Int128>(
        compiler::Int128{multipliers.lines[needs_of_[n].application]} * grain_ / multipliers.grain,
        highest_multiplier));
  auto rate = limited ? static_cast<std::int64_t>(std::min<compiler::Int128>(
                            compiler::Int128{multipliers.rate} * grain_ / multipliers.grain, highest_rate_))
                      : 0;

  compiler::Int128 aim = target, best = 0;
  Lagrangian found;
  Choice choice(size_);
  std::vector<std::int64_t> lacking(needs_of_.size());
  std::int64_t share = 1;  // steps are divided by it: doubled after `patience` rounds without a better bound
  int idle = 0;
  for (int round = 0; round < most_rounds; ++round) {
    compiler::Int128 bound =
        -compiler::Int128{grain_ + rate} * sums_off_ - compiler::Int128{rate} * (limited ? limit_ : 0);
    auto over = -sums_off_ - limit_;
    for (std::size_t n = 0; n < needs_of_.size(); ++n) {
      lacking[n] = static_cast<std::int64_t>(needs_of_[n].lines);
      bound += compiler::Int128{line_multipliers[n]} * lacking[n];
    }
    for (std::size_t p = 0; p < size_; ++p) {
      work_.spend(kinds_[p].back().end - kinds_[p].front().first);
      compiler::Int128 least = 0;
      const Option* taken = nullptr;
      std::uint64_t lowered = 0;
      for (const auto& kind : kinds_[p]) {
        std::int64_t credit = 0;
        for (auto bits = kind.lowers; bits != 0; bits &= bits - 1)
          credit += line_multipliers[static_cast<std::size_t>(std::countr_zero(bits))];
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
    if (round == 0) aim += (target - bound) / 8;  // aimed at the target itself, the steps would only approach it
    if (round == 0 || bound > best) {
      best = bound;
      found.choice = choice;
      idle = 0;
      multipliers.grain = grain_;
      multipliers.rate = rate;
      for (std::size_t n = 0; n < needs_of_.size(); ++n)
        multipliers.lines[needs_of_[n].application] = line_multipliers[n];
    } else if (++idle == patience) {
      idle = 0;
      share *= 2;
    }
    const auto lines_over = limited ? over / line : 0;
    auto steep = compiler::Int128{lines_over} * lines_over;
    for (const auto each : lacking) steep += each * each;
    if (steep == 0) break;
    const auto step =
        static_cast<std::int64_t>(std::min<compiler::Int128>((aim - bound) / (steep * share), highest_multiplier));
    for (std::size_t n = 0; n < needs_of_.size(); ++n)
      line_multipliers[n] = std::clamp<std::int64_t>(line_multipliers[n] + step * lacking[n], 0, highest_multiplier);
    if (limited)
      rate = static_cast<std::int64_t>(
          std::clamp<compiler::Int128>(rate + compiler::Int128{step} * lines_over / line, 0, highest_rate_));
  }
  found.bound = static_cast<std::int64_t>(compiler::ceil_divide(best, compiler::Int128{grain_}));
  return found;
}

}  // namespace lacestay::runtime
