// Quantities as whole numbers of ticks.
//
// Each dimension has one tick, small enough that every unit the language knows is a whole number of them, so a
// literal is exact or refused and no comparison touches floating point:
//   length  1 nm                 1 in = 25.4 mm exactly      (international yard and pound agreement, 1959)
//   weight  0.1 ng (10^-10 g)    1 lb = 453.59237 g exactly  (the same); 1 oz = 1/16 lb, 1 st = 14 lb
//   age     1 month              flex    10^-6 flex          number  10^-9 (a per cent is 10^7 ticks)
//   money   the currency's minor unit (ISO 4217)             day     1 day, counted from 1 January 1970 (days.hpp)
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "compiler/values/rational.hpp"
#include "grammar/tree/tree.hpp"

namespace lacestay::compiler {

enum class Dimension : std::uint8_t { length, weight, age, flex, money, number, day };

// "a length", "a weight", …
[[nodiscard]] const char* a_dimension(Dimension dimension);

// A unit to show amounts in: one of the closed table, or the policy's currency, or (for plain numbers) none.
struct ShownUnit {
  std::optional<grammar::Unit> unit;
  std::string currency;
  // What was written in it goes by such parts of one: 4 where ¼ was, 8 where 0.125 was. An amount of whole parts is
  // shown as it would be written, in fractions or with a point; any other is rounded.
  std::int64_t parts = 1;
  bool fractions = false;

  [[nodiscard]] bool same_unit(const ShownUnit& other) const {
    return unit == other.unit && currency == other.currency;
  }
  // Takes in that this was written in the unit.
  void note(const grammar::Amount& written);
  // The same of what was written in that one, which is the same unit.
  void note(const ShownUnit& other);
  friend bool operator==(const ShownUnit&, const ShownUnit&) = default;
};

// Ticks in one of the unit. `digits` are the currency's minor digits; a unit that is absent is a plain number.
[[nodiscard]] std::int64_t ticks_per(const ShownUnit& unit, int digits = 2);
[[nodiscard]] Dimension dimension_of(const grammar::Unit& unit);
// Of a quantity that stands where nothing says what is due, and the units it is written in.
[[nodiscard]] Dimension dimension_of(const grammar::Quantity& quantity);
[[nodiscard]] std::vector<ShownUnit> units_of(const grammar::Quantity& quantity);

// Why a quantity is not a whole number of ticks of the dimension that is due.
struct QuantityError {
  enum class Kind { wrong_dimension, unit_missing, unit_unwanted, other_currency, not_whole, too_large };
  Kind kind;
  Dimension found = Dimension::number;  // wrong_dimension
};

// What a reader of quantities needs to know about where one stands.
struct Due {
  Dimension dimension = Dimension::number;
  std::string currency;                    // the policy's; empty where it names none
  std::optional<grammar::Unit> bare_unit;  // the unit of a bare number (years, where ages are whole years)
};

// A quantity's ticks, exactly. Cost: constant.
[[nodiscard]] std::variant<std::int64_t, QuantityError> ticks_of(const grammar::Quantity& quantity, const Due& due);

// A fraction as a decimal, to its last digit; nothing where it takes more digits than that after the point.
[[nodiscard]] std::optional<std::string> decimal(std::int64_t numerator, std::int64_t denominator, int most_digits);

// Whether `show` writes it to the last tick because it is whole parts of its unit (ShownUnit::parts).
[[nodiscard]] bool is_shown_exactly(std::int64_t ticks, const std::vector<ShownUnit>& units);

// An amount as a person reads it: "30 kg", "14 st 6 lb", "1 September 2026", "45.50 GBP". `units` holds one unit, or a
// large and a small one, of the amount's dimension. What is whole parts of the unit is exact: "58½ in", "1 3/16 in",
// "0.125 in". Else, where that is not exact, it is rounded, halves up: to two decimals, a plain number to four, money
// to the currency's digits, the smaller of two units to one.
[[nodiscard]] std::string show(std::int64_t ticks, Dimension dimension, const std::vector<ShownUnit>& units,
                               int digits = 2);
// The same of an amount between two ticks, as formulas give them; its denominator is below 2^126, and its whole ticks
// below 2^62.
[[nodiscard]] std::string show(const Rational& ticks, Dimension dimension, const std::vector<ShownUnit>& units,
                               int digits = 2);
// The same for two ends that share a unit: "20 to 30 flex".
[[nodiscard]] std::string show_range(std::int64_t from, std::int64_t to, Dimension dimension,
                                     const std::vector<ShownUnit>& units, int digits = 2);

}  // namespace lacestay::compiler
