// What follows for the others once some applications are in or out.
#pragma once

#include <cstddef>
#include <vector>

#include "runtime/kit/offers.hpp"

namespace lacestay::runtime {

// Takes in or leaves out the free applications of which the others leave no choice. False where no best kit is on
// these terms that is not on others too.
[[nodiscard]] bool settle(const KitOffers& offers, std::vector<Term>& terms);

// By application: whether it is in, and no other that is in has its lines already.
[[nodiscard]] std::vector<bool> to_be_earned(const KitOffers& offers, std::span<const Term> terms);

}  // namespace lacestay::runtime
