// Implied fixing: what being in or out of some applications fixes of the others.
#pragma once

#include <cstddef>
#include <vector>

#include "runtime/kit/offers.hpp"

namespace lacestay::runtime {

// Fixes the free applications that the fixed ones leave no choice about. False where the node can be dropped: an
// optimal kit under these fixings, if there is one, is also found under others. Quadratic in the applications.
[[nodiscard]] bool fix_implied(const KitOffers& offers, std::vector<Fixing>& fixings);

// By application: whether the relaxation must count its lines, that is, it is in and no other that is in implies it.
[[nodiscard]] std::vector<bool> to_be_earned(const KitOffers& offers, std::span<const Fixing> fixings);

}  // namespace lacestay::runtime
