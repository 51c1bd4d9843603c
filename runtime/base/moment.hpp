// A moment, as the shop's records have it: in UTC, to the millisecond, written as ISO 8601 says.
#pragma once

#include <chrono>
#include <cstdint>
#include <optional>
#include <string>

namespace lacestay::runtime {

using Moment = std::chrono::sys_time<std::chrono::milliseconds>;

[[nodiscard]] Moment this_moment();
// When a day, counted from 1 January 1970, begins where this machine is.
[[nodiscard]] Moment start_of(std::int64_t day);

// "2026-11-29T09:15:02.250Z", as the daybook has it; and "2026-11-29T09:15:02Z", as the record of sales does.
[[nodiscard]] std::string written(Moment moment);
[[nodiscard]] std::string written_in_seconds(Moment moment);
// Back, to the second; nothing where the text does not begin so.
[[nodiscard]] std::optional<Moment> moment_from(const std::string& text);
// The same for a person, on the clock of where this machine is: "2026-11-29 10:15". What is no moment stays as it is.
[[nodiscard]] std::string local_time(const std::string& text);

}  // namespace lacestay::runtime
