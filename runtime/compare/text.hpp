// A comparison of two editions as a text.
#pragma once

#include <string>
#include <vector>

#include "runtime/compare/comparison.hpp"

namespace lacestay::runtime {

// Answer by answer: for whom it changes, from what to what, a player with both editions' reasons; then what stays, and
// what else is different. Ends with a line end.
[[nodiscard]] std::string text_of(const Comparison& comparison);

// What stands over players who can be under one edition alone; and beside some, where there may be more.
inline constexpr auto shut_out_heading = "Who can be no longer", let_in_heading = "Who can be now";
inline constexpr auto shut_out_not_settled = "Not all of this could be settled. There may be more.";
// "skates tier", "who gets skates".
[[nodiscard]] std::string text_of(const SameLine& line);
// Where more may change than is told.
[[nodiscard]] std::string not_settled(const ChangeLines& change);
[[nodiscard]] std::string not_settled(const ItemsLines& change);
// What is gained, and what is lost: "an item may be handed over that could not be before, such as tier entry (by: …)".
[[nodiscard]] std::vector<std::string> sentences_of(const ItemsBecomeLine& line);
// Of editions under which every player is answered alike: that it is so, and what of it is not told by the answers.
[[nodiscard]] std::string nothing_changes(const Comparison& comparison);
// How many people get another answer; and, where there are any, which columns of theirs are passed over.
[[nodiscard]] std::string counts_of(const PeopleLines& people);
[[nodiscard]] std::string passed_over_in(const PeopleLines& people);

}  // namespace lacestay::runtime
