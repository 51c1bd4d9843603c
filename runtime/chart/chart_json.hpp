// A policy's decision tables as JSON, for other programs: to show them, to compare them, or to answer from them.
//
// The form is published in chart.schema.json. A table's rows are a set: any of them may hold for one player, and how
// those that do combine follows from the table's kind and from `outranks`, never from their order. Formulas are not
// among the tables: who answers from them brings the worked-out values, in ticks.
#pragma once

#include <nlohmann/json.hpp>

#include "compiler/tables/policy.hpp"

namespace lacestay::runtime {

// Amounts stand twice: in ticks, exact, and as the shop writes them, rounded where its units do not meet the tick.
// Ticks can pass 2^53, so they must be read as 64-bit integers. Cost: linear in rows and in the answers' steps.
[[nodiscard]] nlohmann::ordered_json chart_json(const compiler::Policy& policy);

}  // namespace lacestay::runtime
