#include "compiler/space/witness.hpp"

#include <algorithm>

namespace lacestay::compiler {

Witnesses::Witnesses(const Policy& policy, const Tables& tables, std::size_t most_parts)
    : Witnesses(policy, tables, most_parts, tables.shut_out) {}

namespace {

std::vector<ShutOut> with_somebody(std::vector<ShutOut> shut_out) {
  std::erase_if(shut_out, [](const ShutOut& each) { return is_empty(each.box); });
  return shut_out;
}

std::vector<ColumnId> columns_of(const std::vector<ShutOut>& shut_out) {
  std::vector<ColumnId> columns;
  for (const auto& each : shut_out)
    for (const auto& cell : each.box) columns.push_back(cell.column);
  return columns;
}

}  // namespace

Witnesses::Witnesses(const Policy& policy, const Tables& tables, std::size_t most_parts, std::vector<ShutOut> shut_out)
    : policy_(policy),
      tables_(tables),
      reach_(tables),
      most_parts_(most_parts),
      shut_out_(with_somebody(std::move(shut_out))),
      reach_of_lines_(tables, columns_of(shut_out_)) {}

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

Witnesses::Part Witnesses::own_part(const Part& part, const Quest& quest, bool earlier) const {
  Part own(part.begin(), part.begin() + static_cast<std::ptrdiff_t>(tables_.asked.size()));
  for (std::size_t i = 0; earlier && i < quest.apart.size(); ++i) own[quest.apart[i]] = part[tables_.asked.size() + i];
  return own;
}

template <typename Doubt>
Fit Witnesses::fit_of_box(Reach& reach, const Part& own, const Box& box, Doubt doubt) {
  auto whole = Fit::all;
  bool worked_out = false;
  for (const auto& cell : box) {
    const auto& column = tables_.columns[cell.column];
    worked_out |= column.worked_out;
    if (column.worked_out) continue;
    const auto& range = own[column.detail];
    whole = std::min(whole, fit_of(cell, {place_of(tables_, column.detail, range.low),
                                          place_of(tables_, column.detail, range.high)}));
    if (whole == Fit::none) return whole;
  }
  if (worked_out) whole = reach.within(own, box);
  if (whole != Fit::some) return whole;
  for (std::size_t i = 0; i < box.size(); ++i) {
    const auto& column = tables_.columns[box[i].column];
    const auto held = [&] {
      const auto& range = own[column.detail];
      return fit_of(box[i],
                    {place_of(tables_, column.detail, range.low), place_of(tables_, column.detail, range.high)});
    };
    // A cell still in doubt may be settled by what it rests on; splitting anything else would settle nothing.
    if ((worked_out ? reach.fits()[i] : held()) == Fit::some) tables_.each_asked_under(box[i].column, doubt);
  }
  return whole;
}

Fit Witnesses::fit_one(const Part& part, const Box& box, const Quest& quest, bool earlier) {
  const auto asked = tables_.asked.size();
  const auto own = own_part(part, quest, earlier);
  const auto doubt = [&](std::uint16_t detail) {
    const auto apart = std::find(quest.apart.begin(), quest.apart.end(), detail);
    const bool second = earlier && apart != quest.apart.end();
    doubts_.push_back(second ? asked + static_cast<std::size_t>(apart - quest.apart.begin()) : detail);
  };
  auto whole = fit_of_box(reach_, own, box, doubt);
  for (const auto* each : quest.shut_out) {
    if (whole == Fit::none) break;
    const auto held = fit_of_box(reach_of_lines_, own, *each, doubt);
    if (held == Fit::all) return Fit::none;
    if (held == Fit::some) whole = std::min(whole, Fit::some);
  }
  return whole;
}

Fit Witnesses::fit(const Part& part, const Quest& quest) {
  doubts_.clear();
  const auto later = fit_one(part, quest.box, quest, false);
  if (!two(quest) || later == Fit::none) return later;
  const auto asked = tables_.asked.size();
  const auto rises = quest.apart.front();
  if (part[asked].low >= part[rises].high) return Fit::none;
  const auto both = std::min(later, fit_one(part, *quest.earlier, quest, true));
  if (part[asked].high < part[rises].low) return both;
  doubts_.push_back(rises);
  doubts_.push_back(asked);
  return std::min(both, Fit::some);
}

Search Witnesses::round_players(const Part& part, const Quest& quest) const {
  Search players{Search::Kind::found, {}, {}};
  for (std::size_t i = 0; i < tables_.asked.size(); ++i) players.player.push_back(round_value(i, part[i]));
  if (!two(quest)) return players;
  const auto asked = tables_.asked.size();
  const auto rises = quest.apart.front();
  const auto& lower = part[asked];
  auto& value = players.player[rises];
  if (value <= lower.low) value = part[rises].high;
  players.earlier = players.player;
  const auto below = value - tables_.asked[rises].grain;
  players.earlier[rises] = round_value(rises, {lower.low, std::max(lower.low, std::min(lower.high, below))});
  for (std::size_t i = 1; i < quest.apart.size(); ++i)
    players.earlier[quest.apart[i]] = round_value(quest.apart[i], part[asked + i]);
  return players;
}

Witnesses::Part Witnesses::as_part(const Search& players, const Quest& quest) const {
  Part part;
  for (const auto value : players.player) part.push_back({value, value});
  for (const auto detail : quest.apart) part.push_back({players.earlier[detail], players.earlier[detail]});
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
    const auto found = std::find(quest.apart.begin(), quest.apart.end(), i);
    const bool apart = found != quest.apart.end();
    to_round(i, i, players.player[i], [&](std::int64_t value) {
      players.player[i] = value;
      if (two(quest) && !apart) players.earlier[i] = value;
    });
    if (apart)
      to_round(tables_.asked.size() + static_cast<std::size_t>(found - quest.apart.begin()), i, players.earlier[i],
               [&](std::int64_t value) { players.earlier[i] = value; });
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
  BranchAndPrune space(tables_, whole, most_parts_, quest.apart);
  const auto look_at = [&](const Part& part) { return look(space, part, quest, result); };
  space.run(look_at);
  if (result.kind == Search::Kind::found) round_off(result, whole, quest);
  return result;
}

std::optional<std::vector<Witnesses::Group>> Witnesses::groups(const Box& box, const Part& part,
                                                               std::span<const ShutOut> shut_out) {
  std::vector<Group> all;
  std::vector<bool> inputs(tables_.asked.size());
  bool worked_out = false;
  for (const auto& cell : box) {
    if (!tables_.columns[cell.column].worked_out) continue;
    worked_out = true;
    tables_.each_asked_under(cell.column, [&](std::uint16_t detail) { inputs[detail] = true; });
  }
  if (worked_out) all.push_back({std::move(inputs), {}});
  for (const auto& each : shut_out) {
    const auto held = fit_of_box(reach_of_lines_, part, each.box, [](std::uint16_t) {});
    if (held == Fit::all) return std::nullopt;
    if (held == Fit::none) continue;
    Group joined{tables_.asked_under(each.box), {&each.box}};
    std::erase_if(all, [&](const Group& other) {
      bool shares = false;
      for (std::size_t i = 0; i < joined.details.size(); ++i) shares |= joined.details[i] && other.details[i];
      if (!shares) return false;
      for (std::size_t i = 0; i < joined.details.size(); ++i) joined.details[i] = joined.details[i] || other.details[i];
      joined.shut_out.insert(joined.shut_out.end(), other.shut_out.begin(), other.shut_out.end());
      return true;
    });
    all.push_back(std::move(joined));
  }
  return all;
}

template <typename Seek>
Search Witnesses::unless_shut_out(Seek seek) {
  auto found = seek(std::span<const ShutOut>());
  const auto shut_out = [&](const Readings& player) { return !player.empty() && who_shuts_out(player); };
  if (found.kind != Search::Kind::found || !(shut_out(found.player) || shut_out(found.earlier))) return found;
  return seek(std::span<const ShutOut>(shut_out_));
}

Search Witnesses::find(const Box& box) { return find(box, whole()); }
Search Witnesses::find(std::vector<ValueRange> ranges) { return find(Box{}, ranges); }

Search Witnesses::find(const Box& box, const Part& part) {
  return unless_shut_out([&](std::span<const ShutOut> shut_out) { return find(box, part, shut_out); });
}

Search Witnesses::find(const Box& box, const Part& part, std::span<const ShutOut> shut_out) {
  if (is_empty(box)) return {};
  auto held = part;
  for (const auto& cell : box)
    if (const auto& column = tables_.columns[cell.column]; !column.worked_out) hold(held[column.detail], cell);
  for (const auto& range : held)
    if (range.low > range.high) return {};
  const auto together = groups(box, held, shut_out);
  if (!together) return {};
  const auto in_a_group = [&](std::size_t detail) {
    return std::any_of(together->begin(), together->end(), [&](const Group& each) { return each.details[detail]; });
  };
  // Of a detail that nothing ties to others the cell's first range will do.
  for (const auto& cell : box) {
    const auto& column = tables_.columns[cell.column];
    if (column.worked_out || in_a_group(column.detail)) continue;
    held[column.detail] = values_in(tables_, column.detail, cell.places.front());
  }
  auto found = round_players(held, {box});
  for (const auto& group : *together) {
    Box own;
    for (const auto& cell : box) {
      bool ties = false;
      tables_.each_asked_under(cell.column, [&](std::uint16_t detail) { ties = ties || group.details[detail]; });
      if (ties) own.push_back(cell);
    }
    const auto search = settle(held, Quest{own, nullptr, {}, group.shut_out});
    if (search.kind == Search::Kind::none) return search;
    if (search.kind == Search::Kind::not_settled) found.kind = search.kind;
    for (std::size_t i = 0; i < group.details.size() && found.kind == Search::Kind::found; ++i)
      if (group.details[i]) found.player[i] = search.player[i];
  }
  if (found.kind != Search::Kind::found) found.player.clear();
  return found;
}

Search Witnesses::find_pair(const Box& earlier, const Box& later, std::uint16_t detail,
                            const std::vector<std::uint16_t>& free) {
  if (is_empty(earlier) || is_empty(later)) return {};
  Quest quest{later, &earlier, {detail}, {}};
  quest.apart.insert(quest.apart.end(), free.begin(), free.end());
  auto part = whole();
  for (const auto each : quest.apart) part.push_back(part[each]);
  for (const auto* box : {&earlier, &later}) {
    for (const auto& cell : *box) {
      const auto& column = tables_.columns[cell.column];
      if (column.worked_out) continue;
      const auto apart = std::find(quest.apart.begin(), quest.apart.end(), column.detail);
      const bool second = box == &earlier && apart != quest.apart.end();
      hold(part[second ? tables_.asked.size() + static_cast<std::size_t>(apart - quest.apart.begin()) : column.detail],
           cell);
    }
  }
  return unless_shut_out([&](std::span<const ShutOut> shut_out) {
    for (const auto& each : shut_out) quest.shut_out.push_back(&each.box);
    return settle(part, quest);
  });
}

const ShutOut* Witnesses::who_shuts_out(const Readings& player) {
  if (shut_out_.empty()) return nullptr;
  std::vector<std::uint32_t> places;
  for (const auto& each : reach_of_lines_.at(player)) places.push_back(each.first);
  const auto found =
      std::find_if(shut_out_.begin(), shut_out_.end(), [&](const ShutOut& each) { return holds(each.box, places); });
  return found == shut_out_.end() ? nullptr : &*found;
}

}  // namespace lacestay::compiler
