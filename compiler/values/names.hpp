// Looking names up, and guessing what was meant where one is unknown.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace lacestay::compiler {

// The candidate nearest in spelling, if it is near enough to be a slip of the pen: at most a third of its letters
// added, dropped, changed or swapped with a neighbour. Empty where none is. Ties go to the earliest candidate.
[[nodiscard]] std::string nearest_name(std::string_view name, const std::vector<std::string>& candidates);

// The candidates of which `name` is a part, or that are a part of it, word by word: "cage" and "face_cage". Words are
// joined with '_'.
[[nodiscard]] std::vector<std::string> names_sharing_words(std::string_view name,
                                                           const std::vector<std::string>& candidates);

// "a, b and c"; `last` is the word before the last one.
[[nodiscard]] std::string listed(const std::vector<std::string>& names, std::string_view last = "and");

}  // namespace lacestay::compiler
