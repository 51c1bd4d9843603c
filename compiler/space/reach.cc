#include "compiler/space/reach.hpp"

#include <algorithm>
#include <cassert>
#include <numeric>

namespace lacestay::compiler {
namespace {

std::vector<ColumnId> all_columns(const Tables& tables) {
  std::vector<ColumnId> all(tables.columns.size());
  std::iota(all.begin(), all.end(), ColumnId{0});
  return all;
}

}  // namespace

std::vector<bool> columns_under(const Tables& tables, std::span<const ColumnId> columns) {
  std::vector<bool> under(tables.columns.size());
  for (const auto column : columns) under[column] = true;
  // Each worked-out detail stands after those it is worked out from.
  for (std::size_t i = tables.worked_out.size(); i-- > 0;) {
    if (!under[tables.asked.size() + i]) continue;
    const auto& detail = tables.worked_out[i];
    if (detail.formula.empty())
      for (const auto column : tables.tables[detail.chart].columns) under[column] = true;
    for (const auto& step : detail.formula)
      if (step.kind == FormulaStep::Kind::detail) under[step.index] = true;
  }
  return under;
}

Reach::Reach(const Tables& tables) : Reach(tables, all_columns(tables)) {}

Reach::Reach(const Tables& tables, std::span<const ColumnId> columns)
    : tables_(tables),
      places_(tables.columns.size()),
      values_(tables.columns.size()),
      fractions_(tables.columns.size()),
      under_(columns_under(tables, columns)) {
  const auto asked = tables.asked.size();
  for (std::size_t i = 0; i < asked; ++i)
    if (under_[i]) asked_.push_back(i);
  for (std::size_t i = 0; i < tables.worked_out.size(); ++i)
    if (under_[asked + i]) worked_out_.push_back(i);
}

PlaceRange Reach::places(std::size_t column, const Interval& value) const {
  const auto& known = tables_.columns[column];
  const Int128 per = tables_.worked_out[known.detail].plain_number ? ticks_per_one : 1;
  const auto place = [&](const Rational& end) {
    const auto reached = [&](const Cut& cut) { return reaches(end, cut, per); };
    return static_cast<std::uint32_t>(std::partition_point(known.cuts.begin(), known.cuts.end(), reached) -
                                      known.cuts.begin());
  };
  return {place(value.lowest), place(value.highest)};
}

// The smallest and largest value of a chart's rows that can be reached.
std::optional<Interval> Reach::of_chart(const WorkedOut& detail) const {
  bool any = false;
  std::int64_t low = 0, high = 0;
  for (const auto& row : tables_.tables[detail.chart].rows) {
    const bool reached = std::all_of(row.box.begin(), row.box.end(), [&](const Cell& cell) {
      const auto& held = places_[cell.column];
      return std::any_of(cell.places.begin(), cell.places.end(),
                         [&](const PlaceRange& range) { return range.first <= held.last && range.last >= held.first; });
    });
    if (!reached) continue;
    low = any ? std::min(low, row.low) : row.low;
    high = any ? std::max(high, row.low) : row.low;
    any = true;
  }
  if (!any) return std::nullopt;
  const Int128 per = detail.plain_number ? ticks_per_one : 1;
  return Interval{reduced(low, per), reduced(high, per)};
}

void Reach::set_asked(std::size_t detail, const ValueRange& range) {
  const auto& domain = tables_.asked[detail];
  const auto low = as_fraction(domain, range.low), high = as_fraction(domain, range.high);
  places_[detail] = {place_of(tables_, detail, range.low), place_of(tables_, detail, range.high)};
  values_[detail] = {reduced(low.numerator, low.denominator), reduced(high.numerator, high.denominator)};
}

bool Reach::set_worked_out(std::size_t index) {
  const auto& detail = tables_.worked_out[index];
  const auto column = tables_.asked.size() + index;
  if (detail.formula.empty()) {
    const auto value = of_chart(detail);
    if (!value) return false;
    values_[column] = *value;
  } else {
    const Int128 per = detail.plain_number ? ticks_per_one : 1;
    const Interval widest{reduced(detail.lowest.numerator, detail.lowest.denominator * per),
                          reduced(detail.highest.numerator, detail.highest.denominator * per)};
    values_[column] = bounds(detail.formula, values_).value_or(widest);
  }
  places_[column] = places(column, values_[column]);
  return true;
}

// By the formula itself, which costs far less than its bounds and says the same.
void Reach::set_at_a_point(std::size_t index) {
  const auto& detail = tables_.worked_out[index];
  const auto column = tables_.asked.size() + index;
  auto& value = values_[column];
  auto& fraction = fractions_[column];
  if (detail.formula.empty()) {
    const Int128 per = detail.plain_number ? ticks_per_one : 1;
    value = of_chart(detail).value_or(value);  // a chart of a detail answers every player
    fraction = {value.lowest.numerator * (per / value.lowest.denominator), per};
  } else {
    fraction = run(detail.formula, fractions_);
    value.lowest = value.highest = reduced(fraction.numerator, fraction.denominator);
  }
  places_[column] = places(column, value);
}

std::span<const PlaceRange> Reach::over(std::span<const ValueRange> ranges) {
  assert(ranges.size() == tables_.asked.size());
  for (const auto i : asked_) set_asked(i, ranges[i]);
  for (const auto i : worked_out_) set_worked_out(i);
  return places_;
}

namespace {

bool overlap(const PlaceRange& a, const PlaceRange& b) { return a.first <= b.last && b.first <= a.last; }

}  // namespace

Fit fit_of(const Cell& cell, const PlaceRange& reached) {
  auto best = Fit::none;
  for (const auto& range : cell.places) {
    if (range.first <= reached.first && range.last >= reached.last) return Fit::all;
    if (overlap(range, reached)) best = Fit::some;
  }
  return best;
}

// Narrows a column to the places of the cell that are reached, and to the values between their edges. Some are.
void Reach::narrow(const Cell& cell) {
  const auto& column = tables_.columns[cell.column];
  auto& held = places_[cell.column];
  const auto reached = held;
  bool any = false;
  for (const auto& range : cell.places) {
    if (!overlap(range, reached)) continue;
    if (!any) held.first = std::max(range.first, reached.first);
    held.last = std::min(range.last, reached.last);
    any = true;
  }
  if (!column.worked_out && tables_.asked[column.detail].members) return;
  const bool plain_number =
      column.worked_out ? tables_.worked_out[column.detail].plain_number : tables_.asked[column.detail].plain_number;
  const Int128 per = plain_number ? ticks_per_one : 1;
  auto& value = values_[cell.column];
  if (held.first > reached.first) value.lowest = reduced(column.cuts[held.first - 1].at, per);
  if (held.last < reached.last) value.highest = reduced(column.cuts[held.last].at, per);
}

Fit Reach::within(std::span<const ValueRange> ranges, const Box& box) {
  assert(ranges.size() == tables_.asked.size());
  fits_.clear();
  auto whole = Fit::all;
  for (std::size_t column = 0; column < tables_.columns.size() && whole != Fit::none; ++column) {
    if (!under_[column]) continue;
    if (column < ranges.size())
      set_asked(column, ranges[column]);
    else if (!set_worked_out(column - ranges.size()))
      return Fit::none;
    if (fits_.size() == box.size() || box[fits_.size()].column != column) continue;
    const auto& cell = box[fits_.size()];
    fits_.push_back(fit_of(cell, places_[column]));
    whole = std::min(whole, fits_.back());
    if (fits_.back() == Fit::some) narrow(cell);
  }
  return whole;
}

std::span<const PlaceRange> Reach::at(std::span<const std::int64_t> readings) {
  assert(readings.size() == tables_.asked.size());
  for (const auto i : asked_) {
    set_asked(i, {readings[i], readings[i]});
    const auto value = as_fraction(tables_.asked[i], readings[i]);
    fractions_[i] = {value.numerator, value.denominator};
  }
  for (const auto i : worked_out_) set_at_a_point(i);
  return places_;
}

}  // namespace lacestay::compiler
