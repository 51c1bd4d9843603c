// How an explanation writes the value of a detail that is not known, and what that makes of a part.
#pragma once

#include <algorithm>

#include "runtime/advice.hpp"

namespace lacestay::runtime {

// No member can be called this: names have no blanks.
inline constexpr const char* not_known = "not known";

// True where the part looked at a detail that is not known, so that it may speak and may not.
[[nodiscard]] inline bool rests_on_unknown(const Part& part) {
  return std::any_of(part.looked_at.begin(), part.looked_at.end(),
                     [](const LookedAt& looked) { return looked.value == not_known; });
}

}  // namespace lacestay::runtime
