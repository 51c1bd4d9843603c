// A comparison of two editions as JSON for other programs.
//
// Every key is always there, in the same order; null stands for what there is none of. How the form may grow is told
// in runtime/advice/json.hpp.
#pragma once

#include <nlohmann/json.hpp>

#include "runtime/compare/comparison.hpp"

namespace lacestay::runtime {

[[nodiscard]] nlohmann::ordered_json json_of(const Comparison& comparison);

}  // namespace lacestay::runtime
