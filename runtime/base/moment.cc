#include "runtime/base/moment.hpp"

#include <fmt/chrono.h>
#include <fmt/format.h>

#include <cstdio>
#include <ctime>

namespace lacestay::runtime {

using std::chrono::floor;
using std::chrono::milliseconds;
using std::chrono::seconds;
using std::chrono::system_clock;

namespace {

std::string date_and_time(Moment moment) {
  return fmt::format("{:%Y-%m-%dT%H:%M:%S}", fmt::gmtime(system_clock::to_time_t(floor<seconds>(moment))));
}

}  // namespace

Moment this_moment() { return floor<milliseconds>(system_clock::now()); }

// g++ 12 knows no time zones, so what the clock on the wall shows is asked of the C library.
Moment start_of(std::int64_t day) {
  const std::chrono::year_month_day date{std::chrono::sys_days(std::chrono::days(day))};
  std::tm local{};
  local.tm_year = static_cast<int>(date.year()) - 1900;
  local.tm_mon = static_cast<int>(static_cast<unsigned>(date.month())) - 1;
  local.tm_mday = static_cast<int>(static_cast<unsigned>(date.day()));
  local.tm_isdst = -1;
  return floor<milliseconds>(system_clock::from_time_t(std::mktime(&local)));
}

std::string written(Moment moment) {
  return fmt::format("{}.{:03}Z", date_and_time(moment), (moment - floor<seconds>(moment)).count());
}

std::string written_in_seconds(Moment moment) { return date_and_time(moment) + "Z"; }

std::optional<Moment> moment_from(const std::string& text) {
  std::tm utc{};
  if (!::strptime(text.c_str(), "%Y-%m-%dT%H:%M:%S", &utc)) return std::nullopt;
  return floor<milliseconds>(system_clock::from_time_t(::timegm(&utc)));
}

std::string local_time(const std::string& text) {
  const auto moment = moment_from(text);
  return moment ? fmt::format("{:%Y-%m-%d %H:%M}", fmt::localtime(system_clock::to_time_t(*moment))) : text;
}

}  // namespace lacestay::runtime
