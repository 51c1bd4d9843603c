#include "compiler/tables/formula_size.hpp"

#include <algorithm>
#include <cstdlib>

namespace lacestay::compiler {

using Kind = FormulaStep::Kind;

namespace {

Int128 common_factor(Int128 a, Int128 b) {
  while (b != 0) {
    const Int128 rest = a % b;
    a = b, b = rest;
  }
  return absolute(a);
}

}  // namespace

FormulaSize FormulaSizing::asked(const AskedDomain& domain) {
  const auto low = as_fraction(domain, domain.lowest), high = as_fraction(domain, domain.highest);
  FormulaSize size;
  size.bounds = {reduced(low.numerator, low.denominator), reduced(high.numerator, high.denominator)};
  size.most_numerator = std::max(std::abs(low.numerator), std::abs(high.numerator));
  size.most_denominator = size.denominator_factor = low.denominator;
  if (low.numerator != 0 && low.denominator == 1)
    size.numerator_factor = common_factor(low.numerator, as_fraction(domain, domain.grain).numerator);
  return size;
}

FormulaSize FormulaSizing::constant(Int128 numerator, Int128 denominator) {
  const Rational value{numerator, denominator};
  const auto most = absolute(numerator);
  // Zero is divisible by everything, so no factor of it is tracked.
  return {{value, value}, most, denominator, most == 0 ? Int128{1} : most, denominator};
}

FormulaSize FormulaSizing::worked_out(const WorkedOut& other) {
  FormulaSize size;
  size.bounds = {other.lowest, other.highest};
  size.most_numerator = other.largest_numerator, size.most_denominator = other.largest_denominator;
  fits_64_ = fits_64_ && other.fits_64;
  if (other.plain_number)
    for (auto* end : {&size.bounds.lowest, &size.bounds.highest})
      *end = reduced(end->numerator, product(end->denominator, ticks_per_one));
  return size;
}

FormulaSize FormulaSizing::rounded(const FormulaStep& step, const FormulaSize& inner) {
  // Room for the doubled numerators of rounding to the nearest.
  product(product(inner.most_numerator, step.denominator), 4);
  product(product(inner.most_denominator, step.numerator), 4);
  FormulaSize size;
  size.bounds = bounded(step, inner.bounds, inner.bounds);
  size.most_numerator = largest_numerator(size.bounds, step.denominator);
  size.most_denominator = size.denominator_factor = step.denominator;
  size.numerator_factor = step.numerator;
  return size;
}

// As formula.cc puts the fraction together.
FormulaSize FormulaSizing::combined(const FormulaStep& step, const FormulaSize& a, const FormulaSize& b) {
  FormulaSize size;
  size.bounds = bounded(step, a.bounds, b.bounds);
  const auto left = product(a.most_numerator, b.most_denominator);
  const auto right = product(b.most_numerator, a.most_denominator);
  size.most_denominator = product(a.most_denominator, b.most_denominator);
  switch (step.kind) {
    case Kind::multiply: size.most_numerator = product(a.most_numerator, b.most_numerator); break;
    case Kind::divide: size.most_numerator = left, size.most_denominator = right; break;
    case Kind::larger:
    case Kind::smaller:
      size.most_numerator = std::max(a.most_numerator, b.most_numerator);
      size.most_denominator = std::max(a.most_denominator, b.most_denominator);
      break;
    case Kind::whole_years: size.most_numerator = size.bounds.highest.numerator, size.most_denominator = 1; break;
    default: size.most_numerator = exact(add(left, right));
  }
  if (step.kind != Kind::multiply && step.kind != Kind::divide) return size;
  const bool divides = step.kind == Kind::divide;
  size.numerator_factor = multiply(a.numerator_factor, divides ? b.denominator_factor : b.numerator_factor).value_or(1);
  size.denominator_factor =
      multiply(a.denominator_factor, divides ? b.numerator_factor : b.denominator_factor).value_or(1);
  return size;
}

Int128 FormulaSizing::shared_factor(const FormulaSize& size) {
  return common_factor(size.numerator_factor, size.denominator_factor);
}

void FormulaSizing::shrink(FormulaSize& size, Int128 factor) {
  size.most_numerator /= factor, size.most_denominator /= factor;
  size.numerator_factor /= factor, size.denominator_factor /= factor;
}

Int128 FormulaSizing::product(Int128 a, Int128 b) { return exact(multiply(a, b)); }

Int128 FormulaSizing::exact(std::optional<Int128> number) {
  if (!number) throw Oversized{Oversized::What::number};
  fits_64_ = fits_64_ && absolute(*number) < (Int128{1} << 60);
  return *number;
}

// The largest numerator over `denominator` for a value between the bounds.
Int128 FormulaSizing::largest_numerator(const Interval& bounds, Int128 denominator) {
  const auto low = product(absolute(bounds.lowest.numerator), denominator) / bounds.lowest.denominator;
  const auto high = product(absolute(bounds.highest.numerator), denominator) / bounds.highest.denominator;
  return std::max(low, high) + 1;
}

Interval FormulaSizing::bounded(const FormulaStep& step, const Interval& first, const Interval& second) {
  constexpr Int128 most = Int128{1} << 62;
  const auto made = bound(step, first, second);
  if (!made) throw Oversized{Oversized::What::bounds};
  for (const auto* end : {&made->lowest, &made->highest})
    if (absolute(end->numerator / end->denominator) >= most) throw Oversized{Oversized::What::range};
  return *made;
}

bool comparable(const WorkedOut& made) {
  constexpr Int128 most_ticks = Int128{1} << 61;
  const auto ticks = [](const Rational& end) { return absolute(end.numerator / end.denominator) + 1; };
  const auto largest = std::max(ticks(made.lowest), ticks(made.highest));
  return largest < most_ticks && multiply(made.largest_denominator, 2 * largest) &&
         multiply(made.largest_numerator, 2 * Int128{made.plain_number ? ticks_per_one : 1});
}

}  // namespace lacestay::compiler
