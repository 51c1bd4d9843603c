#include "compiler/reach.hpp"

#include <algorithm>

namespace lacestay::compiler {
Reach::Reach(const Tables& tables)
    : tables_(tables), places_(tables.columns.size()), values_(tables.columns.size()), point_(tables.asked.size()) {}

bool reaches(const Rational& value, const Cut& cut, Int128 ticks_in_one) {
  const auto sign = compare(value, reduced(cut.at, ticks_in_one)).value_or(0);
  return sign > 0 || (sign == 0 && !cut.after);
}

std::uint32_t place_of(const Tables& tables, std::size_t asked, std::int64_t value) {
  if (tables.asked[asked].members) return static_cast<std::uint32_t>(value);
  const auto& cuts = tables.columns[asked].cuts;
  const auto reached = [&](const Cut& cut) { return cut.at <= value; };
  return static_cast<std::uint32_t>(std::partition_point(cuts.begin(), cuts.end(), reached) - cuts.begin());
}

ValueRange values_in(const Tables& tables, std::size_t asked, const PlaceRange& places) {
  const auto& domain = tables.asked[asked];
  if (domain.members) return {places.first, places.last};
  const auto& cuts = tables.columns[asked].cuts;
  return {places.first == 0 ? domain.lowest : cuts[places.first - 1].at,
          places.last >= cuts.size() ? domain.highest : cuts[places.last].at - domain.grain};
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
Interval Reach::of_chart(const WorkedOut& detail) const {
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
  const Int128 per = detail.plain_number ? ticks_per_one : 1;
  return {reduced(low, per), reduced(high, per)};
}

std::span<const PlaceRange> Reach::over(std::span<const ValueRange> ranges) {
  for (std::size_t i = 0; i < ranges.size(); ++i) {
    const auto low = as_fraction(tables_.asked[i], ranges[i].low), high = as_fraction(tables_.asked[i], ranges[i].high);
    places_[i] = {place_of(tables_, i, ranges[i].low), place_of(tables_, i, ranges[i].high)};
    values_[i] = {reduced(low.numerator, low.denominator), reduced(high.numerator, high.denominator)};
  }
  for (std::size_t i = 0; i < tables_.worked_out.size(); ++i) {
    const auto& detail = tables_.worked_out[i];
    const auto column = ranges.size() + i;
    const Int128 per = detail.plain_number ? ticks_per_one : 1;
    const Interval widest{reduced(detail.lowest.numerator, detail.lowest.denominator * per),
                          reduced(detail.highest.numerator, detail.highest.denominator * per)};
    values_[column] = detail.formula.empty() ? of_chart(detail) : bounds(detail.formula, values_).value_or(widest);
    places_[column] = places(column, values_[column]);
  }
  return places_;
}

std::span<const PlaceRange> Reach::at(std::span<const std::int64_t> readings) {
  for (std::size_t i = 0; i < readings.size(); ++i) point_[i] = {readings[i], readings[i]};
  return over(point_);
}

}  // namespace lacestay::compiler
