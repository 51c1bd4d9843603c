// Quantities: what each unit is worth, by the agreements that fix it and by another program's reckoning; what is
// refused.
#include <fmt/format.h>

#include <cmath>

#include "tests/compiler/values/quantities.hpp"
#include "tests/reference/draw.hpp"
#include "tests/support/gnu_units.hpp"
#include "tests/support/process.hpp"
#include "tests/support/settings.hpp"

namespace {

using namespace lacestay;
using namespace lacestay::tests;
using grammar::Unit;
using Kind = compiler::QuantityError::Kind;

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
    next.theirs = tests::spelled_for_gnu_units(next.ours);
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
    next.ticks = ticks(next.ours, due);
    all.push_back(std::move(next));
  }
  return all;
}

TEST_CASE("GNU units reckons the same") {
  if (!installed("units")) return skipped("the program 'units' is not installed (Debian package units)");
  const auto quantities = generated_quantities(600, 20260901);
  std::vector<std::pair<std::string, std::string>> asked;
  for (const auto& quantity : quantities) asked.emplace_back(quantity.theirs, quantity.into);
  const auto theirs = tests::by_gnu_units(asked);
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
                           ".5 kg", "3,5 kg", "0x10 kg", "kg", "3 kilograms", "nan kg", ""}) {
    INFO(text);
    const grammar::Source source("a quantity", text);
    const auto value = grammar::read_value(source);
    CHECK_FALSE((value && std::holds_alternative<grammar::Quantity>(*value)));
  }
}
}  // namespace
