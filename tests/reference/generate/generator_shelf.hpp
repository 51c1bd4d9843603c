// What a generated policy lacks of the shelf, as text to add to the policy's own file: rules of safety that bind items,
// `accept` lines with their `if none in stock` lines, and claims on what is handed over.
#pragma once

#include <cstdint>
#include <string>

#include "tests/reference/prepared.hpp"

namespace lacestay::naive {

// Safety rules that give an answer themselves (each outranks the other answers of its property) or leave one to the
// fitter, needs and suggestions of pieces that are there `for` some, and an `accept` line for most pieces. A policy
// that compiles still does, but for gaps and clashes.
[[nodiscard]] std::string shelf_for(const Policy& policy, std::uint64_t seed);

// Bounding claims on the properties of a policy that has a shelf: some hold, some do not, most only just.
[[nodiscard]] std::string shelf_claims_for(const Policy& policy, std::uint64_t seed);

}  // namespace lacestay::naive
