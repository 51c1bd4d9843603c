// The tree as a text in brackets, for tests: every part, in the order it was written.
#pragma once

#include <string>

#include "grammar/tree/tree.hpp"

namespace lacestay::tests {

[[nodiscard]] std::string dump(const grammar::Item& item);

}  // namespace lacestay::tests
