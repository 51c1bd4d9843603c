// Charts that stand in spreadsheets: a table saved as CSV, read as a chart's lines are in a policy.
//
// The spreadsheet holds the grid alone, and what stands in a line of the chart stands in a row here, a cell each:
//
//     across weight   under 60 kg   under 95 kg   the rest
//     down skill
//     new             entry         club          club
//
// A cell is read by the grammar rule that its part of a chart has in a policy, and keeps its span: whatever is told of
// the chart points into the spreadsheet, by row and column.
#pragma once

#include <memory>
#include <string_view>
#include <vector>

#include "grammar/text/diagnostic.hpp"
#include "grammar/tree/tree.hpp"

namespace lacestay::grammar {

// Reads the axes and rows of a chart that has none yet. `sheet` has the shape of a sheet and must outlive the chart.
// Where something is told to `diagnostics`, the chart may lack a part of its grid. Cost: linear in the text.
void read_sheet(const Source& sheet, Chart& chart, Diagnostics& diagnostics);

// Whether a table begins as a chart's spreadsheet does, with across or down; no heading of another table does.
[[nodiscard]] bool begins_as_sheet(std::string_view text);

// The files of a policy that compiled, read again from its sources, with its spreadsheets in their charts.
[[nodiscard]] std::vector<File> read_again(const std::vector<std::shared_ptr<const Source>>& sources);

}  // namespace lacestay::grammar
