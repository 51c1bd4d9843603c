// A comparison as a page for the shop: who gets another answer and why, with the changed fields on the wall charts and,
// where two number details decide, a map.
#pragma once

#include <string>

#include "compiler/compare/difference.hpp"
#include "runtime/compare/comparison.hpp"

namespace lacestay::runtime {

// A whole HTML document in UTF-8, to be read on a screen or printed on A4: style inside, no script, nothing fetched.
// All text of the policies is escaped. `comparison` is that of `difference`, whose later edition the charts are drawn
// from.
[[nodiscard]] std::string page_of(const Comparison& comparison, const compiler::Difference& difference);

}  // namespace lacestay::runtime
