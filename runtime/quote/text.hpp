// A quote for the terminal.
#pragma once

#include <string>

#include "runtime/quote/quote.hpp"

namespace lacestay::runtime {

[[nodiscard]] std::string text_of(const Quote& quote);

// "45.50 GBP".
[[nodiscard]] std::string money_text(const Quote& quote, std::int64_t sum);
// For a column of sums, whose heading or end names the currency: all its digits, "45.00".
[[nodiscard]] std::string amount_text(const Quote& quote, std::int64_t sum);
// "100 to 150 GBP".
[[nodiscard]] std::string money_text(const Quote& quote, const SumToPlan& sum);
// "grade club is advised, and more will do; with club, the cheapest that fits is Tarnquist Anvil 20 (SK-292) at 281.95
// GBP".
[[nodiscard]] std::string text_of(const Quote& quote, const Unlike& unlike);
// Why a piece is not quoted: "none in stock as advised", "take foot_length first".
[[nodiscard]] std::string why_text(const NotQuoted& open);
// "goes with: Helmet HE-4 and Mouthguard MG-1"; of a line that has such.
[[nodiscard]] std::string partners_text(const QuoteLine& line);
// "then for the fitter, and not in this sum: Face protection"; of a step that leaves some.
[[nodiscard]] std::string left_text(const PlanLine& step);
// Whether a better kit may be put together, as a sentence.
[[nodiscard]] std::string proof_text(const Quote& quote);
// "hire the skates for 45 GBP", "put the kit bag off".
[[nodiscard]] std::string text_of(const Quote& quote, const PlanLine& step);
// "gloves, Tarnquist Grip 3 (GL-114) at 45 GBP": the items a step's kit has that the lines have not; empty for none.
[[nodiscard]] std::string other_items_text(const Quote& quote, const PlanLine& step);

}  // namespace lacestay::runtime
