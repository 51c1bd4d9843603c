// From values to places and back: which side of an edge a value is on, the place of a value, the values of a place.
#pragma once

#include <cstdint>

#include "compiler/tables/tables.hpp"

namespace lacestay::compiler {

// Values of one asked detail, both ends included.
struct ValueRange {
  std::int64_t low = 0, high = 0;
  friend bool operator==(const ValueRange&, const ValueRange&) = default;
};

// Whether a value lies at or past an edge. `ticks_in_one` is 10^9 for a plain number given in ones, else 1.
[[nodiscard]] bool reaches(const Rational& value, const Cut& cut, Int128 ticks_in_one = 1);

// The place of a value of an asked detail.
[[nodiscard]] std::uint32_t place_of(const Tables& tables, std::size_t asked, std::int64_t value);
// The values of an asked detail that lie in some places next to each other.
[[nodiscard]] ValueRange values_in(const Tables& tables, std::size_t asked, const PlaceRange& places);

}  // namespace lacestay::compiler
