// Exact fractions for bounds found at compile time, and the 128-bit integers under them.
#pragma once

#include <cstdint>
#include <optional>

namespace lacestay::compiler {

__extension__ using Int128 = __int128;

// a + b, a * b, or nothing where the result does not fit in 127 bits.
[[nodiscard]] inline std::optional<Int128> add(Int128 a, Int128 b) {
  Int128 sum;
  return __builtin_add_overflow(a, b, &sum) ? std::nullopt : std::optional(sum);
}
[[nodiscard]] inline std::optional<Int128> multiply(Int128 a, Int128 b) {
  Int128 product;
  return __builtin_mul_overflow(a, b, &product) ? std::nullopt : std::optional(product);
}

// a divided by b > 0, rounded towards minus infinity, and towards plus infinity.
template <typename Int>
[[nodiscard]] constexpr Int floor_divide(Int a, Int b) {
  return a / b - (a % b != 0 && a < 0 ? 1 : 0);
}
template <typename Int>
[[nodiscard]] constexpr Int ceil_divide(Int a, Int b) {
  return a / b + (a % b != 0 && a > 0 ? 1 : 0);
}

// A fraction in lowest terms, denominator > 0.
struct Rational {
  Int128 numerator = 0;
  Int128 denominator = 1;
};

// The fraction n/d in lowest terms; d != 0.
[[nodiscard]] Rational reduced(Int128 numerator, Int128 denominator);

// Nothing where the exact result does not fit. `divide` by zero gives nothing too.
[[nodiscard]] std::optional<Rational> add(const Rational& a, const Rational& b);
[[nodiscard]] std::optional<Rational> subtract(const Rational& a, const Rational& b);
[[nodiscard]] std::optional<Rational> multiply(const Rational& a, const Rational& b);
[[nodiscard]] std::optional<Rational> divide(const Rational& a, const Rational& b);
// The whole part of a * factor, where a's denominator is below 2^126 and the result fits: exact where the product as a
// fraction would not fit. `factor` >= 0. Cost: a step for each of its bits.
[[nodiscard]] Int128 floor_of_product(const Rational& a, std::int64_t factor);
// -1, 0 or 1, whatever their size.
[[nodiscard]] int compare(const Rational& a, const Rational& b);

}  // namespace lacestay::compiler
