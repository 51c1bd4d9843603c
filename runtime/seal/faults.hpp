// Whether a loaded policy hangs together: all that the compiler guarantees and that tables, proof, engine and
// explanations rely on without looking again. A document with the right fingerprint may have been made by anybody, and
// must not crash the tool or hold it up, whatever it says.
#pragma once

#include <string>

#include "compiler/tables/policy.hpp"
#include "grammar/text/error.hpp"

namespace lacestay::runtime {

// A document that is not as it should be. The message is a clause that names the place as a JSON pointer would (RFC
// 6901), such as "tables/columns/3 has its edges out of order". Caught in `unseal`.
class SealedFault : public Error {
 public:
  explicit SealedFault(std::string clause) : Error(Problem{"sealed-1", std::move(clause)}) {}
};

// Throws SealedFault at the first thing that is wrong. Looks at numbers and sizes alone: that spans point into the
// policy's sources was seen when they were read. Cost: linear, but for `outranks` (rules times pairs, in words of 64).
void hold_together(const compiler::Policy& policy);

}  // namespace lacestay::runtime
