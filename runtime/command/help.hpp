// What --help shows: the commands, or one of them, as their tables say.
#pragma once

#include <string>

#include "runtime/command/command.hpp"

namespace lacestay::runtime {

[[nodiscard]] std::string help_of_program();
[[nodiscard]] std::string help_of(const Command& command);

}  // namespace lacestay::runtime
