#include "compiler/values/formula.hpp"

#include <array>

#include "compiler/values/days.hpp"
#include "compiler/values/quantity.hpp"

namespace lacestay::compiler {
namespace {

template <typename Int>
bool less(const BasicFraction<Int>& a, const BasicFraction<Int>& b) {
  return a.numerator * b.denominator < b.numerator * a.denominator;
}

template <typename Int>
BasicFraction<Int> combine(FormulaStep::Kind kind, const BasicFraction<Int>& a, const BasicFraction<Int>& b) {
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
      return {12 * Int{whole_years(static_cast<std::int64_t>(a.numerator), static_cast<std::int64_t>(b.numerator))}, 1};
  }
}

// To a multiple of n/d: in units of the step, a is (a.n * d) / (a.d * n).
template <typename Int>
BasicFraction<Int> round(const FormulaStep& step, const BasicFraction<Int>& a) {
  using Kind = FormulaStep::Kind;
  const Int numerator = static_cast<Int>(step.numerator), denominator = static_cast<Int>(step.denominator);
  const Int above = a.numerator * denominator, below = a.denominator * numerator;
  const Int steps = step.kind == Kind::round_up     ? ceil_divide(above, below)
                    : step.kind == Kind::round_down ? floor_divide(above, below)
                                                    : floor_divide(2 * above + below, 2 * below);
  return {steps * numerator, denominator};
}

std::optional<Interval> hull(const std::array<std::optional<Rational>, 4>& ends) {
  Interval all;
  for (std::size_t i = 0; i < ends.size(); ++i) {
    if (!ends[i]) return std::nullopt;
    if (i == 0 || compare(*ends[i], all.lowest) < 0) all.lowest = *ends[i];
    if (i == 0 || compare(*ends[i], all.highest) > 0) all.highest = *ends[i];
  }
  return all;
}

std::optional<Rational> rounded(const FormulaStep& step, const Rational& value) {
  const auto steps = divide(value, {step.numerator, step.denominator});
  if (!steps) return std::nullopt;
  const auto doubled = multiply(*steps, Rational{2, 1}),
             shifted = doubled ? add(*doubled, Rational{1, 1}) : std::nullopt;
  if (!shifted) return std::nullopt;
  using Kind = FormulaStep::Kind;
  const Int128 whole = step.kind == Kind::round_up     ? ceil_divide(steps->numerator, steps->denominator)
                       : step.kind == Kind::round_down ? floor_divide(steps->numerator, steps->denominator)
                                                       : floor_divide(shifted->numerator, 2 * shifted->denominator);
  return multiply(Rational{whole, 1}, Rational{step.numerator, step.denominator});
}

std::optional<Interval> ends(const std::optional<Rational>& lowest, const std::optional<Rational>& highest) {
  return lowest && highest ? std::optional(Interval{*lowest, *highest}) : std::nullopt;
}

}  // namespace

std::optional<Interval> bound(const FormulaStep& step, const Interval& a, const Interval& b) {
  using Kind = FormulaStep::Kind;
  switch (step.kind) {
    case Kind::add: return ends(add(a.lowest, b.lowest), add(a.highest, b.highest));
    case Kind::subtract: return ends(subtract(a.lowest, b.highest), subtract(a.highest, b.lowest));
    case Kind::multiply:
      return hull({multiply(a.lowest, b.lowest), multiply(a.lowest, b.highest), multiply(a.highest, b.lowest),
                   multiply(a.highest, b.highest)});
    case Kind::divide:
      if (b.lowest.numerator <= 0 && b.highest.numerator >= 0) return std::nullopt;
      return hull({divide(a.lowest, b.lowest), divide(a.lowest, b.highest), divide(a.highest, b.lowest),
                   divide(a.highest, b.highest)});
    case Kind::larger:
    case Kind::smaller: {
      const bool larger = step.kind == Kind::larger;
      return Interval{(compare(a.lowest, b.lowest) < 0) == larger ? b.lowest : a.lowest,
                      (compare(a.highest, b.highest) < 0) == larger ? b.highest : a.highest};
    }
    case Kind::whole_years: {
      const auto years = [](const Rational& from, const Rational& to) {
        return Rational{12 * Int128{whole_years(static_cast<std::int64_t>(from.numerator),
                                                static_cast<std::int64_t>(to.numerator))},
                        1};
      };
      return Interval{years(a.highest, b.lowest), years(a.lowest, b.highest)};
    }
    default: return ends(rounded(step, a.lowest), rounded(step, a.highest));  // rounding never falls
  }
}

std::optional<Interval> bounds(std::span<const FormulaStep> steps, std::span<const Interval> values) {
  using Kind = FormulaStep::Kind;
  std::array<Interval, deepest_stack + 1> stack;
  std::size_t top = 0;
  for (const auto& step : steps) {
    if (step.kind == Kind::detail) {
      stack[top++] = values[step.index];
    } else if (step.kind == Kind::shrink) {
      continue;  // the same value
    } else if (step.kind == Kind::constant) {
      const Rational value{step.numerator, step.denominator};
      stack[top++] = {value, value};
    } else {
      const bool rounds =
          step.kind == Kind::round_up || step.kind == Kind::round_down || step.kind == Kind::round_nearest;
      if (!rounds) --top;
      const auto made = bound(step, stack[top - 1], stack[rounds ? top - 1 : top]);
      if (!made) return std::nullopt;
      stack[top - 1] = *made;
    }
  }
  return stack[0];
}

namespace {

template <typename Int>
BasicFraction<Int> run_in(std::span<const FormulaStep> steps, std::span<const BasicFraction<Int>> values) {
  using Kind = FormulaStep::Kind;
  std::array<BasicFraction<Int>, deepest_stack + 1> stack;
  std::size_t top = 0;
  for (const auto& step : steps) {
    switch (step.kind) {
      case Kind::detail: stack[top++] = values[step.index]; break;
      case Kind::shrink:
        stack[top - 1].numerator /= static_cast<Int>(step.numerator);
        stack[top - 1].denominator /= static_cast<Int>(step.numerator);
        break;
      case Kind::constant: stack[top++] = {static_cast<Int>(step.numerator), static_cast<Int>(step.denominator)}; break;
      case Kind::round_up:
      case Kind::round_down:
      case Kind::round_nearest: stack[top - 1] = round(step, stack[top - 1]); break;
      default: stack[top - 2] = combine(step.kind, stack[top - 2], stack[top - 1]); --top;
    }
  }
  return stack[0];
}

}  // namespace

Fraction run(std::span<const FormulaStep> steps, std::span<const Fraction> values) {
  return run_in<Int128>(steps, values);
}

Fraction64 run(std::span<const FormulaStep> steps, std::span<const Fraction64> values) {
  return run_in<std::int64_t>(steps, values);
}

}  // namespace lacestay::compiler
