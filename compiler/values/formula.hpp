// A worked-out detail's formula, ready to run: postfix steps over exact fractions.
//
// A value on the way is a fraction n/d of 128-bit integers, d > 0, not reduced. Lengths, weights and the like are
// in ticks; plain numbers are in ones, so that a length times a number is a length. The checker has proved, from
// the inputs' domains, that no step overflows and no divisor can be zero, so running needs no checks.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "compiler/values/rational.hpp"

namespace lacestay::compiler {

// Ticks in a plain number of one, which formulas count in ones.
inline constexpr std::int64_t ticks_per_one = 1'000'000'000;

struct FormulaStep {
  enum class Kind : std::uint8_t {
    detail,    // push a detail's value: `index` into the values given
    constant,  // push numerator/denominator
    add,
    subtract,
    multiply,
    divide,
    larger,
    smaller,
    whole_years,  // of the two on top
    shrink,       // the top's numerator and denominator, by `numerator`, which divides both whatever the player
    round_up,
    round_down,
    round_nearest,  // the top, to a multiple of numerator/denominator
  };
  Kind kind;
  std::uint16_t index = 0;
  Int128 numerator = 0;
  Int128 denominator = 1;
  friend bool operator==(const FormulaStep&, const FormulaStep&) = default;
};

template <typename Int>
struct BasicFraction {
  Int numerator;
  Int denominator;
};
using Fraction = BasicFraction<Int128>;
// Most formulas of a shop fit in 64 bits all the way, which is several times as fast.
using Fraction64 = BasicFraction<std::int64_t>;

// The deepest stack a formula may need; longer ones are refused by the checker. To run one there is room for one more:
// a formula shared by two editions (editions.hpp) may need it.
inline constexpr std::size_t deepest_stack = 40;

// `values[i]` is the value of detail i (a fraction; in ticks, or in ones for plain numbers). No allocation.
[[nodiscard]] Fraction run(std::span<const FormulaStep> steps, std::span<const Fraction> values);
[[nodiscard]] Fraction64 run(std::span<const FormulaStep> steps, std::span<const Fraction64> values);

// All values from `lowest` to `highest`; in ticks, or in ones for plain numbers.
struct Interval {
  Rational lowest, highest;
};

// Bounds of one step's result, given its operands' (`second` for steps that take two). Exact for each step alone;
// over a formula that uses a detail twice they can be wider than what is reached. Nothing where they do not fit in
// 128 bits, or where a divisor could be zero.
[[nodiscard]] std::optional<Interval> bound(const FormulaStep& step, const Interval& first, const Interval& second);
// Bounds of a whole formula, `values[i]` being those of detail i.
[[nodiscard]] std::optional<Interval> bounds(std::span<const FormulaStep> steps, std::span<const Interval> values);

}  // namespace lacestay::compiler
