// Charts that stand in spreadsheets: the lines of a chart that was drawn, as a table of cells.
#include <algorithm>

#include "tests/reference/generate/generator_draft.hpp"

namespace lacestay::naive {

namespace {

std::vector<std::string> parted(const std::string& line) {
  std::vector<std::string> cells;
  std::size_t begin = 0;
  for (auto at = line.find(", "); at != std::string::npos; at = line.find(", ", begin)) {
    cells.push_back(line.substr(begin, at - begin));
    begin = at + 2;
  }
  cells.push_back(line.substr(begin));
  return cells;
}

// A line as chart_lines writes it: its head, and its answers or the heads of its columns.
std::vector<std::string> cells_of(const std::string& line) {
  if (line.rfind("down ", 0) == 0) return {line};
  const bool across = line.rfind("across ", 0) == 0;
  const auto at = line.find(across ? "  " : ":  ");
  auto cells = parted(at == std::string::npos ? line : line.substr(at + (across ? 2 : 3)));
  cells.insert(cells.begin(), at == std::string::npos ? "" : line.substr(0, at));
  return cells;
}

}  // namespace

std::optional<std::string> Draft::in_a_sheet(const std::string& chart, const std::vector<std::string>& lines) {
  if (!settings_.several_files || !settings_.sheets || !sheet_draw_.chance(20)) return std::nullopt;
  const bool semicolons = sheet_draw_.chance(30), quotes = sheet_draw_.chance(30), mark = sheet_draw_.chance(20);
  const char between = semicolons ? ';' : ',';
  const std::string end = sheet_draw_.chance(30) ? "\r\n" : "\n";
  std::size_t width = 2;  // so that the first row shows what parts the cells
  for (const auto& line : lines) width = std::max(width, cells_of(line).size());
  width += sheet_draw_.chance(20) ? 2 : 0;
  std::string text = mark ? "\xEF\xBB\xBF" : "";
  for (const auto& line : lines) {
    auto cells = cells_of(line);
    cells.resize(width);
    for (std::size_t i = 0; i < cells.size(); ++i) {
      const bool in_quotes = cells[i].find_first_of(",;") != std::string::npos || (quotes && sheet_draw_.chance(50));
      text += i > 0 ? std::string(1, between) : "";
      text += in_quotes ? '"' + cells[i] + '"' : cells[i];
    }
    text += end;
    if (sheet_draw_.chance(5)) text += end;
  }
  const auto name = (sheet_draw_.chance(30) ? "charts/" : "") + chart + ".csv";
  sheets_.push_back({name, text});
  count("chart in a spreadsheet");
  if (semicolons) count("spreadsheet with ;");
  if (mark) count("spreadsheet with a byte-order mark");
  if (quotes) count("spreadsheet with quotes");
  return name;
}

std::string Draft::laid_out(const std::string& chart, const std::vector<std::string>& lines) {
  if (const auto file = in_a_sheet(chart, lines)) {
    count("chart in a spreadsheet, of a detail");
    return " from \"" + *file + "\"";
  }
  std::string out;
  for (const auto& line : lines) out += "\n  " + line;
  return out;
}

void Draft::lay_out_voices() {
  for (auto& voice : voices_) {
    if (voice.head.rfind("chart ", 0) != 0) continue;
    const auto file = in_a_sheet(voice.name, voice.action);
    if (!file) continue;
    voice.head += " from \"" + *file + "\"";
    voice.action.clear();
  }
}

}  // namespace lacestay::naive
