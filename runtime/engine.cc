#include "runtime/engine.hpp"

#include <algorithm>
#include <set>

namespace lacestay::runtime {

using compiler::Fraction;
using compiler::Int128;

namespace {

constexpr std::uint32_t terminal_mark = 0x80000000u;
constexpr Int128 ticks_per_one = 1'000'000'000;

// How many edges lie at or below the value. Branch-free: a compare and an add a level.
std::uint32_t edges_reached(const std::vector<std::int64_t>& edges, std::int64_t value) noexcept {
  const std::int64_t* base = edges.data();
  std::size_t left = edges.size();
  while (left > 1) {
    const std::size_t half = left / 2;
    base += base[half - 1] <= value ? half : 0;
    left -= half;
  }
  return static_cast<std::uint32_t>(base - edges.data()) + (left == 1 && *base <= value ? 1 : 0);
}

}  // namespace

Engine::Scratch Engine::scratch() const {
  const auto columns = policy_->tables.columns.size();
  return {std::vector<std::uint32_t>(columns), std::vector<Fraction>(columns)};
}

std::uint32_t Engine::place_of(compiler::ColumnId column, const Fraction& value) const noexcept {
  const auto& cuts = policy_->tables.columns[column].cuts;
  std::size_t low = 0, high = cuts.size();
  while (low < high) {
    const auto middle = (low + high) / 2;
    const Int128 edge = Int128{cuts[middle].at} * value.denominator;
    const bool reached = cuts[middle].after ? value.numerator > edge : value.numerator >= edge;
    if (reached) low = middle + 1;
    else high = middle;
  }
  return static_cast<std::uint32_t>(low);
}

void Engine::place(std::span<const std::int64_t> readings, Scratch& scratch) const noexcept {
  const auto& tables = policy_->tables;
  for (std::size_t i = 0; i < readings.size(); ++i)
    scratch.places[i] = tables.asked[i].members ? static_cast<std::uint32_t>(readings[i]) : edges_reached(edges_[i], readings[i]);
  for (const auto i : formula_inputs_)
    scratch.values[i] = {readings[i], policy_->details[i].scale.dimension == compiler::Dimension::number ? ticks_per_one : 1};
  for (std::size_t i = 0; i < tables.worked_out.size(); ++i) {
    const auto& detail = tables.worked_out[i];
    const auto column = static_cast<compiler::ColumnId>(readings.size() + i);
    if (detail.formula.empty()) {
      const auto& found = outcome(detail.chart, look_up(detail.chart, scratch.places));
      scratch.values[column] = {found.low, detail.plain_number ? ticks_per_one : 1};
    } else {
      scratch.values[column] = compiler::run(detail.formula, scratch.values);
    }
    const auto& value = scratch.values[column];
    scratch.places[column] = place_of(column, detail.plain_number ? Fraction{value.numerator * ticks_per_one, value.denominator} : value);
  }
}

ClassId Engine::look_up(TableId table, std::span<const std::uint32_t> places) const noexcept {
  const auto& lookup = lookups_[table];
  if (lookup.dense) {
    std::uint32_t index = 0;
    for (const auto& step : lookup.steps) index += remaps_[step.remap + places[step.column]];
    return lookup.cells[index];
  }
  std::uint32_t node = lookup.root;
  while ((node & terminal_mark) == 0) {
    const auto& step = lookup.steps[lookup.walk[node]];
    node = lookup.walk[node + 1 + remaps_[step.remap + places[step.column]]];
  }
  return node & ~terminal_mark;
}

void Engine::answer(std::span<const std::int64_t> readings, Scratch& scratch, std::span<ClassId> out) const noexcept {
  place(readings, scratch);
  for (std::size_t table = 0; table < answers_; ++table) out[table] = look_up(static_cast<TableId>(table), scratch.places);
}

std::vector<ClassId> Engine::possible(TableId table, const std::vector<std::vector<std::uint32_t>>& places) const {
  const auto& lookup = lookups_[table];
  std::vector<std::vector<std::uint32_t>> remapped;  // by step: the distinct remapped places
  for (const auto& step : lookup.steps) {
    std::set<std::uint32_t> distinct;
    for (const auto place : places[step.column]) distinct.insert(remaps_[step.remap + place]);
    if (places[step.column].empty())
      for (std::uint32_t place = 0; place < policy_->tables.columns[step.column].places; ++place) distinct.insert(remaps_[step.remap + place]);
    remapped.emplace_back(distinct.begin(), distinct.end());
  }
  std::set<ClassId> found;
  if (lookup.dense) {
    const auto visit = [&](auto&& self, std::size_t step, std::uint32_t index) -> void {
      if (step == remapped.size()) {
        found.insert(lookup.cells[index]);
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
      for (const auto place : remapped[lookup.walk[node]]) self(self, lookup.walk[node + 1 + place]);
    };
    visit(visit, lookup.root);
  }
  return {found.begin(), found.end()};
}

}  // namespace lacestay::runtime
