// The program's commands: each one's table stands in a file of its own, and all of them here in a list.
#pragma once

#include "runtime/options/command.hpp"

namespace lacestay::runtime {

const Command& advise_command();
const Command& inspect_command();
const Command& chart_command();
const Command& rehearse_command();
const Command& compare_command();
const Command& quote_command();
const Command& reopen_command();

// All of them, in the order they are listed.
[[nodiscard]] const Commands& commands();

// The word nearly every command begins with.
[[nodiscard]] Word policy_word();

}  // namespace lacestay::runtime
