// The parser: text to tree, with error recovery line by line.
//
// The layout is read first: lines, comments, and which lines belong to which item. Then each line is parsed by itself
// with the rule for its kind. A line that can't be parsed is reported and skipped; where it is the first line of an
// item, the lines under it are skipped without a report; everything else is still read.
#pragma once

#include "grammar/text/diagnostic.hpp"
#include "grammar/tree/tree.hpp"

namespace lacestay::grammar {

// The deepest nesting of brackets in a formula.
inline constexpr int deepest_nesting = 16;

// Reads a policy, a part, a pack or a players file; the file returned holds what could be read. Errors go to
// `diagnostics`; bad input never throws. Cost: linear in the text.
[[nodiscard]] File read(std::shared_ptr<const Source> source, Diagnostics& diagnostics);

// Reads one quantity or day standing alone, such as "14 st 6 lb" in a player's details; nothing if it is neither.
[[nodiscard]] std::optional<Value> read_value(const Source& source);

// Reads a bare decimal such as "9" or "0.393" as an exact fraction; nothing if it has more digits than fit.
[[nodiscard]] std::optional<Amount> read_decimal(std::string_view text);

}  // namespace lacestay::grammar
