#include "compiler/values/days.hpp"

#include <fmt/format.h>

#include <cstdio>

namespace lacestay::compiler {

using std::chrono::month_day;
using std::chrono::sys_days;
using std::chrono::year_month_day;

std::int64_t day_number(year_month_day date) { return sys_days(date).time_since_epoch().count(); }
std::int64_t day_number(int year, int month, int day) { return day_number(std::chrono::year(year) / month / day); }
std::int64_t day_number(const grammar::Date& date) { return day_number(date.year, date.month, date.day); }

year_month_day calendar_of(std::int64_t day) { return sys_days(std::chrono::days(day)); }

std::int64_t whole_years(std::int64_t from, std::int64_t to) {
  if (to <= from) return 0;
  const auto born = calendar_of(from), today = calendar_of(to);
  const bool birthday_passed = month_day(today.month(), today.day()) >= month_day(born.month(), born.day());
  return (today.year() - born.year()).count() - (birthday_passed ? 0 : 1);
}

std::int64_t months_after(std::int64_t day, std::int64_t months) {
  return day_number(calendar_of(day) + std::chrono::months(months));
}

std::int64_t years_after(std::int64_t day, std::int64_t years) {
  const auto date = calendar_of(day);
  return day_number(date + std::chrono::years(years));
}

std::string iso_day(std::int64_t day) {
  const auto date = calendar_of(day);
  return fmt::format("{:04}-{:02}-{:02}", static_cast<int>(date.year()), static_cast<unsigned>(date.month()),
                     static_cast<unsigned>(date.day()));
}

// g++ 12 has no std::chrono::parse.
std::optional<std::int64_t> day_from_iso(const std::string& text) {
  int year = 0, month = 0, day = 0;
  if (std::sscanf(text.c_str(), "%4d-%2d-%2d", &year, &month, &day) != 3) return std::nullopt;
  const auto number = day_number(year, month, day);
  return iso_day(number) == text ? std::optional(number) : std::nullopt;
}

}  // namespace lacestay::compiler
