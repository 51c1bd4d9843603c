// The one way a sealed policy's JSON is spelled, as RFC 8785 (JSON Canonicalization Scheme) has it: keys sorted, no
// blanks, one spelling for each text and number. Inner to runtime/.
//
// JSON numbers are only sure to come through other programs whole up to 2^53 - 1 (RFC 7493). An integer past that,
// either way, is a string of its decimal digits, and an integer within it never is.
#pragma once

#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <string_view>

#include "compiler/values/rational.hpp"

namespace lacestay::runtime {

using SealedJson = nlohmann::json;  // its objects are sorted by key

// The deepest a sealed policy's lists and objects stand inside each other, with room to spare.
inline constexpr std::size_t deepest_sealed = 32;

// The canonical bytes. A byte that is no UTF-8 (a file's name may hold some) becomes U+FFFD.
[[nodiscard]] std::string canonical(const SealedJson& json);

// A text parsed; nothing where it is no JSON or nests deeper than `deepest_sealed`. Of a key that stands twice the last
// one counts, so who wants canonical bytes compares. Cost: linear.
[[nodiscard]] std::optional<SealedJson> parsed(std::string_view text);

[[nodiscard]] SealedJson sealed_number(compiler::Int128 value);
// Nothing where it is no integer, does not fit, or is not spelled as `sealed_number` spells it.
[[nodiscard]] std::optional<compiler::Int128> number_of(const SealedJson& json);

}  // namespace lacestay::runtime
