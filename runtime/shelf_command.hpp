// The stock a command is given with --stock.
#pragma once

#include "runtime/command_line.hpp"
#include "runtime/stock.hpp"

namespace lacestay::runtime {

// Reads the folder that --stock names; what is set aside is told on standard error. Throws Stop where no item is left.
[[nodiscard]] Stock stock_for(const compiler::Policy& policy, const Words& words);

}  // namespace lacestay::runtime
