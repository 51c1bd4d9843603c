// How amounts are shown: as a shop writes them, and exactly where they are to be read back.
#include "compiler/tables/policy.hpp"
#include "compiler/values/days.hpp"
#include "compiler/values/rational.hpp"
#include "tests/compiler/values/quantities.hpp"
#include "tests/reference/draw.hpp"

namespace {

using namespace lacestay;
using namespace lacestay::tests;
using compiler::ShownUnit;
using grammar::Unit;

ShownUnit in(Unit unit) { return {unit, ""}; }

TEST_CASE("amounts are shown as a shop writes them") {
  const std::vector<ShownUnit> kg = {in(Unit::kilogram)}, mm = {in(Unit::millimetre)}, cm = {in(Unit::centimetre)};
  const std::vector<ShownUnit> st_lb = {in(Unit::stone), in(Unit::pound)}, ft_in = {in(Unit::foot), in(Unit::inch)};
  const std::vector<ShownUnit> years = {in(Unit::year)}, month = {in(Unit::month)}, plain = {{}},
                               percent = {in(Unit::percent)};
  const std::vector<ShownUnit> gbp = {{std::nullopt, "GBP"}}, jpy = {{std::nullopt, "JPY"}},
                               kwd = {{std::nullopt, "KWD"}};
  const auto weight = [&](const char* text, const std::vector<ShownUnit>& units) {
    return compiler::show(tenths_ng(text), Dimension::weight, units);
  };
  const auto length = [&](const char* text, const std::vector<ShownUnit>& units) {
    return compiler::show(nm(text), Dimension::length, units);
  };
  const auto sum = [&](std::int64_t pence) { return compiler::show(pence, Dimension::money, gbp); };

  CHECK(weight("30 kg", kg) == "30 kg");
  CHECK(weight("30.5 kg", kg) == "30.5 kg");
  CHECK(weight("30.25 kg", kg) == "30.25 kg");
  CHECK(weight("30.005 kg", kg) == "30.01 kg");  // two decimals, half goes up
  CHECK(weight("30.0049 kg", kg) == "30 kg");
  CHECK(weight("14 st", kg) == "88.9 kg");
  CHECK(weight("0 kg", kg) == "0 kg");
  CHECK(weight("1 g", kg) == "0 kg");
  CHECK(length("12½ in", mm) == "317.5 mm");
  CHECK(length("175.26 cm", cm) == "175.26 cm");

  CHECK(weight("14 st", st_lb) == "14 st");
  CHECK(weight("14 st 6 lb", st_lb) == "14 st 6 lb");
  CHECK(weight("6 lb", st_lb) == "6 lb");
  CHECK(weight("6.25 lb", st_lb) == "6.3 lb");  // tenths of the small unit, half goes up
  CHECK(weight("13 st 13.9 lb", st_lb) == "13 st 13.9 lb");
  CHECK(weight("13 st 13.94 lb", st_lb) == "13 st 13.9 lb");
  CHECK(weight("13 st 13.95 lb", st_lb) == "14 st");
  CHECK(weight("13 st 13.999 lb", st_lb) == "14 st");
  CHECK(weight("13.99 lb", st_lb) == "1 st");
  CHECK(weight("0 kg", st_lb) == "0 st");
  CHECK(length("5 ft 9 in", ft_in) == "5 ft 9 in");
  CHECK(length("175 cm", ft_in) == "5 ft 8.9 in");
  CHECK(length("5 ft 11.96 in", ft_in) == "6 ft");
  CHECK(length("11.96 in", ft_in) == "1 ft");

  CHECK(compiler::show(108, Dimension::age, years) == "9 years");
  CHECK(compiler::show(12, Dimension::age, years) == "1 year");
  CHECK(compiler::show(0, Dimension::age, years) == "0 years");
  CHECK(compiler::show(18, Dimension::age, years) == "1.5 years");
  CHECK(compiler::show(1, Dimension::age, month) == "1 month");
  CHECK(compiler::show(2, Dimension::age, month) == "2 months");

  CHECK(compiler::show(3'000'000'000, Dimension::number, plain) == "3");
  CHECK(compiler::show(1'000'000'000 / 8, Dimension::number, plain) == "0.125");
  CHECK(compiler::show(1'000'000'000 / 3, Dimension::number, plain) == "0.3333");
  CHECK(compiler::show(999'999'999, Dimension::number, plain) == "1");
  CHECK(compiler::show(160'000'000, Dimension::number, percent) == "16%");
  CHECK(compiler::show(165'000'000, Dimension::number, percent) == "16.5%");

  CHECK(sum(4'500) == "45 GBP");
  CHECK(sum(4'550) == "45.50 GBP");
  CHECK(sum(4'505) == "45.05 GBP");
  CHECK(sum(5) == "0.05 GBP");
  CHECK(sum(0) == "0 GBP");
  CHECK(compiler::show(45, Dimension::money, jpy, 0) == "45 JPY");
  CHECK(compiler::show(4'550, Dimension::money, kwd, 3) == "4.550 KWD");
  CHECK(compiler::show(4'000, Dimension::money, kwd, 3) == "4 KWD");

  CHECK(compiler::show(compiler::day_number(2026, 9, 1), Dimension::day, {}) == "1 September 2026");
  CHECK(compiler::show(0, Dimension::day, {}) == "1 January 1970");
  CHECK(compiler::show(-1, Dimension::day, {}) == "31 December 1969");
}

TEST_CASE("amounts below nothing carry their sign once") {
  const std::vector<ShownUnit> kg = {in(Unit::kilogram)}, cm = {in(Unit::centimetre)}, gbp = {{std::nullopt, "GBP"}};
  const std::vector<ShownUnit> st_lb = {in(Unit::stone), in(Unit::pound)};
  CHECK(compiler::show(-tenths_ng("30.5 kg"), Dimension::weight, kg) == "-30.5 kg");
  CHECK(compiler::show(-tenths_ng("0.25 kg"), Dimension::weight, kg) == "-0.25 kg");
  CHECK(compiler::show(-tenths_ng("1 g"), Dimension::weight, kg) == "0 kg");  // never "-0"
  CHECK(compiler::show(-nm("5 cm"), Dimension::length, cm) == "-5 cm");
  CHECK(compiler::show(-4'550, Dimension::money, gbp) == "-45.50 GBP");
  CHECK(compiler::show(-tenths_ng("3.5 st"), Dimension::weight, st_lb) == "-3.5 st");
}

TEST_CASE("an amount between two ticks is rounded from what it is, not from its tick") {
  using compiler::Rational;
  const std::vector<ShownUnit> gbp = {{std::nullopt, "GBP"}}, years = {in(Unit::year)};
  CHECK(compiler::show(Rational{150'129, 10}, Dimension::money, gbp) == "150.13 GBP");
  CHECK(compiler::show(Rational{150'004, 10}, Dimension::money, gbp) == "150 GBP");
  CHECK(compiler::show(Rational{-150'129, 10}, Dimension::money, gbp) == "-150.13 GBP");
  CHECK(compiler::show(Rational{1'236, 10}, Dimension::age, years) == "10.3 years");
  CHECK(compiler::show(Rational{120, 7}, Dimension::age, years) == "1.43 years");
  // Halves go up, and a hair below one does not, however long the fraction.
  const compiler::Int128 long_one = compiler::Int128{1} << 125;
  const auto coins = [&](compiler::Int128 above) {
    return compiler::show(Rational{above, long_one}, Dimension::money, gbp);
  };
  CHECK(coins(long_one / 2) == "0.01 GBP");
  CHECK(coins(long_one / 2 - 1) == "0 GBP");
  CHECK(compiler::floor_of_product({long_one - 1, long_one}, 1'000'000) == 999'999);
}

TEST_CASE("two ends share their unit where they have one") {
  const std::vector<ShownUnit> flexes = {in(Unit::flex)}, gbp = {{std::nullopt, "GBP"}}, mm = {in(Unit::millimetre)};
  const std::vector<ShownUnit> st_lb = {in(Unit::stone), in(Unit::pound)}, years = {in(Unit::year)}, plain = {{}};
  CHECK(compiler::show_range(20'000'000, 30'000'000, Dimension::flex, flexes) == "20 to 30 flex");
  CHECK(compiler::show_range(17'500'000, 30'000'000, Dimension::flex, flexes) == "17.5 to 30 flex");
  CHECK(compiler::show_range(6'000, 11'000, Dimension::money, gbp) == "60 to 110 GBP");
  CHECK(compiler::show_range(6'050, 11'000, Dimension::money, gbp) == "60.50 to 110 GBP");
  CHECK(compiler::show_range(nm("5 mm"), nm("6.25 mm"), Dimension::length, mm) == "5 to 6.25 mm");
  CHECK(compiler::show_range(0, 12, Dimension::age, years) == "0 to 1 year");
  CHECK(compiler::show_range(12, 24, Dimension::age, years) == "1 to 2 years");
  CHECK(compiler::show_range(0, 14'000'000'000, Dimension::number, plain) == "0 to 14");
  CHECK(compiler::show_range(tenths_ng("4 st"), tenths_ng("13 st 13.999 lb"), Dimension::weight, st_lb) ==
        "4 st to 14 st");
  CHECK(compiler::show_range(compiler::day_number(2026, 9, 1), compiler::day_number(2027, 8, 31), Dimension::day, {}) ==
        "1 September 2026 to 31 August 2027");
}

TEST_CASE("a large and a small unit never show a small one that is full, and read back they are near") {
  const std::vector<ShownUnit> st_lb = {in(Unit::stone), in(Unit::pound)}, ft_in = {in(Unit::foot), in(Unit::inch)};
  naive::Draw draw(7);
  const auto check = [&](const std::vector<ShownUnit>& units, Dimension dimension, std::int64_t most,
                         const char* full) {
    const auto small = compiler::ticks_per(units.back());
    for (int i = 0; i < 2'000; ++i) {
      // Half of them just under a whole large unit, where rounding could fill the small one.
      auto amount = draw.between(0, most);
      if (i % 2 == 0) amount -= amount % compiler::ticks_per(units.front()) - draw.between(-small / 5, small / 5);
      if (amount < 0) continue;
      const auto text = compiler::show(amount, dimension, units);
      INFO(text);
      CHECK(text.find(full) == std::string::npos);
      CHECK(std::abs(ticks(text, {dimension, "", {}}) - amount) * 20 <= small);
    }
  };
  check(st_lb, Dimension::weight, tenths_ng("30 st"), " 14 lb");
  check(ft_in, Dimension::length, nm("8 ft"), " 12 in");
}

TEST_CASE("a value that is to be read back is written exactly, in the units it is shown in where they can say it") {
  compiler::Scale scale;
  scale.kind = compiler::Scale::Kind::amount;
  scale.dimension = Dimension::weight;
  scale.shown = {in(Unit::stone), in(Unit::pound)};
  const auto written = [&](const std::string& text) { return scale.write_exactly(tenths_ng(text)); };
  CHECK(written("12 st") == "12 st");
  CHECK(written("5 st 13.9 lb") == "5 st 13.9 lb");
  CHECK(written("12 st 0.1 lb") == "12 st 0.1 lb");
  CHECK(written("13.875 lb") == "13.875 lb");
  CHECK(written("1 st 1 lb") == "1 st 1 lb");
  CHECK(written("40 kg") == "40 kg");  // 6 st 4.184… lb
  for (std::int64_t tenths = 1; tenths < 4'000; ++tenths) {
    const auto ticks = tenths * (compiler::ticks_per(in(Unit::pound)) / 10);
    CHECK(tenths_ng(scale.write_exactly(ticks)) == ticks);
  }
}

}  // namespace
