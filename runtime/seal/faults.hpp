// Whether a loaded policy hangs together: all that the compiler guarantees and that tables, proof, engine and
// explanations rely on without looking again. A document with the right fingerprint may have been made by anybody, and
// must not crash the tool or hold it up, whatever it says.
#pragma once

#include <optional>
#include <string>

#include "compiler/tables/policy.hpp"

namespace lacestay::runtime {

// The first thing that is wrong, as "tables/columns/3 has its edges out of order"; nothing where all is well. Looks at
// numbers and sizes alone: that spans point into the policy's sources was seen when they were read. Cost: linear, but
// for `outranks` (rules times pairs, in words of 64).
[[nodiscard]] std::optional<std::string> sealed_fault(const compiler::Policy& policy);

}  // namespace lacestay::runtime
