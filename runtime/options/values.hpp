// What stands after an option, read: days, and lines of text.
#pragma once

#include <cstdint>
#include <string>

#include "runtime/options/command.hpp"

namespace lacestay::runtime {

// A day as a person writes it; throws Stop.
[[nodiscard]] std::int64_t day_in(const std::string& text);
// What an option says, in one line without control characters, empty where it is not there; throws Stop.
[[nodiscard]] std::string line_of_text(const Words& words, const std::string& option);

[[nodiscard]] std::int64_t today();
// The day given with --on, or today.
[[nodiscard]] std::int64_t day_for(const Words& words);

}  // namespace lacestay::runtime
