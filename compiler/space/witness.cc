#include "compiler/space/witness.hpp"

#include <algorithm>
#include <set>

namespace lacestay::compiler {

Witnesses::Witnesses(const Policy& policy, const Tables& tables, std::size_t most_parts)
    : policy_(policy), tables_(tables), reach_(tables), most_parts_(most_parts) {}

std::int64_t Witnesses::one_shown(std::size_t asked) const {
  const auto& scale = policy_.details[asked].scale;
  return scale.kind == Scale::Kind::day ? 1 : ticks_per(scale.shown.front(), scale.money_digits);
}

std::vector<std::int64_t> Witnesses::round_steps(std::size_t asked) const {
  const auto& domain = tables_.asked[asked];
  std::vector<std::int64_t> steps;
  if (domain.members) return steps;
  const auto per = one_shown(asked);
  for (const auto& [above, below] :
       {std::pair{100, 1}, {50, 1}, {10, 1}, {5, 1}, {2, 1}, {1, 1}, {1, 2}, {1, 10}, {1, 100}}) {
    const auto step = per * above / below;
    if (step > 0 && per * above % below == 0 && step % domain.grain == 0) steps.push_back(step);
  }
  return steps;
}

std::int64_t Witnesses::round_value(std::size_t asked, ValueRange range) const {
  const auto& domain = tables_.asked[asked];
  const auto middle = range.low + (range.high - range.low) / 2;
  if (domain.members || range.low == range.high) return range.low;
  const auto steps = round_steps(asked);
  const auto one = one_shown(asked);
  // First the whole ones with several multiples in the range, of which one lies well inside (a child of 200 cm reads
  // oddly); then any with one.
  for (const bool well_inside : {true, false}) {
    for (const auto step : steps) {
      if (well_inside && (step < one || step > (range.high - range.low) / 2)) continue;
      auto nearest = static_cast<std::int64_t>(floor_divide(Int128{middle} * 2 + step, Int128{step} * 2)) * step;
      if (nearest > range.high) nearest -= step;
      if (nearest < range.low) nearest += step;
      if (nearest >= range.low && nearest <= range.high) return nearest;
    }
  }
  return domain.lowest + (middle - domain.lowest) / domain.grain * domain.grain;
}

Witnesses::Part Witnesses::whole() const {
  Part part;
  for (const auto& domain : tables_.asked) part.push_back({domain.lowest, domain.highest});
  return part;
}

void Witnesses::hold(ValueRange& range, const Cell& cell) const {
  const auto detail = tables_.columns[cell.column].detail;
  range.low = std::max(range.low, values_in(tables_, detail, cell.places.front()).low);
  range.high = std::min(range.high, values_in(tables_, detail, cell.places.back()).high);
}

Fit Witnesses::fit_one(const Part& part, const Box& box, const Quest& quest, bool earlier) {
  Part own(part.begin(), part.begin() + static_cast<std::ptrdiff_t>(tables_.asked.size()));
  if (earlier) own[quest.detail] = part.back();
  const auto whole = reach_.within(own, box);
  const auto fits = reach_.fits();
  // A cell still in doubt may be settled by what it rests on; splitting anything else would settle nothing.
  const auto doubt = [&](std::uint16_t asked) {
    doubts_.push_back(earlier && asked == quest.detail ? part.size() - 1 : asked);
  };
  for (std::size_t cell = 0; cell < fits.size(); ++cell) {
    if (fits[cell] != Fit::some) continue;
    tables_.each_asked_under(box[cell].column, doubt);
  }
  return whole;
}

Fit Witnesses::fit(const Part& part, const Quest& quest) {
  doubts_.clear();
  const auto later = fit_one(part, quest.box, quest, false);
  if (!two(quest) || later == Fit::none) return later;
  if (part.back().low >= part[quest.detail].high) return Fit::none;
  const auto both = std::min(later, fit_one(part, *quest.earlier, quest, true));
  if (part.back().high < part[quest.detail].low) return both;
  doubts_.push_back(quest.detail);
  doubts_.push_back(part.size() - 1);
  return std::min(both, Fit::some);
}

Search Witnesses::round_players(const Part& part, const Quest& quest) const {
  Search players{Search::Kind::found, {}, {}};
  for (std::size_t i = 0; i < tables_.asked.size(); ++i) players.player.push_back(round_value(i, part[i]));
  if (!two(quest)) return players;
  auto& value = players.player[quest.detail];
  if (value <= part.back().low) value = part[quest.detail].high;
  players.earlier = players.player;
  const auto below = value - tables_.asked[quest.detail].grain;
  players.earlier[quest.detail] =
      round_value(quest.detail, {part.back().low, std::max(part.back().low, std::min(part.back().high, below))});
  return players;
}

Witnesses::Part Witnesses::as_part(const Search& players, const Quest& quest) const {
  Part part;
  for (const auto value : players.player) part.push_back({value, value});
  if (two(quest)) part.push_back({players.earlier[quest.detail], players.earlier[quest.detail]});
  return part;
}

void Witnesses::round_off(Search& players, const Part& whole, const Quest& quest) {
  const auto to_round = [&](std::size_t at, std::size_t asked, std::int64_t& value, auto&& set) {
    const auto steps = round_steps(asked);
    if (steps.empty() || value % steps.back() == 0) return;
    const auto was = value;
    for (const auto step : steps) {
      const auto below = floor_divide(was, step) * step;
      for (const auto tried : {was - below < step - (was - below) ? below : below + step,
                               was - below < step - (was - below) ? below + step : below}) {
        if (tried < whole[at].low || tried > whole[at].high) continue;
        set(tried);
        if (fit(as_part(players, quest), quest) == Fit::all) return;
      }
    }
    set(was);
  };
  for (std::size_t i = 0; i < tables_.asked.size(); ++i) {
    const bool apart = two(quest) && i == quest.detail;
    to_round(i, i, players.player[i], [&](std::int64_t value) {
      players.player[i] = value;
      if (two(quest) && !apart) players.earlier[i] = value;
    });
    if (apart)
      to_round(whole.size() - 1, i, players.earlier[i], [&](std::int64_t value) { players.earlier[i] = value; });
  }
}

BranchAndPrune::Next Witnesses::look(const BranchAndPrune& space, const Part& part, const Quest& quest,
                                     Search& result) {
  const auto not_settled = [&] {
    result.kind = Search::Kind::not_settled;
    return BranchAndPrune::Stop{};
  };
  if (space.spent()) return not_settled();
  const auto found = fit(part, quest);
  if (found == Fit::none) return BranchAndPrune::Prune{};
  const auto split = found == Fit::all ? std::nullopt : space.split(part, doubts_, BranchAndPrune::SplitAt::edge);
  auto players = round_players(part, quest);
  if (found == Fit::all || fit(as_part(players, quest), quest) == Fit::all) {
    result = std::move(players);
    return BranchAndPrune::Stop{};
  }
  if (!split) return not_settled();  // one value of each left, and still in doubt: numbers too large to compare
  return *split;
}

Search Witnesses::settle(Part whole, const Quest& quest) {
  for (const auto& range : whole)
    if (range.low > range.high) return {};
  Search result;
  BranchAndPrune space(tables_, whole, most_parts_, quest.detail);
  const auto look_at = [&](const Part& part) { return look(space, part, quest, result); };
  space.run(look_at);
  if (result.kind == Search::Kind::found) round_off(result, whole, quest);
  return result;
}

Search Witnesses::find(const Box& box) {
  if (is_empty(box)) return {};
  auto part = whole();
  std::set<std::uint16_t> inputs;
  for (const auto& cell : box) {
    const auto& column = tables_.columns[cell.column];
    if (!column.worked_out) continue;
    const auto& rests_on = tables_.worked_out[column.detail].inputs;
    inputs.insert(rests_on.begin(), rests_on.end());
  }
  for (const auto& cell : box) {
    const auto& column = tables_.columns[cell.column];
    if (column.worked_out) continue;
    // Its first range will do, unless a worked-out column rests on it too.
    if (inputs.count(column.detail) != 0)
      hold(part[column.detail], cell);
    else
      part[column.detail] = values_in(tables_, column.detail, cell.places.front());
  }
  const Quest quest{box, nullptr, 0};
  return inputs.empty() ? round_players(part, quest) : settle(std::move(part), quest);
}

Search Witnesses::find_pair(const Box& earlier, const Box& later, std::uint16_t detail) {
  if (is_empty(earlier) || is_empty(later)) return {};
  auto part = whole();
  part.push_back(part[detail]);
  for (const auto* box : {&earlier, &later}) {
    for (const auto& cell : *box) {
      const auto& column = tables_.columns[cell.column];
      if (column.worked_out) continue;
      hold(box == &earlier && column.detail == detail ? part.back() : part[column.detail], cell);
    }
  }
  return settle(std::move(part), {later, &earlier, detail});
}

}  // namespace lacestay::compiler
