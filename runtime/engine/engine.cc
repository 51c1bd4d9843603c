#include "runtime/engine/engine.hpp"

#include <algorithm>
#include <cassert>
#include <iterator>
#include <set>

namespace lacestay::runtime {

using compiler::Fraction;
using compiler::Fraction64;
using compiler::Int128;

namespace {

constexpr std::uint32_t terminal_mark = 0x80000000u;

// A worked-out value as a whole number that keeps its order against edges: twice the ticks, and one more where it
// lies between two ticks. An edge before a tick is twice the tick, one after it is one more.
template <typename Int>
std::int64_t doubled(const compiler::BasicFraction<Int>& ticks) noexcept {
  if (ticks.denominator == 1) return static_cast<std::int64_t>(2 * ticks.numerator);
  const Int below = compiler::floor_divide(ticks.numerator, ticks.denominator);
  return static_cast<std::int64_t>(2 * below) + (below * ticks.denominator != ticks.numerator ? 1 : 0);
}

}  // namespace

Engine::Scratch Engine::scratch() const {
  const auto columns = tables_.columns.size();
  return {std::vector<std::uint32_t>(columns), std::vector<Fraction>(columns), std::vector<Fraction64>(columns),
          std::vector<std::uint32_t>(plans_.size())};
}

void Engine::place(std::span<const std::int64_t> readings, Scratch& scratch) const noexcept {
  const auto& tables = tables_;
  assert(readings.size() == tables.asked.size() && scratch.places.size() == tables.columns.size());
  for (std::size_t i = 0; i < readings.size(); ++i)
    scratch.places[i] =
        tables.asked[i].members ? static_cast<std::uint32_t>(readings[i]) : rulers_[i].reached(readings[i]);
  for (const auto i : formula_inputs_) {
    const auto value = compiler::as_fraction(tables.asked[i], readings[i]);
    scratch.values[i] = {value.numerator, value.denominator};
    scratch.values_64[i] = value;
  }
  for (const auto i : worked_out_) {
    const auto& work = works_[i];
    const auto& detail = tables.worked_out[i];
    const auto column = readings.size() + i;
    if (!detail.fits_64) {
      const auto value = compiler::run(detail.formula, scratch.values);
      scratch.values[column] = value;
      scratch.places[column] = work.ruler.reached(doubled(Fraction{value.numerator * work.scale, value.denominator}));
      continue;
    }
    Fraction64 value;
    std::int64_t twice_ticks;
    if (detail.formula.empty()) {
      const auto ticks = outcome(detail.chart, look_up(detail.chart, scratch.places)).low;
      value = {ticks, work.scale};
      twice_ticks = 2 * ticks;
    } else {
      value = compiler::run(detail.formula, scratch.values_64);
      twice_ticks = work.ticks_fit_64 ? doubled(Fraction64{value.numerator * work.scale, value.denominator})
                                      : doubled(Fraction{Int128{value.numerator} * work.scale, value.denominator});
    }
    scratch.values_64[column] = value;
    scratch.values[column] = {value.numerator, value.denominator};
    scratch.places[column] = work.ruler.reached(twice_ticks);
  }
}

std::uint32_t Engine::index_of(const Plan& plan, std::span<const std::uint32_t> places) const noexcept {
  std::uint32_t index = 0;
  for (const auto& step : steps_of(plan)) index += remaps_[step.remap + places[step.column]];
  return index;
}

ClassId Engine::walk(const Lookup& lookup, std::span<const std::uint32_t> places) const noexcept {
  const auto steps = steps_of(plans_[lookup.plan]);
  std::uint32_t node = lookup.start;
  while ((node & terminal_mark) == 0) {
    const auto& step = steps[walk_[node]];
    node = walk_[node + 1 + remaps_[step.remap + places[step.column]]];
  }
  return node & ~terminal_mark;
}

ClassId Engine::look_up(TableId table, std::span<const std::uint32_t> places) const noexcept {
  const auto& lookup = lookups_[table];
  const auto& plan = plans_[lookup.plan];
  return plan.dense ? cells_[lookup.start + index_of(plan, places)] : walk(lookup, places);
}

bool Engine::can_be(const Scratch& placed) const noexcept {
  return std::none_of(tables_.shut_out.begin(), tables_.shut_out.end(),
                      [&](const compiler::ShutOut& each) { return compiler::holds(each.box, placed.places); });
}

void Engine::answer(std::span<const std::int64_t> readings, Scratch& scratch, std::span<ClassId> out) const noexcept {
  assert(out.size() == answers_);
  place(readings, scratch);
  for (std::size_t plan = 0; plan < plans_.size(); ++plan)
    scratch.indices[plan] = index_of(plans_[plan], scratch.places);
  for (std::size_t table = 0; table < answers_; ++table) {
    const auto& lookup = lookups_[table];
    out[table] =
        plans_[lookup.plan].dense ? cells_[lookup.start + scratch.indices[lookup.plan]] : walk(lookup, scratch.places);
  }
}

std::vector<ClassId> Engine::possible(TableId table, std::span<const compiler::PlaceRange> places) const {
  assert(table < lookups_.size() && places.size() == tables_.columns.size());
  const auto& lookup = lookups_[table];
  const auto& plan = plans_[lookup.plan];
  std::vector<std::vector<std::uint32_t>> remapped;  // by step: the distinct remapped places, which never descend
  for (const auto& step : steps_of(plan)) {
    const auto remap = remaps_.begin() + step.remap;
    const auto [first, last] = places[step.column];
    auto& distinct = remapped.emplace_back();
    std::unique_copy(remap + first, remap + last + 1, std::back_inserter(distinct));
  }
  std::set<ClassId> found;
  if (plan.dense) {
    const auto visit = [&](auto&& self, std::size_t step, std::uint32_t index) -> void {
      if (step == remapped.size()) {
        found.insert(cells_[lookup.start + index]);
        return;
      }
      for (const auto part : remapped[step]) self(self, step + 1, index + part);
    };
    visit(visit, 0, 0);
  } else {
    std::set<std::uint32_t> seen;
    const auto visit = [&](auto&& self, std::uint32_t node) -> void {
      if ((node & terminal_mark) != 0) {
        found.insert(node & ~terminal_mark);
        return;
      }
      if (!seen.insert(node).second) return;
      for (const auto place : remapped[walk_[node]]) self(self, walk_[node + 1 + place]);
    };
    visit(visit, lookup.start);
  }
  return {found.begin(), found.end()};
}

}  // namespace lacestay::runtime
