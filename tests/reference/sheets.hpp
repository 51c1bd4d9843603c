// Charts that stand in spreadsheets, for the naive evaluator: a table's rows are put back as the lines they would be in
// a policy, and read as such. Written from what the reference page says of them; it shares no code with the reader.
#pragma once

#include <vector>

#include "grammar/tree/tree.hpp"
#include "tests/reference/prepared.hpp"

namespace lacestay::naive {

// The lines of a chart that a table stands for, without the chart's first: "  down weight\n  under 40 kg: entry\n".
[[nodiscard]] std::string lines_of_sheet(const std::string& csv);

// Gives each chart of the files the grid of the table that it names. Throws Unready where there is none.
void lay_in(std::vector<grammar::File>& files, const std::vector<TextFile>& tables);

}  // namespace lacestay::naive
