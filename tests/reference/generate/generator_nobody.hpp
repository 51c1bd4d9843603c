// Lines on players that cannot be, as text to add to a generated policy's own file.
#pragma once

#include <cstdint>
#include <string>

#include "tests/reference/prepared.hpp"

namespace lacestay::naive {

// Up to four lines, each of two or three of the conditions the policy's own rules have, word by word, about two asked
// details at least, straight or through worked-out ones. A policy that compiles still does; somebody is nearly always
// left. Nothing where the policy has no such conditions.
[[nodiscard]] std::string nobody_for(const Policy& policy, std::uint64_t seed);

}  // namespace lacestay::naive
