// A word after a number that is no unit of the language: which unit it says, and which the detail it is of is in.
#pragma once

#include <string>
#include <string_view>

namespace lacestay::grammar {

// What to write for `word`, which stands at `at` after a number: "write kg in place of 'kgs'" where people call a
// unit so and the detail is of its kind; else the units of the detail or the property that the text speaks of there, as
// far as the same text declares it; else all there are. In a spreadsheet cells part what commas part elsewhere. A
// clause. Cost: linear in the text.
[[nodiscard]] std::string unit_to_write(std::string_view text, std::size_t at, std::string_view word, bool in_sheet);

}  // namespace lacestay::grammar
