// What the language has no way to say, and what is to be tried in its place: told by the reader, where the line can't
// be read, and by the checks, where it can.
#pragma once

namespace lacestay::grammar {

inline constexpr const char* held_to_another = "No piece's answer is held to another piece's.";
inline constexpr const char* let_both_follow =
    "work out once what decides both, in a chart of its own, and let a chart of each piece follow it; then make sure "
    "of "
    "each by itself";

inline constexpr const char* no_day_today = "Rules and formulas don't know what day it is today.";

inline constexpr const char* formula_units = "What is worked out does not say in what unit it is shown.";
inline constexpr const char* take_shown_in_out =
    "take shown in out: it is shown in the unit that the formula begins with or rounds to, as in: height - 5 in "
    "rounded "
    "to the nearest 1 in";

}  // namespace lacestay::grammar
