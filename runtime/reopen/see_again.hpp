// Whom the shop should measure again, out of its daybook: a policy that works out `see_again`, an age, says in how long
// after an advice a player is to be seen once more; nothing where that comes to 0. No contact details are kept, so the
// list names entries, and the shop knows whose they are.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "runtime/daybook/daybook.hpp"

namespace lacestay::runtime {

inline constexpr const char* see_again_detail = "see_again";

struct ToSeeAgain {
  std::int64_t entry = 0;
  std::int64_t advised = 0, due = 0;  // day numbers; `due` is in whole months after the day that was advised
  std::string gist;
};

// Of the advices and quotes `sought` finds, those that are due by the day `by`, the longest due first. What is blank
// and matters is taken as what makes it due soonest. Of several entries of one day about the same details the newest
// stands for all. Entries that were erased, or whose policy works out no such detail, are not in it. Cost: reading each
// entry, some 50 microseconds, and unsealing each policy once.
[[nodiscard]] std::vector<ToSeeAgain> to_see_again(Daybook& daybook, const Sought& sought, std::int64_t by);

}  // namespace lacestay::runtime
