#include "compiler/witness.hpp"

#include <algorithm>
#include <cstdlib>
#include <set>

namespace lacestay::compiler {

Witnesses::Witnesses(const Policy& policy, const Tables& tables, std::size_t most_parts)
    : policy_(policy), tables_(tables), reach_(tables), most_parts_(most_parts), point_(tables.asked.size()) {}

std::int64_t Witnesses::round_value(std::size_t asked, ValueRange range) const {
  const auto& domain = tables_.asked[asked];
  const auto& scale = policy_.details[asked].scale;
  const auto middle = range.low + (range.high - range.low) / 2;
  if (domain.members || range.low == range.high) return range.low;
  const auto per = scale.kind == Scale::Kind::day ? 1 : ticks_per(scale.shown.front(), scale.money_digits);
  // 100, 50, 10, 5, 2 and 1 of the unit it is shown in, then tenths and hundredths of it.
  for (const auto& [above, below] :
       {std::pair{100, 1}, {50, 1}, {10, 1}, {5, 1}, {2, 1}, {1, 1}, {1, 2}, {1, 10}, {1, 100}}) {
    const auto step = per * above / below;
    if (step <= 0 || per * above % below != 0 || step % domain.grain != 0) continue;
    auto nearest = static_cast<std::int64_t>(floor_divide(Int128{middle} * 2 + step, Int128{step} * 2)) * step;
    if (nearest > range.high) nearest -= step;
    if (nearest < range.low) nearest += step;
    if (nearest >= range.low && nearest <= range.high) return nearest;
  }
  return domain.lowest + (middle - domain.lowest) / domain.grain * domain.grain;
}

Readings Witnesses::round_point(const std::vector<ValueRange>& part) const {
  Readings point;
  for (std::size_t i = 0; i < part.size(); ++i) point.push_back(round_value(i, part[i]));
  return point;
}

std::optional<Witnesses::Parting> Witnesses::parting(const std::vector<ValueRange>& part, const Box& box,
                                                     const std::vector<std::uint16_t>& inputs) const {
  const auto steps = [&](std::uint16_t i) { return (part[i].high - part[i].low) / tables_.asked[i].grain; };
  const auto all_steps = [&](std::uint16_t i) {
    return (tables_.asked[i].highest - tables_.asked[i].lowest) / tables_.asked[i].grain + 1;
  };
  // The input with most of its domain left: ticks of a weight and of a length don't compare.
  std::optional<std::uint16_t> widest;
  const auto consider = [&](std::uint16_t i) {
    if (steps(i) == 0) return;
    if (!widest || Int128{steps(i)} * all_steps(*widest) > Int128{steps(*widest)} * all_steps(i)) widest = i;
  };
  // Of those that a cell still in doubt rests on; parting the others would settle nothing.
  const auto fits = reach_.fits();
  for (std::size_t cell = 0; cell < fits.size(); ++cell) {
    if (fits[cell] != Fit::some) continue;
    const auto& column = tables_.columns[box[cell].column];
    if (column.worked_out)
      for (const auto input : tables_.worked_out[column.detail].inputs) consider(input);
    else
      consider(column.detail);
  }
  if (!widest)
    for (const auto input : inputs) consider(input);
  if (!widest) return std::nullopt;
  const auto& held = part[*widest];
  auto last_below = held.low + steps(*widest) / 2 * tables_.asked[*widest].grain;
  // At the edge nearest the middle, if one lies inside: then charts over the detail are soon decided.
  const auto& cuts = tables_.columns[*widest].cuts;
  const auto middle = place_of(tables_, *widest, last_below);
  std::optional<std::int64_t> nearest;
  for (const auto cut : {std::size_t{middle} - 1, std::size_t{middle}}) {
    if (tables_.asked[*widest].members || cut >= cuts.size() || cuts[cut].at <= held.low || cuts[cut].at > held.high)
      continue;
    if (!nearest || std::abs(cuts[cut].at - last_below) < std::abs(*nearest - last_below)) nearest = cuts[cut].at;
  }
  if (nearest) last_below = *nearest - tables_.asked[*widest].grain;
  return Parting{*widest, last_below};
}

bool Witnesses::search(std::vector<ValueRange>& part, const Box& box, const std::vector<std::uint16_t>& inputs,
                       std::size_t limit, Search& result) {
  if (++parts_ > limit) {
    result.kind = Search::Kind::not_settled;
    return true;
  }
  const auto fit = reach_.within(part, box);
  if (fit == Fit::none) return false;
  const auto halves = fit == Fit::all ? std::nullopt : parting(part, box, inputs);
  auto point = round_point(part);
  for (std::size_t i = 0; i < point.size(); ++i) point_[i] = {point[i], point[i]};
  if (fit == Fit::all || reach_.within(point_, box) == Fit::all) {
    result = {Search::Kind::found, std::move(point)};
    return true;
  }
  if (!halves) return false;  // one point, and it was tried
  const auto held = part[halves->input];
  part[halves->input].high = halves->last_below;
  bool done = search(part, box, inputs, limit, result);
  if (!done) {
    part[halves->input] = {halves->last_below + tables_.asked[halves->input].grain, held.high};
    done = search(part, box, inputs, limit, result);
  }
  part[halves->input] = held;
  return done;
}

Search Witnesses::find(const Box& box) {
  std::vector<ValueRange> part;
  for (const auto& domain : tables_.asked) part.push_back({domain.lowest, domain.highest});
  std::set<std::uint16_t> inputs;
  for (const auto& cell : box) {
    if (cell.places.empty()) return {};
    const auto& column = tables_.columns[cell.column];
    if (column.worked_out) {
      const auto& rests_on = tables_.worked_out[column.detail].inputs;
      inputs.insert(rests_on.begin(), rests_on.end());
    } else {
      // Its first range will do, unless a worked-out column rests on it too.
      part[column.detail] = values_in(tables_, column.detail, cell.places.front());
    }
  }
  for (const auto& cell : box) {
    const auto& column = tables_.columns[cell.column];
    if (!column.worked_out && inputs.count(column.detail) != 0)
      part[column.detail] = {values_in(tables_, column.detail, cell.places.front()).low,
                             values_in(tables_, column.detail, cell.places.back()).high};
  }
  if (inputs.empty()) return {Search::Kind::found, round_point(part)};
  Search result;
  search(part, box, {inputs.begin(), inputs.end()}, parts_ + most_parts_, result);
  return result;
}

}  // namespace lacestay::compiler
