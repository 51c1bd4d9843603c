// A comparison of two editions as a text.
#pragma once

#include <string>

#include "runtime/comparison.hpp"

namespace lacestay::runtime {

// Answer by answer: for whom it changes, from what to what, a player with both editions' reasons; then what stays, and
// what else is different. Ends with a line end.
[[nodiscard]] std::string text_of(const Comparison& comparison);

}  // namespace lacestay::runtime
