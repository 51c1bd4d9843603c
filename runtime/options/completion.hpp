// Completion of what is typed in a shell, from the same tables as the commands' words.
#pragma once

#include <string>

#include "runtime/options/command.hpp"

namespace lacestay::runtime {

// A script for that shell to read. It completes commands, options, files and folders where they are taken, and after
// --from FILE the names of its players. Throws Stop for a shell other than bash.
[[nodiscard]] std::string completion_for(const Commands& commands, const std::string& shell);

}  // namespace lacestay::runtime
