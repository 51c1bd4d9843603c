#include "compiler/values/quantity.hpp"

#include <fmt/format.h>

#include <array>
#include <limits>
#include <numeric>

#include "compiler/values/days.hpp"

namespace lacestay::compiler {

using grammar::Unit;

const char* a_dimension(Dimension dimension) {
  switch (dimension) {
    case Dimension::length: return "a length";
    case Dimension::weight: return "a weight";
    case Dimension::age: return "an age";
    case Dimension::flex: return "a flex";
    case Dimension::money: return "a sum of money";
    case Dimension::number: return "a plain number";
    case Dimension::day: return "a day";
  }
  return "";
}

namespace {

std::int64_t ticks_per_unit(Unit unit) {
  constexpr std::int64_t pound = 4'535'923'700'000;
  switch (unit) {
    case Unit::millimetre: return 1'000'000;
    case Unit::centimetre: return 10'000'000;
    case Unit::metre: return 1'000'000'000;
    case Unit::inch: return 25'400'000;
    case Unit::foot: return 12 * 25'400'000;
    case Unit::gram: return 10'000'000'000;
    case Unit::kilogram: return 10'000'000'000'000;
    case Unit::ounce: return pound / 16;
    case Unit::pound: return pound;
    case Unit::stone: return 14 * pound;
    case Unit::year: return 12;
    case Unit::month: return 1;
    case Unit::flex: return 1'000'000;
    case Unit::percent: return 10'000'000;
  }
  return 1;
}

constexpr std::int64_t ticks_per_one = 1'000'000'000;

std::int64_t ticks_per_money(int digits) {
  std::int64_t ticks = 1;
  for (int i = 0; i < digits; ++i) ticks *= 10;
  return ticks;
}

}  // namespace

std::int64_t ticks_per(const ShownUnit& unit, int digits) {
  if (unit.unit) return ticks_per_unit(*unit.unit);
  return unit.currency.empty() ? ticks_per_one : ticks_per_money(digits);
}

Dimension dimension_of(const Unit& unit) {
  switch (unit) {
    case Unit::millimetre:
    case Unit::centimetre:
    case Unit::metre:
    case Unit::inch:
    case Unit::foot: return Dimension::length;
    case Unit::gram:
    case Unit::kilogram:
    case Unit::ounce:
    case Unit::pound:
    case Unit::stone: return Dimension::weight;
    case Unit::year:
    case Unit::month: return Dimension::age;
    case Unit::flex: return Dimension::flex;
    case Unit::percent: return Dimension::number;
  }
  return Dimension::number;
}

Dimension dimension_of(const grammar::Quantity& quantity) {
  const auto& part = quantity.parts.front();
  return part.unit ? dimension_of(*part.unit) : part.currency.empty() ? Dimension::number : Dimension::money;
}

std::vector<ShownUnit> units_of(const grammar::Quantity& quantity) {
  std::vector<ShownUnit> units;
  for (const auto& part : quantity.parts) {
    units.push_back({part.unit, part.currency});
    units.back().note(part);
  }
  return units;
}

void ShownUnit::note(const grammar::Amount& written) {
  constexpr std::int64_t most_parts = 1'000'000'000;
  if (!currency.empty()) return;
  const auto below = written.denominator / std::gcd(written.numerator, written.denominator);
  const auto shared = below / std::gcd(below, parts);
  fractions |= written.in_fractions;
  if (shared <= most_parts / parts) parts *= shared;
}

void ShownUnit::note(const ShownUnit& other) {
  grammar::Amount part;
  part.numerator = 1, part.denominator = other.parts, part.in_fractions = other.fractions;
  if (other.parts > 1) note(part);
}

std::variant<std::int64_t, QuantityError> ticks_of(const grammar::Quantity& quantity, const Due& due) {
  using Kind = QuantityError::Kind;
  Int128 total = 0;
  for (const auto& part : quantity.parts) {
    ShownUnit unit{part.unit, part.currency};
    if (part.bare()) {
      if (due.bare_unit)
        unit.unit = due.bare_unit;
      else if (due.dimension != Dimension::number)
        return QuantityError{Kind::unit_missing};
    } else if (!part.currency.empty()) {
      if (due.dimension != Dimension::money) return QuantityError{Kind::wrong_dimension, Dimension::money};
      if (part.currency != due.currency) return QuantityError{Kind::other_currency};
    } else if (const auto found = dimension_of(*part.unit); found != due.dimension) {
      return QuantityError{due.dimension == Dimension::number ? Kind::unit_unwanted : Kind::wrong_dimension, found};
    }
    const int digits = grammar::currency_digits(due.currency).value_or(2);
    const Int128 scaled = Int128{part.numerator} * ticks_per(unit, digits);  // 10^17 * 10^14 < 2^127
    if (scaled % part.denominator != 0) return QuantityError{Kind::not_whole};
    total += scaled / part.denominator;
  }
  // A quarter of the range, so that two of them can be added anywhere.
  constexpr Int128 most = std::numeric_limits<std::int64_t>::max() / 4;
  if (total > most) return QuantityError{Kind::too_large};
  return static_cast<std::int64_t>(total);
}

// ---- showing ---------------------------------------------------------------------------------------------

namespace {

std::string unit_text(const ShownUnit& unit, bool one) {
  return unit.unit ? std::string(grammar::spelling(*unit.unit, one)) : unit.currency;
}

// The amount in units of `per` ticks, counted in so many parts of one unit; rounded half up. Not below 0.
Int128 rounded_parts(const Rational& ticks, std::int64_t per, std::int64_t parts) {
  return (floor_of_product(ticks, parts * 2) + per) / (Int128{per} * 2);
}

// The amount without its unit, to `decimals` places at most; money always to its minor digits, where it has any.
std::string show_number(Rational ticks, std::int64_t per, int decimals, bool keep_zeros) {
  const bool negative = ticks.numerator < 0;
  if (negative) ticks.numerator = -ticks.numerator;
  std::int64_t scale = 1;
  for (int i = 0; i < decimals; ++i) scale *= 10;
  const Int128 scaled = rounded_parts(ticks, per, scale);
  std::string text = fmt::format("{}", static_cast<std::int64_t>(scaled / scale));
  auto rest = static_cast<std::int64_t>(scaled % scale);
  if (rest != 0) {
    std::string tail = fmt::format("{:0{}}", rest, decimals);
    while (!keep_zeros && !tail.empty() && tail.back() == '0') tail.pop_back();
    if (!tail.empty()) text += "." + tail;
  }
  return (negative && scaled != 0 ? "-" : "") + text;
}

std::string with_unit(std::string number, const ShownUnit& unit) {
  const auto text = unit_text(unit, number == "1");
  if (text.empty()) return number;
  return number + (text == "%" ? "" : " ") + text;
}

std::string show_day(std::int64_t ticks) {
  static constexpr std::array months = {"January", "February", "March",     "April",   "May",      "June",
                                        "July",    "August",   "September", "October", "November", "December"};
  const auto date = calendar_of(ticks);
  return fmt::format("{} {} {}", static_cast<unsigned>(date.day()), months[static_cast<unsigned>(date.month()) - 1],
                     static_cast<int>(date.year()));
}

struct Sign {
  std::int64_t above, below;
  const char* text;
};
constexpr std::array signs = {Sign{1, 2, "½"}, Sign{1, 4, "¼"}, Sign{3, 4, "¾"}, Sign{1, 3, "⅓"}, Sign{2, 3, "⅔"},
                              Sign{1, 8, "⅛"}, Sign{3, 8, "⅜"}, Sign{5, 8, "⅝"}, Sign{7, 8, "⅞"}};

// The amount without its unit as it would be written, where it is whole parts of the unit. Not below 0.
std::optional<std::string> in_parts(const Rational& ticks, const ShownUnit& unit) {
  const auto one = ticks_per(unit);
  if (unit.parts == 1 || one % unit.parts != 0 || ticks.denominator != 1 || ticks.numerator < 0 ||
      ticks.numerator % (one / unit.parts) != 0)
    return std::nullopt;
  const auto all = static_cast<std::int64_t>(ticks.numerator / (one / unit.parts));
  constexpr int most_digits = 9;
  if (!unit.fractions) return decimal(all, unit.parts, most_digits);
  const auto whole = all / unit.parts, rest = all % unit.parts;
  if (rest == 0) return std::to_string(whole);
  const auto factor = std::gcd(rest, unit.parts);
  const auto above = rest / factor, below = unit.parts / factor;
  // Tenths stand with a point, even beside quarters.
  if (below % 5 == 0) return decimal(all, unit.parts, most_digits);
  const auto before = whole == 0 ? "" : std::to_string(whole);
  for (const auto& sign : signs)
    if (sign.above == above && sign.below == below) return before + sign.text;
  return before + (whole == 0 ? "" : " ") + fmt::format("{}/{}", above, below);
}

std::string number_in(const Rational& ticks, const ShownUnit& unit, int digits) {
  if (const auto exact = in_parts(ticks, unit)) return *exact;
  const bool money = !unit.currency.empty();
  return show_number(ticks, ticks_per(unit, digits), money ? digits : unit.unit ? 2 : 4, money);
}

}  // namespace

bool is_shown_exactly(std::int64_t ticks, const std::vector<ShownUnit>& units) {
  const auto rest = units.size() == 1 ? ticks : ticks % ticks_per(units.front());
  return in_parts({rest, 1}, units.back()).has_value();
}

std::optional<std::string> decimal(std::int64_t numerator, std::int64_t denominator, int most_digits) {
  std::string out = std::to_string(numerator / denominator);
  auto rest = numerator % denominator;
  if (rest != 0) out += '.';
  for (int digits = 0; rest != 0; ++digits) {
    if (digits == most_digits) return std::nullopt;
    rest *= 10;
    out += static_cast<char>('0' + rest / denominator);
    rest %= denominator;
  }
  return out;
}

std::string show(std::int64_t ticks, Dimension dimension, const std::vector<ShownUnit>& units, int digits) {
  return show(Rational{ticks, 1}, dimension, units, digits);
}

std::string show(const Rational& ticks, Dimension dimension, const std::vector<ShownUnit>& units, int digits) {
  if (dimension == Dimension::day)
    return show_day(static_cast<std::int64_t>(floor_divide(ticks.numerator, ticks.denominator)));
  const auto& large = units.front();
  if (units.size() == 1 || ticks.numerator < 0) return with_unit(number_in(ticks, large, digits), large);
  const auto& small = units.back();
  if (ticks.denominator == 1) {
    const auto whole = ticks.numerator / ticks_per(large, digits), rest = ticks.numerator % ticks_per(large, digits);
    if (const auto exact = rest == 0 ? std::nullopt : in_parts({rest, 1}, small)) {
      const auto in_large = with_unit(fmt::format("{}", static_cast<std::int64_t>(whole)), large);
      return (whole == 0 ? "" : in_large + " ") + with_unit(*exact, small);
    }
  }
  // Round in the small unit first, so that 13 st 13.999 lb never reads "13 st 14 lb".
  const auto per_small = ticks_per(small, digits), per_large = ticks_per(large, digits);
  const auto rounded = rounded_parts(ticks, per_small, 10);
  const auto tenths_per_large = per_large / per_small * 10;
  const auto whole = static_cast<std::int64_t>(rounded / tenths_per_large);
  const auto rest = static_cast<std::int64_t>(rounded % tenths_per_large);
  const auto large_text = with_unit(fmt::format("{}", whole), large);
  const auto small_text = with_unit(show_number({rest, 1}, 10, 1, false), small);
  if (rest == 0) return large_text;
  return whole == 0 ? small_text : large_text + " " + small_text;
}

std::string show_range(std::int64_t from, std::int64_t to, Dimension dimension, const std::vector<ShownUnit>& units,
                       int digits) {
  const auto second = show(to, dimension, units, digits);
  if (dimension == Dimension::day || units.size() > 1) return show(from, dimension, units, digits) + " to " + second;
  return number_in({from, 1}, units.front(), digits) + " to " + second;
}

}  // namespace lacestay::compiler
