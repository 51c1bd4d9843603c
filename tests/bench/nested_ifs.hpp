// The baseline of the benchmark: a policy written out as nested ifs (by write_ifs.cc), and what that code needs.
#pragma once

#include <cstdint>

#include "compiler/law/law.hpp"
#include "compiler/values/days.hpp"
#include "compiler/values/quantity.hpp"
#include "compiler/values/rational.hpp"

namespace lacestay::bench {

using compiler::Standing;

struct Result {
  Standing standing;
  std::int64_t low, high;
};

// Readings by asked detail; a result for each property, piece and caution.
void nested_ifs(const std::int64_t* readings, Result* out);

struct Fraction {
  compiler::Int128 n, d;
};
inline Fraction add(Fraction a, Fraction b) {
  return a.d == b.d ? Fraction{a.n + b.n, a.d} : Fraction{a.n * b.d + b.n * a.d, a.d * b.d};
}
inline Fraction subtract(Fraction a, Fraction b) { return add(a, {-b.n, b.d}); }
inline Fraction multiply(Fraction a, Fraction b) { return {a.n * b.n, a.d * b.d}; }
inline Fraction divide(Fraction a, Fraction b) {
  return b.n < 0 ? Fraction{-a.n * b.d, a.d * -b.n} : Fraction{a.n * b.d, a.d * b.n};
}
inline Fraction larger(Fraction a, Fraction b) { return a.n * b.d < b.n * a.d ? b : a; }
inline Fraction smaller(Fraction a, Fraction b) { return b.n * a.d < a.n * b.d ? b : a; }
inline Fraction years_between(Fraction a, Fraction b) {
  return {12 * compiler::whole_years(static_cast<std::int64_t>(a.n), static_cast<std::int64_t>(b.n)), 1};
}
inline Fraction up(Fraction a, Fraction s) { return {compiler::ceil_divide(a.n * s.d, a.d * s.n) * s.n, s.d}; }
inline Fraction down(Fraction a, Fraction s) { return {compiler::floor_divide(a.n * s.d, a.d * s.n) * s.n, s.d}; }
inline Fraction nearest(Fraction a, Fraction s) {
  return {compiler::floor_divide(2 * a.n * s.d + a.d * s.n, 2 * a.d * s.n) * s.n, s.d};
}

}  // namespace lacestay::bench
