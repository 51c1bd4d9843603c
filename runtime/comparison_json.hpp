// A comparison of two editions as JSON for other programs.
//
// The form is published in comparison.schema.json; how it may grow is told in advice_json.hpp.
#pragma once

#include <nlohmann/json.hpp>

#include "runtime/comparison.hpp"

namespace lacestay::runtime {

[[nodiscard]] nlohmann::ordered_json json_of(const Comparison& comparison);

}  // namespace lacestay::runtime
