// How the parts of faults.hpp say what is wrong, and the parts. Inner to runtime/.
#pragma once

#include <fmt/format.h>

#include <cstdint>
#include <string>

#include "runtime/seal/faults.hpp"

namespace lacestay::runtime {

// Throws with the text where `so` does not hold; a text is put together only then.
template <typename... Parts>
void hold(bool so, fmt::format_string<const Parts&...> text, const Parts&... parts) {
  if (!so) throw SealedFault{fmt::format(text, parts...)};
}

// Quantities are at most a quarter of 64 bits (quantity.hpp), so that any two can be added.
inline constexpr std::int64_t largest_ticks = std::int64_t{1} << 61;
[[nodiscard]] inline bool within_ticks(std::int64_t value) { return -largest_ticks <= value && value <= largest_ticks; }
// Days the calendar reaches; the language has those from 1800 to 2200.
inline constexpr std::int64_t furthest_day = 3'000'000;
[[nodiscard]] inline bool is_day(std::int64_t value) { return -furthest_day <= value && value <= furthest_day; }

// Places of columns that exist: columns rising, places rising and apart.
void hold_box(const compiler::Tables& tables, const compiler::Box& box, const std::string& of);

// In this order: each relies on what the ones above it have checked.
void hold_tables_shape(const compiler::Policy& policy);  // every list as long as what it is by     tables.cc
void hold_worked_out(const compiler::Policy& policy);    // formulas, and bounds proved once more  formulas.cc
void hold_columns(const compiler::Policy& policy);       // edges                                  tables.cc
void hold_tables(const compiler::Policy& policy);        // rows, boxes, answers, outranks         tables.cc
void hold_charts(const compiler::Policy& policy);        // rows of one rule apart; detail charts whole
                                                         //                                        charts.cc
void hold_shop(const compiler::Policy& policy);          // shelf and till                         shop.cc

}  // namespace lacestay::runtime
