// Days and whole years against plain counting.
#include <fmt/format.h>

#include <array>
#include <catch2/catch.hpp>

#include "compiler/values/days.hpp"
#include "compiler/values/quantity.hpp"
#include "tests/reference/draw.hpp"

namespace {

using namespace lacestay;
using compiler::Dimension;

bool leap(int year) { return year % 4 == 0 && (year % 100 != 0 || year % 400 == 0); }
int days_in(int year, int month) {
  constexpr std::array lengths = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
  return month == 2 && leap(year) ? 29 : lengths[static_cast<std::size_t>(month - 1)];
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

  const auto later = [](int y, int m, int d, int by) {
    return compiler::iso_day(compiler::years_after(compiler::day_number(y, m, d), by));
  };
  CHECK(later(2024, 2, 29, 1) == "2025-03-01");
  CHECK(later(2024, 2, 29, 4) == "2028-02-29");
  CHECK(later(2024, 2, 28, 1) == "2025-02-28");
  CHECK(later(2025, 12, 31, 1) == "2026-12-31");

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
    // So many years have passed from the day on that is so many years later, and not before.
    const auto since = compiler::years_after(from, 3);
    REQUIRE(compiler::whole_years(from, since) == 3);
    REQUIRE(compiler::whole_years(from, since - 1) == 2);
  }
  CHECK(on_leap_days >= 5'000);
}

}  // namespace
