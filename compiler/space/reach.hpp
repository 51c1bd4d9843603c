// Bounds propagation: the places every column may be in over ranges of the asked details, and at one point.
//
// Worked-out details follow from the asked ones, so their columns can't be chosen freely. Over ranges their places
// are bounded by interval arithmetic in exact fractions: no place outside the bounds is reached, though not every place
// inside need be. At a point they are exact. Not for several threads at once.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "compiler/tables/places.hpp"

namespace lacestay::compiler {

// Whether the places of a part lie in a cell, or in all cells of a box.
enum class Fit : std::uint8_t { none, some, all };

// How much of a cell's column is reached.
[[nodiscard]] Fit fit_of(const Cell& cell, const PlaceRange& reached);

// By column: whether it is one of `columns`, or one of them is worked out from it, by a formula or from a chart.
[[nodiscard]] std::vector<bool> columns_under(const Tables& tables, std::span<const ColumnId> columns);

class Reach {
 public:
  explicit Reach(const Tables& tables);
  // For who asks of these columns alone: no others are worked out than those under them, and what is said of the rest
  // means nothing.
  Reach(const Tables& tables, std::span<const ColumnId> columns);

  // By column, over `ranges` (by asked detail). The result is good until the next call.
  [[nodiscard]] std::span<const PlaceRange> over(std::span<const ValueRange> ranges);
  // By column, at a point: a player's readings, all in their domains.
  [[nodiscard]] std::span<const PlaceRange> at(std::span<const std::int64_t> readings);
  // How much of the box is reached over `ranges`: `none` and `all` are certain. What one cell leaves of its column
  // narrows the columns that follow from it, so that edges which contradict each other are seen from afar.
  [[nodiscard]] Fit within(std::span<const ValueRange> ranges, const Box& box);
  // By cell of the box last asked of, up to the first that fits none.
  [[nodiscard]] std::span<const Fit> fits() const { return fits_; }
  // Bounds of a column's value as of the last call; in ones for plain numbers, else in ticks.
  [[nodiscard]] const Interval& value(std::size_t column) const { return values_[column]; }

 private:
  void set_asked(std::size_t detail, const ValueRange& range);
  // False where a chart gives it and no row of it is reached, which is so only once something was narrowed.
  bool set_worked_out(std::size_t detail);
  void set_at_a_point(std::size_t detail);
  void narrow(const Cell& cell);
  [[nodiscard]] PlaceRange places(std::size_t column, const Interval& value) const;
  [[nodiscard]] std::optional<Interval> of_chart(const WorkedOut& detail) const;

  const Tables& tables_;
  std::vector<PlaceRange> places_;
  std::vector<Interval> values_;     // by column; in ones for plain numbers, else in ticks
  std::vector<Fraction> fractions_;  // by column, at a point: what formulas are run on
  std::vector<Fit> fits_;
  std::vector<bool> under_;                      // by column: it is looked at
  std::vector<std::size_t> asked_, worked_out_;  // the details that `over` looks at, ascending
};

}  // namespace lacestay::compiler
