// The shipped policy, for tests that advise by it.
#pragma once

#include "runtime/engine/engine.hpp"
#include "tests/reference/prepared.hpp"

namespace lacestay::tests {

// Compiled and built once.
[[nodiscard]] const runtime::Engine& shipped();
// The same texts before the naive evaluator, prepared once.
[[nodiscard]] const naive::Policy& naive_shipped();

}  // namespace lacestay::tests
