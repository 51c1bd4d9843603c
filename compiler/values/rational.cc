#include "compiler/values/rational.hpp"

namespace lacestay::compiler {

Rational reduced(Int128 numerator, Int128 denominator) {
  if (denominator < 0) numerator = -numerator, denominator = -denominator;
  Int128 a = numerator < 0 ? -numerator : numerator, b = denominator;
  while (b != 0) {
    const Int128 rest = a % b;
    a = b, b = rest;
  }
  return a > 1 ? Rational{numerator / a, denominator / a} : Rational{numerator, denominator};
}

std::optional<Rational> add(const Rational& a, const Rational& b) {
  const auto left = multiply(a.numerator, b.denominator), right = multiply(b.numerator, a.denominator);
  const auto below = multiply(a.denominator, b.denominator);
  if (!left || !right || !below) return std::nullopt;
  const auto above = add(*left, *right);
  return above ? std::optional(reduced(*above, *below)) : std::nullopt;
}

std::optional<Rational> subtract(const Rational& a, const Rational& b) {
  return add(a, Rational{-b.numerator, b.denominator});
}

std::optional<Rational> multiply(const Rational& a, const Rational& b) {
  const auto above = multiply(a.numerator, b.numerator), below = multiply(a.denominator, b.denominator);
  return above && below ? std::optional(reduced(*above, *below)) : std::nullopt;
}

std::optional<Rational> divide(const Rational& a, const Rational& b) {
  if (b.numerator == 0) return std::nullopt;
  return multiply(a, reduced(b.denominator, b.numerator));
}

Int128 floor_of_product(const Rational& a, std::int64_t factor) {
  __extension__ using Unsigned = unsigned __int128;
  const Int128 whole = floor_divide(a.numerator, a.denominator);
  const auto below = static_cast<Unsigned>(a.denominator),
             rest = static_cast<Unsigned>(a.numerator - whole * a.denominator);
  // The rest by the factor's bits, from the top: after each, `made` and `left` over `below` are what it came to.
  Unsigned made = 0, left = 0;
  for (int bit = 62; bit >= 0; --bit) {
    made *= 2, left *= 2;
    if ((factor >> bit & 1) != 0) left += rest;
    made += left / below, left %= below;
  }
  return whole * factor + static_cast<Int128>(made);
}

int compare(const Rational& a, const Rational& b) {
  const auto order = [](Int128 one, Int128 other) { return one < other ? -1 : one > other ? 1 : 0; };
  const auto left = multiply(a.numerator, b.denominator), right = multiply(b.numerator, a.denominator);
  if (left && right) return order(*left, *right);
  // Cross products would overflow: compare whole parts, and where they are equal the reciprocals of the remainders, as
  // in continued fractions.
  const Int128 whole = floor_divide(a.numerator, a.denominator), other = floor_divide(b.numerator, b.denominator);
  if (whole != other) return order(whole, other);
  const Int128 rest = a.numerator - whole * a.denominator, other_rest = b.numerator - other * b.denominator;
  if (rest == 0 || other_rest == 0) return order(rest, other_rest);
  return compare({b.denominator, other_rest}, {a.denominator, rest});
}

}  // namespace lacestay::compiler
