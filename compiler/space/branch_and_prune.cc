#include "compiler/space/branch_and_prune.hpp"

namespace lacestay::compiler {

std::optional<BranchAndPrune::Split> BranchAndPrune::split(const Part& part, std::span<const std::size_t> ranges,
                                                           SplitAt where) const {
  const auto steps = [&](std::size_t at) { return (part[at].high - part[at].low) / domain(at).grain; };
  const auto all_values = [&](std::size_t at) {
    return (domain(at).highest - domain(at).lowest) / domain(at).grain + 1;
  };
  // By share of the domain: ticks of a weight and of a length don't compare.
  std::optional<std::size_t> widest;
  for (const auto at : ranges) {
    if (steps(at) == 0) continue;
    if (!widest || Int128{steps(at)} * all_values(*widest) > Int128{steps(*widest)} * all_values(at)) widest = at;
  }
  if (!widest) return std::nullopt;
  const auto& held = part[*widest];
  const auto grain = domain(*widest).grain;
  const auto middle = held.low + steps(*widest) / 2 * grain;
  std::optional<std::int64_t> nearest;
  if (where == SplitAt::edge && !domain(*widest).members) {
    const auto& cuts = tables_.columns[asked(*widest)].cuts;
    const std::size_t above = place_of(tables_, asked(*widest), middle);
    for (const auto cut : {above - 1, above}) {
      if (cut >= cuts.size() || cuts[cut].at <= held.low || cuts[cut].at > held.high) continue;
      if (!nearest || cuts[cut].at - middle < middle - *nearest) nearest = cuts[cut].at;
    }
  }
  return Split{*widest, nearest ? *nearest - grain : middle};
}

}  // namespace lacestay::compiler
