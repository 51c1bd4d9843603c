// An advice, and what is wrong with a file, as JSON for other programs.
//
// The form is published in advice.schema.json. Every key is always there, in the same order; null stands for what
// there is none of. A key is added under the same `format`; one that goes or changes its meaning raises it.
#pragma once

#include <nlohmann/json.hpp>
#include <string>

#include "grammar/text/diagnostic.hpp"
#include "runtime/advice/advice.hpp"

namespace lacestay::runtime {

// Of an answer that is not certain, `standing` and `answer` are null and `possible` holds what it could still be, so
// no program can take one of several answers for the answer.
[[nodiscard]] nlohmann::ordered_json json_of(const Advice& advice);

// One rule's part in an answer, as it stands in an advice.
[[nodiscard]] nlohmann::ordered_json json_of(const Part& part);

// One problem; places are counted from 1, in lines and characters.
[[nodiscard]] nlohmann::ordered_json json_of(const Problem& problem);

// The text of any of these, indented, with a line end. Never throws: a file's name may hold bytes that are no
// UTF-8, and each of them becomes U+FFFD.
[[nodiscard]] std::string json_text(const nlohmann::ordered_json& json);

}  // namespace lacestay::runtime
