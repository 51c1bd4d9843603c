// What a player's details and a policy's literals are worth, exactly.
//
// Numbers are kept in one unit of each kind: millimetres, grams, years, flex, the currency's own unit, and plain
// numbers (a percent is a hundredth). Years, not months, so that a bare number means the same for an age as for
// a count, and no one has to know which of the two it stands beside.
#pragma once

#include <chrono>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "grammar/tree/tree.hpp"
#include "tests/reference/rational.hpp"

namespace lacestay::naive {

using Day = std::chrono::sys_days;

// One detail of a player: a number in the units above, the name of a member, or a day.
using Exact = std::variant<Rational, std::string, Day>;

// A player: every asked detail by name.
using Player = std::map<std::string, Exact, std::less<>>;

enum class Dimension { number, length, weight, age, flex, money };

[[nodiscard]] Rational worth(grammar::Unit unit);
[[nodiscard]] Rational worth(const grammar::Quantity& quantity);
[[nodiscard]] Dimension dimension_of(const grammar::Quantity& quantity);
[[nodiscard]] Day day_of(const grammar::Date& date);

// Days as numbers, so that edges of every kind compare alike.
[[nodiscard]] Rational number_of(Day day);
[[nodiscard]] Day day_at(const Rational& number);
// A quantity's or a day's number; for a phrase it throws.
[[nodiscard]] Rational number_of(const grammar::Value& value);

// Complete years from one day to another; the anniversary of 29 February in a common year is 1 March.
[[nodiscard]] std::int64_t whole_years(Day from, Day to);

// The number as a decimal, or nothing where it has no end or more than `places` places.
[[nodiscard]] std::optional<std::string> decimal(const Rational& number, int places = 12);
// As a decimal where it has an end, else as a fraction.
[[nodiscard]] std::string plain(const Rational& number);

// The ways of writing a number of this kind exactly: `12.24699399 kg`, `27 lb`, `1 st 13 lb`. May be none: a number
// below 0, or one whose decimals have no end. Money is in GBP.
[[nodiscard]] std::vector<std::string> spellings(const Rational& number, Dimension dimension);

// The three ways a day is written: `1 September 2026`, `1 Sep 2026`, `2026-09-01`.
[[nodiscard]] std::vector<std::string> spellings(Day day);

}  // namespace lacestay::naive
