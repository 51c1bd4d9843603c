// The closed table of unit spellings. The compiler knows how large a unit is; the grammar only needs to know which
// words are units, so that `20 to 30 flex` is two numbers and one unit.
#pragma once

#include <optional>
#include <string_view>
#include <vector>

namespace lacestay::grammar {

enum class Unit {
  millimetre,
  centimetre,
  metre,
  inch,
  foot,
  gram,
  kilogram,
  ounce,
  pound,
  stone,
  year,
  month,
  flex,
  percent
};

struct UnitSpelling {
  std::string_view text;
  Unit unit;
};

// Longest first, so that a reader can take the first that matches.
[[nodiscard]] const std::vector<UnitSpelling>& unit_spellings();

// The unit of a word, capitals aside, or nothing.
[[nodiscard]] std::optional<Unit> unit_named(std::string_view word);

// Of a length or a weight: millimetres to kilograms, not inches to stone.
[[nodiscard]] constexpr bool is_metric(Unit unit) {
  return unit <= Unit::metre || unit == Unit::gram || unit == Unit::kilogram;
}

// The spelling used in answers: mm, kg, years. `one` picks the singular where there is one.
[[nodiscard]] std::string_view spelling(Unit unit, bool one = false);

// The minor digits of an ISO 4217 currency code in upper case (2 for GBP, 0 for JPY), or nothing for a word that
// is no such code. The standard's active codes that a shop may be paid in; tests/grammar/tree/test_currencies.cc holds
// codes and digits to two outside lists.
[[nodiscard]] std::optional<int> currency_digits(std::string_view code);

}  // namespace lacestay::grammar
