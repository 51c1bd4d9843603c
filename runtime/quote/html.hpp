// A quote as a page that the customer takes home: one A4 sheet for a full kit.
//
// It leaves out what is for the fitter: what would have come next, and what would have done but for one thing. Those
// are in the text and in the JSON.
#pragma once

#include <string>

#include "runtime/quote/quote.hpp"

namespace lacestay::runtime {

// A whole HTML document in UTF-8: style inside, no script, nothing fetched. All text of the policy and of the stock is
// escaped, so nothing in them can become markup.
[[nodiscard]] std::string page_of(const Quote& quote);

}  // namespace lacestay::runtime
