// `make sure` lines for a generated policy: some hold, some do not, most only just.
#pragma once

#include <cstdint>
#include <string>

#include "tests/reference/prepared.hpp"

namespace lacestay::judges {

// Lines to add to the policy's own file. Bounds are taken from the answers of drawn players, conditions from the
// policy's own edges.
[[nodiscard]] std::string claims_for(const naive::Policy& policy, std::uint64_t seed);

}  // namespace lacestay::judges
