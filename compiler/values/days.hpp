// Days. A day is its number, counted from 1 January 1970, which is its tick; the calendar is the Gregorian one of
// <chrono>, before 1582 too.
#pragma once

#include <chrono>
#include <cstdint>
#include <optional>
#include <string>

#include "grammar/tree/tree.hpp"

namespace lacestay::compiler {

// A day that its month does not have is counted on from the first of the month: 31 April is 1 May.
[[nodiscard]] std::int64_t day_number(std::chrono::year_month_day date);
[[nodiscard]] std::int64_t day_number(int year, int month, int day);
[[nodiscard]] std::int64_t day_number(const grammar::Date& date);
[[nodiscard]] std::chrono::year_month_day calendar_of(std::int64_t day);

// Complete years from one day to another, 0 where the second is not later. Who was born on 29 February turns a
// year older on 1 March of a common year.
[[nodiscard]] std::int64_t whole_years(std::int64_t from, std::int64_t to);

// The same day so many months later, or years; where that month has no such day it is counted on, so that of 29
// February, in a common year, it is 1 March.
[[nodiscard]] std::int64_t months_after(std::int64_t day, std::int64_t months);
[[nodiscard]] std::int64_t years_after(std::int64_t day, std::int64_t years);

// "2026-09-01" (ISO 8601), and back; nothing where the text is no day of the calendar written so.
[[nodiscard]] std::string iso_day(std::int64_t day);
[[nodiscard]] std::optional<std::int64_t> day_from_iso(const std::string& text);

}  // namespace lacestay::compiler
