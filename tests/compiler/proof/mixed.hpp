// Random policies about worked-out details that are hard to prove over: measures multiplied and divided by each other,
// one detail used twice in a formula, formulas over formulas, coarse roundings, and rules that look at several of them
// at once. Smaller in every other way than those of tests/reference/generate/generator.hpp.
#pragma once

#include <cstdint>

#include "tests/reference/generate/generator.hpp"

namespace lacestay::judges {

[[nodiscard]] naive::Generated mixed_policy(std::uint64_t seed);

}  // namespace lacestay::judges
