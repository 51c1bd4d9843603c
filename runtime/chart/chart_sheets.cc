#include "runtime/chart/chart_sheets.hpp"

#include <algorithm>

#include "grammar/read/sheet.hpp"
#include "runtime/base/csv_line.hpp"

namespace lacestay::runtime {

namespace {

using grammar::Head;

// Blanks that line up columns in a policy have no use in a cell.
std::string in_one_blank(std::string_view text) {
  std::string out;
  for (const char c : text)
    if (c != ' ' || (!out.empty() && out.back() != ' ')) out += c;
  return out;
}

// As it stands in the text; members with or between them, since a comma would put the cell in quotes.
std::string written(const Head& head) {
  if (head.kind != Head::Kind::members) return in_one_blank(head.span.text());
  std::string out;
  for (const auto& member : head.members) out += (out.empty() ? "" : " or ") + member.as_written();
  return out;
}

std::string csv_of(const grammar::Chart& chart) {
  const std::size_t width = 1 + (chart.across ? chart.across->heads.size() : 1);
  std::string csv;
  const auto add = [&](std::vector<std::string> cells) {
    cells.resize(width);
    csv += csv_line(cells);
  };
  if (chart.across) {
    std::vector<std::string> cells = {"across " + chart.across->detail.as_written()};
    for (const auto& head : chart.across->heads) cells.push_back(written(head));
    add(std::move(cells));
  }
  if (chart.down) add({"down " + chart.down->as_written(), chart.across ? std::string() : chart.gives.as_written()});
  for (const auto& row : chart.rows) {
    std::vector<std::string> cells = {chart.down ? written(row.head) : std::string()};
    for (const auto& cell : row.cells) cells.push_back(in_one_blank(grammar::span_of(cell).text()));
    add(std::move(cells));
  }
  // Without the mark some spreadsheet programs take a ½ for two letters.
  const bool ascii =
      std::all_of(csv.begin(), csv.end(), [](char c) { return (static_cast<unsigned char>(c) & 0x80) == 0; });
  return ascii ? csv : "\xEF\xBB\xBF" + csv;
}

}  // namespace

std::vector<ChartSheet> sheets_of(const compiler::Policy& policy) {
  std::vector<ChartSheet> all;
  for (const auto& file : grammar::read_again(policy.sources))
    for (const auto& item : file.items)
      if (const auto* chart = std::get_if<grammar::Chart>(&item.form))
        all.push_back({chart->name.text, std::string(item.head.text()), chart->sheet ? chart->sheet->text : "",
                       chart->sheet ? "" : csv_of(*chart)});
  return all;
}

}  // namespace lacestay::runtime
