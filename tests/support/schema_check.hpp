// Whether a JSON value is as a JSON Schema (2020-12) says, for the keywords that the published schemas use.
#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

namespace lacestay::tests {

// What is wrong with `value`, each with its place, as in "/lines/0/off: wants minor_units"; nothing where all is well.
// A keyword this check does not know is a fault too, so that none is passed over in silence.
[[nodiscard]] std::vector<std::string> schema_faults(const nlohmann::json& schema, const nlohmann::json& value);

}  // namespace lacestay::tests
