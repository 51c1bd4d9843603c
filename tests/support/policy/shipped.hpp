// The shipped policy, for tests that advise by it.
#pragma once

#include "runtime/engine/engine.hpp"

namespace lacestay::tests {

// Compiled and built once.
[[nodiscard]] const runtime::Engine& shipped();

}  // namespace lacestay::tests
