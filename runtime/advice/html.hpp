// An advice as a page that a customer takes home: one A4 sheet for a kit of some twenty pieces, on to a second one
// where a policy has more to say.
//
// It leaves out what only a shop needs: rules by name and line, what they overruled, and what else would change an
// answer. Those are in the text and in the JSON.
#pragma once

#include <string>

#include "runtime/advice/advice.hpp"

namespace lacestay::runtime {

// A whole HTML document in UTF-8: style inside, no script, nothing fetched. All text of the policy is escaped, so
// nothing in a policy or a player's details can become markup.
[[nodiscard]] std::string page_of(const Advice& advice);

}  // namespace lacestay::runtime
