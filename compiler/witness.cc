#include "compiler/witness.hpp"

#include <algorithm>
#include <set>

namespace lacestay::compiler {

Witnesses::Witnesses(const Policy& policy, const Tables& tables, std::size_t most_parts)
    : policy_(policy), tables_(tables), reach_(tables), most_parts_(most_parts) {}

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

Witnesses::Fit Witnesses::fit(const Cell& cell, const PlaceRange& reached) {
  bool touched = false;
  for (const auto& range : cell.places) {
    if (range.first <= reached.first && range.last >= reached.last) return Fit::all;
    touched = touched || (range.first <= reached.last && range.last >= reached.first);
  }
  return touched ? Fit::some : Fit::none;
}

Readings Witnesses::round_point(const std::vector<ValueRange>& part) const {
  Readings point;
  for (std::size_t i = 0; i < part.size(); ++i) point.push_back(round_value(i, part[i]));
  return point;
}

bool Witnesses::search(std::vector<ValueRange>& part, const Box& box, const std::vector<std::uint16_t>& inputs,
                       std::size_t limit, Search& result) {
  if (++parts_ > limit) {
    result.kind = Search::Kind::not_settled;
    return true;
  }
  auto reached = reach_.over(part);
  auto whole = Fit::all;
  for (const auto& cell : box) {
    const auto one = fit(cell, reached[cell.column]);
    if (one == Fit::none) return false;
    if (one == Fit::some) whole = Fit::some;
  }
  auto point = round_point(part);
  if (whole != Fit::all) {
    reached = reach_.at(point);
    if (std::all_of(box.begin(), box.end(),
                    [&](const Cell& cell) { return fit(cell, reached[cell.column]) == Fit::all; }))
      whole = Fit::all;
  }
  if (whole == Fit::all) {
    result = {Search::Kind::found, std::move(point)};
    return true;
  }
  std::size_t longest = inputs.front();
  const auto steps = [&](std::size_t i) { return (part[i].high - part[i].low) / tables_.asked[i].grain; };
  for (const auto i : inputs)
    if (steps(i) > steps(longest)) longest = i;
  if (steps(longest) == 0) return false;  // one point, and it was tried
  const auto held = part[longest];
  const auto middle = held.low + steps(longest) / 2 * tables_.asked[longest].grain;
  part[longest] = {held.low, middle};
  bool done = search(part, box, inputs, limit, result);
  if (!done) {
    part[longest] = {middle + tables_.asked[longest].grain, held.high};
    done = search(part, box, inputs, limit, result);
  }
  part[longest] = held;
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
