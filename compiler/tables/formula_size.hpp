// How large the numbers of a formula can become on the way, whatever the player: what the checker works out when it
// writes a formula, and what is held once more of one that was loaded.
//
// A value on the way is an unreduced fraction (formula.hpp). Known of it are its exact bounds, how large its numerator
// and its denominator can be, and what divides each of them for every player.
#pragma once

#include "compiler/tables/tables.hpp"

namespace lacestay::compiler {

struct FormulaSize {
  Interval bounds;
  Int128 most_numerator = 0, most_denominator = 1;
  Int128 numerator_factor = 1, denominator_factor = 1;
};

// Thrown where a formula can't be kept exactly.
struct Oversized {
  enum class What {
    number,  // one gets past 127 bits
    bounds,  // no bounds of 128 bits, or a divisor that could be zero
    range,   // a value that could not be compared with ticks
  };
  What what;
};

// Of one formula, step by step. Throws Oversized.
class FormulaSizing {
 public:
  [[nodiscard]] static FormulaSize asked(const AskedDomain& domain);
  [[nodiscard]] static FormulaSize constant(Int128 numerator, Int128 denominator);
  // Its own formula runs inside this one, so its fractions can be as large here as there.
  [[nodiscard]] FormulaSize worked_out(const WorkedOut& other);
  // Of round_up, round_down and round_nearest, and of a step that takes two. A divisor's bounds leave zero out.
  [[nodiscard]] FormulaSize rounded(const FormulaStep& step, const FormulaSize& inner);
  [[nodiscard]] FormulaSize combined(const FormulaStep& step, const FormulaSize& a, const FormulaSize& b);
  // What divides the numerator and the denominator both, whatever the player; and the fraction without it.
  [[nodiscard]] static Int128 shared_factor(const FormulaSize& size);
  static void shrink(FormulaSize& size, Int128 factor);

  // True where every number so far stays below 2^60.
  [[nodiscard]] bool fits_64() const { return fits_64_; }

 private:
  Int128 product(Int128 a, Int128 b);
  Int128 exact(std::optional<Int128> number);
  Int128 largest_numerator(const Interval& bounds, Int128 denominator);
  [[nodiscard]] static Interval bounded(const FormulaStep& step, const Interval& first, const Interval& second);

  bool fits_64_ = true;
};

// A worked-out value is compared with edges in ticks, by multiplying out: ticks, and those products, must fit as well.
// Edges past the bounds are never compared with.
[[nodiscard]] bool comparable(const WorkedOut& made);

[[nodiscard]] inline Int128 absolute(Int128 value) { return value < 0 ? -value : value; }

}  // namespace lacestay::compiler
