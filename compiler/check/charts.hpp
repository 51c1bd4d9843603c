// Reading the cells of a chart, whatever they hold. Inner to compiler/.
#pragma once

#include <fmt/format.h>

#include "compiler/check/checker.hpp"
#include "compiler/values/names.hpp"

namespace lacestay::compiler {

template <typename ReadCell>
std::optional<std::vector<DraftRow>> Checker::chart_rows(const grammar::Chart& chart, RuleText& text, ReadCell read) {
  if (!chart.across && !chart.down) {
    diagnostics.add("charts-1", text.span, "The chart has no axis.", "say what runs down, as in: down weight");
    return std::nullopt;
  }
  if (chart.rows.empty()) {
    diagnostics.add("charts-1", text.span, "The chart has no rows.",
                    "write one for each entry, as in: under 40 kg:  30 to 40 flex");
    return std::nullopt;
  }
  std::optional<std::vector<DraftTest>> across, down;
  if (chart.across) {
    const auto column = column_named(chart.across->detail);
    if (!column) return std::nullopt;
    std::vector<const grammar::Head*> heads;
    for (const auto& head : chart.across->heads) heads.push_back(&head);
    across = axis(*column, heads, text.span);
  }
  if (chart.down) {
    const auto column = column_named(*chart.down);
    if (!column) return std::nullopt;
    std::vector<const grammar::Head*> heads;
    for (const auto& row : chart.rows) {
      if (!row.head.span.source) {
        diagnostics.add("charts-2", row.span, "This row has no head.",
                        "begin it with an entry and a colon, as in: under 40 kg:  30 to 40 flex");
        return std::nullopt;
      }
      heads.push_back(&row.head);
    }
    down = axis(*column, heads, text.span);
    if (chart.across && *column == column_named(chart.across->detail)) {
      diagnostics.add("charts-1", chart.down->span, "The same detail runs down and across.", "use it once");
      return std::nullopt;
    }
  } else if (!across) {
    return std::nullopt;
  } else if (chart.rows.size() > 1 || chart.rows.front().head.span.source) {
    diagnostics.add("charts-2", chart.rows.back().span, "Without down, a chart has one row, and that row has no head.",
                    "say what runs down, as in: down skill");
    return std::nullopt;
  }
  const std::size_t width = chart.across ? chart.across->heads.size() : 1;
  std::vector<DraftRow> rows;
  bool good = (!chart.across || across) && (!chart.down || down);
  for (std::size_t i = 0; i < chart.rows.size(); ++i) {
    const auto& row = chart.rows[i];
    if (row.cells.size() != width) {
      auto& diagnostic = diagnostics.add(
          "charts-2", row.span,
          fmt::format("This row has {} {}, but the chart has {} {}.", row.cells.size(),
                      row.cells.size() == 1 ? "answer" : "answers", width, width == 1 ? "column" : "columns"),
          row.span.source->is_sheet() ? "give each column one answer, in its own cell"
                                      : "give each column one answer, with commas between them");
      if (chart.across) diagnostic.notes.push_back({"the columns", chart.across->span});
      good = false;
      continue;
    }
    for (std::size_t k = 0; k < width; ++k) {
      const auto told = diagnostics.size();
      const auto value = read(row.cells[k]);
      if (!value) good = false;
      if (diagnostics.size() > told && diagnostics.last().code == "answers-4") note_cells_beside(chart, i, k);
      if (!value || !good) continue;
      DraftRow made;
      if (down) made.tests.push_back((*down)[i]);
      if (across) made.tests.push_back((*across)[k]);
      made.low = value->first, made.high = value->second;
      made.entry = static_cast<std::uint32_t>(text.entries.size());
      text.entries.push_back(span_of(row.cells[k]));
      rows.push_back(std::move(made));
    }
  }
  return good ? std::optional(std::move(rows)) : std::nullopt;
}

}  // namespace lacestay::compiler
