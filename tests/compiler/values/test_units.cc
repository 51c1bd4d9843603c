// Quantities: what each unit is worth, by the agreements that fix it and by another program's reckoning; what is
// refused; how amounts are shown; days and years against plain counting.
#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <cmath>
#include <cstdlib>
#include <sstream>

#include "compiler/tables/policy.hpp"
#include "compiler/values/days.hpp"
#include "compiler/values/quantity.hpp"
#include "compiler/values/rational.hpp"
#include "grammar/read/reader.hpp"
#include "tests/reference/draw.hpp"
#include "tests/support/process.hpp"
#include "tests/support/settings.hpp"

namespace {

using namespace lacestay;
using compiler::Dimension;
using compiler::Due;
using compiler::QuantityError;
using compiler::ShownUnit;
using grammar::Unit;
using Kind = compiler::QuantityError::Kind;

// ---- reading ---------------------------------------------------------------------------------------------

std::variant<std::int64_t, QuantityError> reckoned(const std::string& text, const Due& due) {
  const grammar::Source source("a quantity", text);
  const auto value = grammar::read_value(source);
  INFO(text);
  REQUIRE(value);
  const auto* quantity = std::get_if<grammar::Quantity>(&*value);
  REQUIRE(quantity);
  return compiler::ticks_of(*quantity, due);
}

std::int64_t ticks(const std::string& text, const Due& due) {
  const auto found = reckoned(text, due);
  INFO(text);
  REQUIRE(std::holds_alternative<std::int64_t>(found));
  return std::get<std::int64_t>(found);
}

std::int64_t nm(const std::string& text) { return ticks(text, {Dimension::length, "", {}}); }         // 10^-9 m
std::int64_t tenths_ng(const std::string& text) { return ticks(text, {Dimension::weight, "", {}}); }  // 10^-10 g
std::int64_t months(const std::string& text) { return ticks(text, {Dimension::age, "", {}}); }
std::int64_t number(const std::string& text) { return ticks(text, {Dimension::number, "", {}}); }  // 10^-9
std::int64_t flex(const std::string& text) { return ticks(text, {Dimension::flex, "", {}}); }      // 10^-6
std::int64_t money(const std::string& text, const char* code) { return ticks(text, {Dimension::money, code, {}}); }

// What is wrong with it, as a word; "nothing" where nothing is.
std::string wrong(const std::string& text, const Due& due) {
  const auto found = reckoned(text, due);
  if (std::holds_alternative<std::int64_t>(found)) return "nothing";
  const auto& error = std::get<QuantityError>(found);
  switch (error.kind) {
    case Kind::wrong_dimension: return fmt::format("it is {}", compiler::a_dimension(error.found));
    case Kind::unit_missing: return "unit missing";
    case Kind::unit_unwanted: return fmt::format("unit unwanted, of {}", compiler::a_dimension(error.found));
    case Kind::other_currency: return "other currency";
    case Kind::not_whole: return "finer than a tick";
    case Kind::too_large: return "too large";
  }
  return "";
}

TEST_CASE("the yard and the pound are what the agreement of 1959 says, to the tick") {
  // United States, Federal Register 24, page 5348 (1 July 1959): 1 yard = 0.9144 m, 1 pound (avoirdupois) =
  // 0.45359237 kg, both exactly. The rest are the customary divisions.
  constexpr std::int64_t yard = 914'400'000, pound = 4'535'923'700'000;
  CHECK(nm("3 ft") == yard);
  CHECK(nm("36 in") == yard);
  CHECK(nm("0.9144 m") == yard);
  CHECK(nm("91.44 cm") == yard);
  CHECK(nm("914.4 mm") == yard);
  CHECK(tenths_ng("1 lb") == pound);
  CHECK(tenths_ng("0.45359237 kg") == pound);
  CHECK(tenths_ng("453.59237 g") == pound);
  CHECK(tenths_ng("16 oz") == pound);
  CHECK(tenths_ng("1 oz") * 16 == pound);
  CHECK(tenths_ng("1 st") == 14 * pound);
  CHECK(nm("1 ft") == 12 * nm("1 in"));
  CHECK(nm("1 in") == 25'400'000);
}

TEST_CASE("the same amount in other units is the same number of ticks") {
  CHECK(tenths_ng("14 st") == 889'041'045'200'000);
  CHECK(tenths_ng("196 lb") == tenths_ng("14 st"));
  CHECK(tenths_ng("88.90410452 kg") == tenths_ng("14 st"));
  CHECK(tenths_ng("88904.10452 g") == tenths_ng("14 st"));
  CHECK(tenths_ng("3136 oz") == tenths_ng("14 st"));
  CHECK(tenths_ng("13 st 14 lb") == tenths_ng("14 st"));
  CHECK(tenths_ng("88.90410453 kg") != tenths_ng("14 st"));
  CHECK(tenths_ng("88.9041045200001 kg") == tenths_ng("14 st") + 1);  // one tick more
  CHECK(nm("5 ft 9 in") == 1'752'600'000);
  CHECK(nm("175.26 cm") == nm("5 ft 9 in"));
  CHECK(nm("69 in") == nm("5 ft 9 in"));
  CHECK(nm("12½ in") == 317'500'000);
  CHECK(nm("317.5 mm") == nm("12½ in"));
  CHECK(nm("1⅓ ft") == nm("16 in"));
  CHECK(months("9 years") == 108);
  CHECK(months("9 years 6 months") == months("9½ years"));
  CHECK(number("12%") == 120'000'000);
  CHECK(number("0.12") == number("12%"));
  CHECK(number("1") == 1'000'000'000);
  CHECK(flex("77.5 flex") == 77'500'000);
  CHECK(money("45.50 GBP", "GBP") == 4'550);
  CHECK(money("45 JPY", "JPY") == 45);        // the yen has no minor unit
  CHECK(money("4.555 KWD", "KWD") == 4'555);  // the dinar has a thousand of them
  CHECK(ticks("9", {Dimension::age, "", Unit::year}) == 108);
}

TEST_CASE("every spelling of the table has its unit, and every unit its size") {
  const std::vector<std::pair<Unit, std::int64_t>> sizes = {
      {Unit::millimetre, 1'000'000},
      {Unit::centimetre, 10'000'000},
      {Unit::metre, 1'000'000'000},
      {Unit::inch, 25'400'000},
      {Unit::foot, 304'800'000},
      {Unit::gram, 10'000'000'000},
      {Unit::kilogram, 10'000'000'000'000},
      {Unit::ounce, 283'495'231'250},
      {Unit::pound, 4'535'923'700'000},
      {Unit::stone, 63'502'931'800'000},
      {Unit::year, 12},
      {Unit::month, 1},
      {Unit::flex, 1'000'000},
      {Unit::percent, 10'000'000},
  };
  for (const auto& [unit, size] : sizes) {
    CHECK(compiler::ticks_per({unit, ""}) == size);
    std::size_t spelled = 0;
    for (const auto& spelling : grammar::unit_spellings()) {
      if (spelling.unit != unit) continue;
      ++spelled;
      const Due due{compiler::dimension_of(unit), "", {}};
      CHECK(ticks(fmt::format("3 {}", spelling.text), due) == 3 * size);
      CHECK(ticks(fmt::format("3{}", spelling.text), due) == 3 * size);
    }
    CHECK(spelled > 0);
  }
  CHECK(compiler::ticks_per({std::nullopt, "GBP"}, 2) == 100);
  CHECK(compiler::ticks_per({std::nullopt, ""}) == 1'000'000'000);
}

// ---- another program -------------------------------------------------------------------------------------

struct Generated {
  std::string ours, theirs;  // the quantity in the two spellings
  std::string into;          // the other program's name for one tick
  std::int64_t ticks = 0;
};

// "12.625", without zeros at its end.
std::string decimal(std::int64_t thousandths) {
  auto text = fmt::format("{}.{:03}", thousandths / 1000, thousandths % 1000);
  while (text.back() == '0') text.pop_back();
  if (text.back() == '.') text.pop_back();
  return text;
}

std::vector<Generated> generated_quantities(std::size_t count, std::uint64_t seed) {
  naive::Draw draw(seed);
  std::vector<Generated> all;
  const auto one = [&](const char* unit, std::int64_t most) {
    return fmt::format("{} {}", decimal(draw.between(0, most * 1000)), unit);
  };
  while (all.size() < count) {
    Generated next;
    std::string large, small;
    switch (draw.between(0, 9)) {
      case 0: large = fmt::format("{} ft", draw.between(0, 7)), small = one("in", 11); break;
      case 1: large = one("in", 90); break;
      case 2: large = one("cm", 220); break;
      case 3:
        large = fmt::format("{} st", draw.between(0, 28)), small = fmt::format("{} lb", draw.between(0, 13));
        break;
      case 4:
        large = fmt::format("{} lb", draw.between(0, 400)), small = fmt::format("{} oz", draw.between(0, 15));
        break;
      case 5: large = one("lb", 400); break;
      case 6:
        large = fmt::format("{} oz", decimal(100 * draw.between(0, 60'000)));
        break;  // a finer one is no whole tick
      case 7:
        large = fmt::format("{} years", draw.between(0, 90)), small = fmt::format("{} months", draw.between(0, 11));
        break;
      case 8: large = one("st", 28); break;
      default: large = one("%", 100); break;
    }
    next.ours = small.empty() ? large : large + " " + small;
    next.theirs = small.empty() ? large : large + " + " + small;
    const bool length = large.find("ft") != std::string::npos || large.find("in") != std::string::npos ||
                        large.find("cm") != std::string::npos;
    const bool age = large.find("years") != std::string::npos;
    const bool share = large.find('%') != std::string::npos;
    const Due due{length  ? Dimension::length
                  : age   ? Dimension::age
                  : share ? Dimension::number
                          : Dimension::weight,
                  "",
                  {}};
    next.into = length ? "nm" : age ? "month" : share ? "1e-9" : "1e-10 g";
    // Our "st" and "in" are theirs too, but "%" there is a word, and "oz" and "lb" are avoirdupois in both.
    if (share) next.theirs.replace(next.theirs.find('%'), 1, "percent");
    const auto stone = next.theirs.find("st");
    if (stone != std::string::npos) next.theirs.replace(stone, 2, "stone");
    next.ticks = ticks(next.ours, due);
    all.push_back(std::move(next));
  }
  return all;
}

// GNU units 2.22 (Debian package units): `units -q -t` reads "you have" and "you want" in turn, one a line, and
// answers each pair with one number. One process for all.
std::vector<double> by_gnu_units(const std::vector<Generated>& quantities) {
  std::string asked;
  for (const auto& quantity : quantities) asked += quantity.theirs + "\n" + quantity.into + "\n";
  const auto ran =
      tests::run_program({"units", "-q", "-t", "-o", "%.17g"}, {.input = asked, .environment = {"LC_ALL=C"}});
  CHECK(ran.code == 0);
  CHECK(ran.err == "");
  std::vector<double> answers;
  std::istringstream lines(ran.out);
  for (std::string line; std::getline(lines, line);) {
    if (line.empty()) continue;
    char* end = nullptr;
    const double value = std::strtod(line.c_str(), &end);
    INFO("units says: " << line);
    REQUIRE((end != line.c_str() && *end == '\0'));
    answers.push_back(value);
  }
  return answers;
}

TEST_CASE("GNU units reckons the same") {
  if (!tests::installed("units")) return tests::skipped("the program 'units' is not installed (Debian package units)");
  const auto quantities = generated_quantities(600, 20260901);
  const auto theirs = by_gnu_units(quantities);
  REQUIRE(theirs.size() == quantities.size());
  std::size_t exact = 0;
  for (std::size_t i = 0; i < quantities.size(); ++i) {
    const auto ours = quantities[i].ticks;
    INFO(quantities[i].ours << " is " << ours << " ticks; units: " << quantities[i].theirs << " is "
                            << fmt::format("{:.17g}", theirs[i]));
    CHECK(std::abs(theirs[i] - static_cast<double>(ours)) <= 1e-12 * static_cast<double>(ours));
    // Its numbers are doubles: a handful of roundings of 2^-53 each stay under half a tick up to about 5 · 10^14
    // ticks (50 kg); above that only the relative check says anything.
    if (ours > 500'000'000'000'000) continue;
    CHECK(std::llround(theirs[i]) == ours);
    ++exact;
  }
  CHECK(exact >= 300);
  fmt::print("units: {} quantities agree to 1e-12, {} of them to the tick (GNU units)\n", quantities.size(), exact);
}

// ---- what is refused -------------------------------------------------------------------------------------

TEST_CASE("what is no whole number of ticks of the kind that is due is refused for its reason") {
  const Due length{Dimension::length, "", {}}, weight{Dimension::weight, "", {}}, age{Dimension::age, "", {}};
  const Due years{Dimension::age, "", Unit::year}, plain{Dimension::number, "", {}},
      pounds{Dimension::money, "GBP", {}};
  const Due yen{Dimension::money, "JPY", {}}, stiffness{Dimension::flex, "", {}};
  CHECK(wrong("30 kg", length) == "it is a weight");
  CHECK(wrong("30 mm", weight) == "it is a length");
  CHECK(wrong("9 years", weight) == "it is an age");
  CHECK(wrong("30 flex", length) == "it is a flex");
  CHECK(wrong("3%", weight) == "it is a plain number");
  CHECK(wrong("3 GBP", weight) == "it is a sum of money");
  CHECK(wrong("3 GBP", plain) == "it is a sum of money");
  CHECK(wrong("3 kg", pounds) == "it is a weight");
  CHECK(wrong("3 kg", plain) == "unit unwanted, of a weight");
  CHECK(wrong("3", plain) == "nothing");
  CHECK(wrong("30", weight) == "unit missing");
  CHECK(wrong("30", length) == "unit missing");
  CHECK(wrong("30", stiffness) == "unit missing");
  CHECK(wrong("30", pounds) == "unit missing");
  CHECK(wrong("9", age) == "unit missing");
  CHECK(wrong("9", years) == "nothing");
  CHECK(wrong("3 EUR", pounds) == "other currency");
  CHECK(wrong("3 GBP", pounds) == "nothing");

  CHECK(wrong("0.000001 mm", length) == "nothing");
  CHECK(wrong("0.0000001 mm", length) == "finer than a tick");
  CHECK(wrong("0.0000000001 g", weight) == "nothing");
  CHECK(wrong("0.00000000001 g", weight) == "finer than a tick");
  CHECK(wrong("⅓ in", length) == "finer than a tick");
  CHECK(wrong("⅓ lb", weight) == "finer than a tick");
  CHECK(wrong("⅛ oz", weight) == "finer than a tick");  // 1 oz is 283 495 231 250 ticks, of which 8 is no divisor
  CHECK(wrong("½ oz", weight) == "nothing");
  CHECK(wrong("½ months", age) == "finer than a tick");
  CHECK(wrong("¼ years", age) == "nothing");
  CHECK(wrong("⅛ years", age) == "finer than a tick");
  CHECK(wrong("0.001 GBP", pounds) == "finer than a tick");
  CHECK(wrong("0.5 JPY", yen) == "finer than a tick");
  CHECK(wrong("0.0000000001", plain) == "finer than a tick");

  // A quarter of what 63 bits hold: 2 305 843 009 213 693 951 ticks.
  CHECK(wrong("2305843009 m", length) == "nothing");
  CHECK(wrong("2305843010 m", length) == "too large");
  CHECK(ticks("230584.3009213693 kg", weight) == 2'305'843'009'213'693'000);
  CHECK(wrong("230584.3009213694 kg", weight) == "too large");
  CHECK(wrong("99999999999999999 st", weight) == "too large");  // the most digits there can be, times the largest unit
  CHECK(wrong("99999999999999999 st 99999999999999999 lb", weight) == "too large");
}

TEST_CASE("more digits than fit are no quantity at all, not a rounded one") {
  for (const auto* text : {"123456789012345678 kg", "0.0000000000000000001 kg", "1e3 kg", "-3 kg", "+3 kg", "3.kg",
                           ".5 kg", "3,5 kg", "0x10 kg", "kg", "3 kilos", "nan kg", ""}) {
    INFO(text);
    const grammar::Source source("a quantity", text);
    const auto value = grammar::read_value(source);
    CHECK_FALSE((value && std::holds_alternative<grammar::Quantity>(*value)));
  }
}

// ---- showing ---------------------------------------------------------------------------------------------

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

// ---- days ------------------------------------------------------------------------------------------------

bool leap(int year) { return year % 4 == 0 && (year % 100 != 0 || year % 400 == 0); }
int days_in(int year, int month) {
  constexpr std::array lengths = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
  return month == 2 && leap(year) ? 29 : lengths[static_cast<std::size_t>(month - 1)];
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

TEST_CASE("days are counted as a calendar on the wall counts them, 1800 to 2200") {
  CHECK(compiler::day_number(1970, 1, 1) == 0);
  CHECK(compiler::day_number(1969, 12, 31) == -1);
  CHECK(compiler::day_number(2000, 3, 1) == 11'017);
  std::int64_t days = 0, wrong_number = 0, wrong_day = 0, wrong_text = 0;
  auto expected = compiler::day_number(1800, 1, 1);
  for (int year = 1800; year <= 2200; ++year)
    for (int month = 1; month <= 12; ++month)
      for (int day = 1; day <= days_in(year, month); ++day, ++expected, ++days) {
        if (compiler::day_number(year, month, day) != expected) ++wrong_number;
        if (compiler::calendar_of(expected) != std::chrono::year(year) / month / day) ++wrong_day;
        if (compiler::iso_day(expected) != fmt::format("{}-{:02}-{:02}", year, month, day) ||
            compiler::day_from_iso(compiler::iso_day(expected)) != expected)
          ++wrong_text;
      }
  CHECK(wrong_number == 0);
  CHECK(wrong_day == 0);
  CHECK(wrong_text == 0);
  for (const auto* none : {"", "2026-9-1", "2026-02-29", "2026-13-01", "2026-09-01 ", "1 September 2026"})
    CHECK(!compiler::day_from_iso(none));
  CHECK(days == 401 * 365 + 97);  // 1804 to 2196 hold 99 fourth years, of which 1900 and 2100 are common ones
}

// By counting birthdays. Who was born on 29 February has it on 1 March where there is no 29 February.
struct Date {
  explicit Date(std::chrono::year_month_day date)
      : year(static_cast<int>(date.year())),
        month(static_cast<int>(static_cast<unsigned>(date.month()))),
        day(static_cast<int>(static_cast<unsigned>(date.day()))) {}
  int year, month, day;
};
std::int64_t birthdays(const Date& born, const Date& today) {
  std::int64_t count = 0;
  for (int year = born.year + 1; year <= today.year; ++year) {
    int month = born.month, day = born.day;
    if (month == 2 && day == 29 && !leap(year)) month = 3, day = 1;
    const bool passed = year < today.year || month < today.month || (month == today.month && day <= today.day);
    if (passed) ++count;
  }
  return count;
}

TEST_CASE("whole years are birthdays counted") {
  const auto years = [](int y1, int m1, int d1, int y2, int m2, int d2) {
    return compiler::whole_years(compiler::day_number(y1, m1, d1), compiler::day_number(y2, m2, d2));
  };
  CHECK(years(2014, 5, 3, 2023, 5, 2) == 8);
  CHECK(years(2014, 5, 3, 2023, 5, 3) == 9);
  CHECK(years(2014, 5, 3, 2014, 5, 3) == 0);
  CHECK(years(2014, 5, 3, 2013, 1, 1) == 0);  // the second day is not later
  CHECK(years(2012, 2, 29, 2013, 2, 28) == 0);
  CHECK(years(2012, 2, 29, 2013, 3, 1) == 1);
  CHECK(years(2012, 2, 29, 2016, 2, 28) == 3);
  CHECK(years(2012, 2, 29, 2016, 2, 29) == 4);
  CHECK(years(2012, 2, 28, 2013, 2, 28) == 1);
  CHECK(years(1896, 2, 29, 1904, 2, 29) == 8);  // 1900 was a common year
  CHECK(years(2009, 12, 31, 2026, 12, 31) == 17);
  CHECK(years(2010, 1, 1, 2026, 12, 31) == 16);

  naive::Draw draw(29);
  const auto first = compiler::day_number(1900, 1, 1), last = compiler::day_number(2100, 12, 31);
  std::size_t on_leap_days = 0;
  for (int i = 0; i < 20'000; ++i) {
    auto from = draw.between(first, last);
    if (i % 4 == 0) from = compiler::day_number(1904 + 4 * static_cast<int>(draw.between(0, 40)), 2, 29);
    auto to = draw.between(from, last);
    if (i % 8 == 0) {  // near a birthday, where a mistake would be
      const auto year = Date(compiler::calendar_of(to)).year;
      to = std::max(from, compiler::day_number(year, 2, 27) + draw.between(0, 4));
    }
    const Date born(compiler::calendar_of(from)), today(compiler::calendar_of(to));
    on_leap_days += born.month == 2 && born.day == 29 ? 1 : 0;
    INFO(compiler::show(from, Dimension::day, {}) << " to " << compiler::show(to, Dimension::day, {}));
    REQUIRE(compiler::whole_years(from, to) == birthdays(born, today));
  }
  CHECK(on_leap_days >= 5'000);
}

// ---- comparing fractions ---------------------------------------------------------------------------------

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
