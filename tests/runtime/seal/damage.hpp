// Damage to a sealed policy's document that keeps it JSON: a value replaced, an element dropped or doubled, two
// swapped, a type changed. What comes out is sealed again, so that only what the document says can be held against it.
#pragma once

#include "runtime/seal/json.hpp"
#include "tests/reference/draw.hpp"

namespace lacestay::tests {

// Does one to three such things, somewhere; says what, for a failing test.
std::string damage(runtime::SealedJson& document, naive::Draw& draw);

// The document with the fingerprint that fits it.
[[nodiscard]] std::string sealed_again(runtime::SealedJson document);

}  // namespace lacestay::tests
