// A quote as JSON for other programs.
//
// The form is published in quote.schema.json. Every key is always there, in the same order; null stands for what there
// is none of. Each sum of money is there to be read and to be reckoned with. A key is added under the same `format`;
// one that goes or changes its meaning raises it.
#pragma once

#include <nlohmann/json.hpp>

#include "runtime/quote/quote.hpp"

namespace lacestay::runtime {

[[nodiscard]] nlohmann::ordered_json json_of(const Quote& quote);

}  // namespace lacestay::runtime
