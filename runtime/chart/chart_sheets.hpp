// A policy's charts as spreadsheets: what grammar/read/sheet.hpp reads, written from the policy's own text.
#pragma once

#include <string>
#include <vector>

#include "compiler/tables/policy.hpp"

namespace lacestay::runtime {

struct ChartSheet {
  std::string chart;
  std::string head;       // the chart's first line as the policy has it: "chart flex_chart gives stick flex"
  std::string stands_in;  // the spreadsheet it stands in already, as the policy names it; else empty
  std::string csv;        // its grid, cell by cell in the owner's words; empty where it stands in one already
};

// Every chart, in order of file and place. A policy whose chart stands in such a file instead means just the same.
// Precondition: the policy was compiled from its text, since a sealed one does not keep it. Cost: linear in the text.
[[nodiscard]] std::vector<ChartSheet> sheets_of(const compiler::Policy& policy);

}  // namespace lacestay::runtime
