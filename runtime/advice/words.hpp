// The words for what a table answers and what a row says. Answers travel as outcomes; whoever shows one makes its words
// here.
#pragma once

#include <string>
#include <vector>

#include "runtime/advice/advice.hpp"

namespace lacestay::runtime {

// "55 to 75 flex", "needed", "ask the fitter; at least club". The policy is the table's.
[[nodiscard]] std::string text_of_outcome(const compiler::Policy& policy, const compiler::Table& table,
                                          const Outcome& outcome);
// Of an answer or a change to it, under the policy it was given by.
[[nodiscard]] std::string text_of_outcome(const compiler::Policy& policy, const Answer& answer, const Outcome& outcome);
// Every answer that is possible, once; never none.
[[nodiscard]] std::vector<std::string> possible_in_words(const compiler::Policy& policy, const Answer& answer);

// Of these the answers: "club or elite"; where one of them leaves a choice open, "round or square; or round".
[[nodiscard]] std::string joined_by_or(const Answer& answer, const std::vector<std::string>& possible);

// Of a piece that is needed, or only suggested, as these details decide that are not told: "open: league not named;
// counted in until it is".
[[nodiscard]] std::string open_until(const std::vector<std::string>& details);
// The details that decide so of a piece in an advice; none where it is certain that it is needed, or that it is not.
[[nodiscard]] std::vector<std::string> needed_or_not(const Answer& presence);

// How far the base is moved, one to three steps: "one step up".
[[nodiscard]] std::string steps_in_words(std::int64_t steps);
// What a row says, without for whom, as it stands in a chart: "keep within 20 to 30 flex", "in the kit".
[[nodiscard]] std::string says(const compiler::Policy& policy, const compiler::Table& table, const compiler::Row& row);
// The same as its part in a player's answer: "within 20 to 30 flex", "needed".
[[nodiscard]] std::string says_in_answer(const compiler::Policy& policy, const compiler::Table& table,
                                         const compiler::Row& row);
// Of a rule that says one thing or another, while it is open which row of it applies.
inline constexpr const char* one_of_several = "one of several";
// What a rule of this effect does to one that the law puts behind it: "lifts it".
[[nodiscard]] const char* does_to_other(compiler::Effect effect);

}  // namespace lacestay::runtime
