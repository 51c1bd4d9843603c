#include <catch2/catch.hpp>

#include "compiler/values/rational.hpp"
#include "tests/reference/draw.hpp"

namespace {

using namespace lacestay;

TEST_CASE("fractions compare by size, also where their cross products are past 128 bits") {
  using compiler::Int128;
  naive::Draw draw(31);
  const auto small = [&] { return compiler::Rational{draw.between(-30, 30), draw.between(1, 30)}; };
  const auto sign = [](Int128 value) { return value < 0 ? -1 : value > 0 ? 1 : 0; };
  for (int i = 0; i < 20'000; ++i) {
    const auto a = small(), b = small();
    const auto by_cross_products = sign(a.numerator * b.denominator - b.numerator * a.denominator);
    CHECK(compiler::compare(a, b) == by_cross_products);
    // Both ends scaled by a number too large to multiply by: the order stays.
    const Int128 large = (Int128{1} << 115) + draw.between(0, 1'000'000);
    CHECK(compiler::compare({a.numerator * large, a.denominator * large},
                            {b.numerator * large, b.denominator * large}) == by_cross_products);
    // A hair above, and a hair below.
    const compiler::Rational above{a.numerator * large + 1, a.denominator * large};
    CHECK(compiler::compare(above, {a.numerator * large, a.denominator * large}) == 1);
    CHECK(compiler::compare({a.numerator * large - 1, a.denominator * large}, above) == -1);
  }
}

}  // namespace
