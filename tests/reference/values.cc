#include "tests/reference/values.hpp"

#include <algorithm>
#include <array>
#include <cstdio>

namespace lacestay::naive {

using grammar::Unit;

Rational worth(Unit unit) {
  const Rational inch = Rational::of(254, 10);
  const Rational pound = Rational::of(45359237, 100000);
  switch (unit) {
    case Unit::millimetre: return 1;
    case Unit::centimetre: return 10;
    case Unit::metre: return 1000;
    case Unit::inch: return inch;
    case Unit::foot: return inch * 12;
    case Unit::gram: return 1;
    case Unit::kilogram: return 1000;
    case Unit::ounce: return pound / 16;
    case Unit::pound: return pound;
    case Unit::stone: return pound * 14;
    case Unit::year: return 1;
    case Unit::month: return Rational::of(1, 12);
    case Unit::flex: return 1;
    case Unit::percent: return Rational::of(1, 100);
  }
  throw std::logic_error("a unit without a worth");
}

Rational worth(const grammar::Quantity& quantity) {
  Rational sum;
  for (const auto& part : quantity.parts) {
    const Rational number = Rational::of(part.numerator, part.denominator);
    sum = sum + (part.unit ? number * worth(*part.unit) : number);
  }
  return sum;
}

Dimension dimension_of(const grammar::Quantity& quantity) {
  const auto& amount = quantity.parts.front();
  if (!amount.currency.empty()) return Dimension::money;
  if (!amount.unit) return Dimension::number;
  switch (*amount.unit) {
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
  throw std::logic_error("a unit without a kind");
}

Day day_of(const grammar::Date& date) { return std::chrono::year(date.year) / date.month / date.day; }

Rational number_of(Day day) { return day.time_since_epoch().count(); }

Day day_at(const Rational& number) { return Day(std::chrono::days(number.floor())); }

Rational number_of(const grammar::Value& value) {
  if (const auto* quantity = std::get_if<grammar::Quantity>(&value)) return worth(*quantity);
  if (const auto* date = std::get_if<grammar::Date>(&value)) return number_of(day_of(*date));
  throw std::invalid_argument("a name where a number or a day is due");
}

std::int64_t whole_years(Day from, Day to) {
  const std::chrono::year_month_day first(from), last(to);
  // By month, then day: 1 March comes after 29 February, and 28 February before it, in a common year too.
  const bool reached = last.month() > first.month() || (last.month() == first.month() && last.day() >= first.day());
  return static_cast<int>(last.year()) - static_cast<int>(first.year()) - (reached ? 0 : 1);
}

std::optional<std::string> decimal(const Rational& number, int places) {
  Rational scaled = number < 0 ? -number : number;
  int used = 0;
  for (; !scaled.is_whole(); ++used) {
    if (used == places) return std::nullopt;
    scaled = scaled * 10;
  }
  std::string digits = std::to_string(scaled.floor());
  if (used > 0) {
    const auto wanted = static_cast<std::size_t>(used) + 1;
    if (digits.size() < wanted) digits.insert(0, wanted - digits.size(), '0');
    digits.insert(digits.size() - static_cast<std::size_t>(used), ".");
  }
  return (number < 0 ? "-" : "") + digits;
}

std::string plain(const Rational& number) {
  if (const auto text = decimal(number)) return *text;
  return std::to_string(static_cast<long long>(number.top())) + "/" +
         std::to_string(static_cast<long long>(number.bottom()));
}

std::vector<std::string> spellings(const Rational& number, Dimension dimension) {
  constexpr std::size_t most_digits = 17;  // what the reader takes, leading noughts aside
  std::vector<std::string> out;
  const auto add = [&](const Rational& one, const char* unit) {
    const auto digits = decimal(number / one);
    if (digits && digits->size() <= most_digits && number >= 0) out.push_back(*digits + unit);
  };
  // `5 ft 9 in`: a whole number of the large unit, then what is left, if that can be written shortly.
  const auto add_both = [&](const Rational& large, const char* large_unit, const Rational& small,
                            const char* small_unit) {
    const std::int64_t whole = (number / large).floor();
    const auto rest = decimal((number - large * whole) / small, 1);
    if (whole > 0 && rest && *rest != "0") out.push_back(std::to_string(whole) + large_unit + *rest + small_unit);
  };
  switch (dimension) {
    case Dimension::number: add(1, ""); break;
    case Dimension::flex: add(1, " flex"); break;
    case Dimension::money: add(1, " GBP"); break;
    case Dimension::age:
      add(1, " years");
      add(worth(Unit::month), " months");
      break;
    case Dimension::length:
      add(1, " mm"), add(10, " cm"), add(1000, " m"), add(worth(Unit::inch), " in"), add(worth(Unit::foot), " ft");
      add_both(worth(Unit::foot), " ft ", worth(Unit::inch), " in");
      break;
    case Dimension::weight:
      add(1000, " kg"), add(1, " g"), add(worth(Unit::pound), " lb"), add(worth(Unit::stone), " st");
      add_both(worth(Unit::stone), " st ", worth(Unit::pound), " lb");
      add_both(worth(Unit::pound), " lb ", worth(Unit::ounce), " oz");
      break;
  }
  return out;
}

std::vector<std::string> spellings(Day day) {
  static constexpr std::array months = {"January", "February", "March",     "April",   "May",      "June",
                                        "July",    "August",   "September", "October", "November", "December"};
  const std::chrono::year_month_day date(day);
  const int year = static_cast<int>(date.year());
  const auto month = static_cast<unsigned>(date.month()), in_month = static_cast<unsigned>(date.day());
  const std::string name = months[month - 1];
  std::array<char, 16> iso{};
  std::snprintf(iso.data(), iso.size(), "%04d-%02u-%02u", year % 10000, month % 100, in_month % 100);
  return {std::to_string(in_month) + " " + name + " " + std::to_string(year),
          std::to_string(in_month) + " " + name.substr(0, 3) + " " + std::to_string(year), iso.data()};
}

}  // namespace lacestay::naive
