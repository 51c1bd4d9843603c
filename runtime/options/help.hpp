// What --help shows: the commands, or one of them, as their tables say.
#pragma once

#include <string>

#include "runtime/options/command.hpp"

namespace lacestay::runtime {

[[nodiscard]] std::string help_of_program(const Commands& commands);
[[nodiscard]] std::string help_of(const Command& command);

}  // namespace lacestay::runtime
