// Text to tree.
//
// The layout is read first: lines, comments, and which lines belong to which item. Then each line is read alone
// by the rule that is due there, and each item is built in a state of its own: a line that can't be read costs
// itself, an item whose first line can't be read costs the lines under it, and all else is still read.
#pragma once

#include "grammar/text/diagnostic.hpp"
#include "grammar/tree/tree.hpp"

namespace lacestay::grammar {

// The deepest nesting of brackets in a formula.
inline constexpr int deepest_nesting = 16;

// Reads a policy, a part, a pack or a players file. What can't be read is told to `diagnostics`. Never throws for
// bad input. Cost: linear in the text.
[[nodiscard]] File read(std::shared_ptr<const Source> source, Diagnostics& diagnostics);

// Reads one quantity or day standing alone, such as "14 st 6 lb" in a player's details; nothing if it is neither.
[[nodiscard]] std::optional<Value> read_value(const Source& source);

// Reads a bare decimal such as "9" or "0.393" as an exact fraction; nothing if it has more digits than fit.
[[nodiscard]] std::optional<Amount> read_decimal(std::string_view text);

}  // namespace lacestay::grammar
