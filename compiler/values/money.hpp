// How large sums of money may get. In the currency's minor units (pence, cents).
#pragma once

#include <cstdint>

namespace lacestay {

inline constexpr std::int64_t largest_sum = 1'000'000'000;        // any price, worth or sum
inline constexpr std::int64_t largest_part_denominator = 10'000;  // of a part taken off: 0.01 per cent is 1/10,000

}  // namespace lacestay
