// Small random policies of a shelf, as text, from a seed: what is accepted, where to look when none is in stock, what
// binds items (safety rules of every kind, house rules), what is made sure of them, and the till's lines.
//
// Few players, so that each can be tried; every answer has a base for everybody and no two bases meet, so that most of
// them are proved but for a limit that crosses, or a claim that does not hold.
#pragma once

#include <cstdint>

#include "tests/reference/generate/generator.hpp"

namespace lacestay::naive {

[[nodiscard]] Generated generate_shelf(std::uint64_t seed);

}  // namespace lacestay::naive
