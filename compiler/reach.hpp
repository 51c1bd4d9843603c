// Where details can lie: the places every column may be in over ranges of the asked details, and at one point.
//
// Worked-out details follow from the asked ones, so their columns can't be chosen freely. Over ranges their places
// are bounded by exact interval arithmetic: no place outside is reached, though not every place inside need be. At
// a point they are exact. Not for several threads at once.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "compiler/tables.hpp"

namespace lacestay::compiler {

// Values of one asked detail, both ends included.
struct ValueRange {
  std::int64_t low = 0, high = 0;
  friend bool operator==(const ValueRange&, const ValueRange&) = default;
};

class Reach {
 public:
  explicit Reach(const Tables& tables);

  // By column, over `ranges` (by asked detail). The result is good until the next call.
  [[nodiscard]] std::span<const PlaceRange> over(std::span<const ValueRange> ranges);
  // By column, at a point: a player's readings, all in their domains.
  [[nodiscard]] std::span<const PlaceRange> at(std::span<const std::int64_t> readings);
  // Bounds of a column's value as of the last call; in ones for plain numbers, else in ticks.
  [[nodiscard]] const Interval& value(std::size_t column) const { return values_[column]; }

 private:
  [[nodiscard]] PlaceRange places(std::size_t column, const Interval& value) const;
  [[nodiscard]] Interval of_chart(const WorkedOut& detail) const;

  const Tables& tables_;
  std::vector<PlaceRange> places_;
  std::vector<Interval> values_;  // by column; in ones for plain numbers, else in ticks
  std::vector<ValueRange> point_;
};

// Whether a value lies at or past an edge. `ticks_in_one` is 10^9 for a plain number given in ones, else 1.
[[nodiscard]] bool reaches(const Rational& value, const Cut& cut, Int128 ticks_in_one = 1);

// The place of a value of an asked detail.
[[nodiscard]] std::uint32_t place_of(const Tables& tables, std::size_t asked, std::int64_t value);
// The values of an asked detail that lie in some places next to each other.
[[nodiscard]] ValueRange values_in(const Tables& tables, std::size_t asked, const PlaceRange& places);

}  // namespace lacestay::compiler
