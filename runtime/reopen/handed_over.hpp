// What a fitter says was handed over instead of what was advised, held against the advice.
#pragma once

#include <string>

#include "grammar/text/result.hpp"
#include "runtime/advice/advice.hpp"

namespace lacestay::runtime {

// `what` begins with a piece, a piece and a property, or "without" and a piece; upper case and signs between words
// don't matter. Every safety rule that speaks to the player about what is named goes on record with it, also where the
// answer would be the same without it: whether another item meets it is the fitter's to see. Where a property is named
// with a member or an amount that can be read, the rules that bind items and forbid it are named too, each with what it
// asks; of other words nothing is said. Where no piece is named, where two are, or where it is what was advised, the
// problem's message is a clause that says so. `by` and `why` of the result stay empty.
Result<HandedOver> read_handed_over(const Advice& advice, const std::string& what);

}  // namespace lacestay::runtime
