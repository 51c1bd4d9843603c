// A comparison of two editions as a text.
#pragma once

#include <string>

#include "runtime/compare/comparison.hpp"

namespace lacestay::runtime {

// Answer by answer: for whom it changes, from what to what, a player with both editions' reasons; then what stays, and
// what else is different. Ends with a line end.
[[nodiscard]] std::string text_of(const Comparison& comparison);

// "skates tier", "who gets skates".
[[nodiscard]] std::string text_of(const SameLine& line);
// Of editions under which every player is answered alike: that it is so, and what of it is not told by the answers.
[[nodiscard]] std::string nothing_changes(const Comparison& comparison);
// How many people get another answer; and, where there are any, which columns of theirs are passed over.
[[nodiscard]] std::string counts_of(const PeopleLines& people);
[[nodiscard]] std::string passed_over_in(const PeopleLines& people);

}  // namespace lacestay::runtime
