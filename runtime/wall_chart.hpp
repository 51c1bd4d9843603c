// A policy's decision tables as wall charts for the terminal.
#pragma once

#include <string>
#include <vector>

#include "compiler/policy.hpp"

namespace lacestay::runtime {

// The charts and rules about each property and piece whose name is in `names` (a piece's name stands for all its
// properties too), or about all where it is empty. Ends with a line end.
[[nodiscard]] std::string wall_charts(const compiler::Policy& policy, const std::vector<std::string>& names);

}  // namespace lacestay::runtime
