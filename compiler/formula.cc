#include "compiler/formula.hpp"

#include <array>

#include "compiler/quantity.hpp"

namespace lacestay::compiler {
namespace {

bool less(const Fraction& a, const Fraction& b) {
  return a.numerator * b.denominator < b.numerator * a.denominator;
}

Fraction combine(FormulaStep::Kind kind, const Fraction& a, const Fraction& b) {
  using Kind = FormulaStep::Kind;
  switch (kind) {
    case Kind::add:
      if (a.denominator == b.denominator) return {a.numerator + b.numerator, a.denominator};
      return {a.numerator * b.denominator + b.numerator * a.denominator, a.denominator * b.denominator};
    case Kind::subtract:
      if (a.denominator == b.denominator) return {a.numerator - b.numerator, a.denominator};
      return {a.numerator * b.denominator - b.numerator * a.denominator, a.denominator * b.denominator};
    case Kind::multiply: return {a.numerator * b.numerator, a.denominator * b.denominator};
    case Kind::divide:
      if (b.numerator < 0) return {-a.numerator * b.denominator, a.denominator * -b.numerator};
      return {a.numerator * b.denominator, a.denominator * b.numerator};
    case Kind::larger: return less(a, b) ? b : a;
    case Kind::smaller: return less(b, a) ? b : a;
    default:  // whole_years: both are days, and the answer is in ticks of age, which are months
      return {12 * Int128{whole_years(static_cast<std::int64_t>(a.numerator), static_cast<std::int64_t>(b.numerator))}, 1};
  }
}

// To a multiple of n/d: in units of the step, a is (a.n * d) / (a.d * n).
Fraction round(const FormulaStep& step, const Fraction& a) {
  using Kind = FormulaStep::Kind;
  const Int128 above = a.numerator * step.denominator, below = a.denominator * step.numerator;
  const Int128 steps = step.kind == Kind::round_up     ? ceil_divide(above, below)
                       : step.kind == Kind::round_down ? floor_divide(above, below)
                                                       : floor_divide(2 * above + below, 2 * below);
  return {steps * step.numerator, step.denominator};
}

}  // namespace

Fraction run(std::span<const FormulaStep> steps, std::span<const Fraction> values) {
  using Kind = FormulaStep::Kind;
  std::array<Fraction, deepest_stack> stack;
  std::size_t top = 0;
  for (const auto& step : steps) {
    switch (step.kind) {
      case Kind::detail: stack[top++] = values[step.index]; break;
      case Kind::constant: stack[top++] = {step.numerator, step.denominator}; break;
      case Kind::round_up: case Kind::round_down: case Kind::round_nearest:
        stack[top - 1] = round(step, stack[top - 1]);
        break;
      default:
        stack[top - 2] = combine(step.kind, stack[top - 2], stack[top - 1]);
        --top;
    }
  }
  return stack[0];
}

}  // namespace lacestay::compiler
