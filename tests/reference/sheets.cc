#include "tests/reference/sheets.hpp"

#include <algorithm>

#include "grammar/read/reader.hpp"

namespace lacestay::naive {

namespace {

std::string trimmed(const std::string& text) {
  const auto first = text.find_first_not_of(' ');
  return first == std::string::npos ? "" : text.substr(first, text.find_last_not_of(' ') + 1 - first);
}

std::vector<std::vector<std::string>> cells_of(std::string csv) {
  if (csv.rfind("\xEF\xBB\xBF", 0) == 0) csv.erase(0, 3);
  const auto first = csv.substr(0, csv.find_first_of("\r\n"));
  char between = ',';
  for (const char c : {'\t', ';', ','})
    if (first.find(c) != std::string::npos) between = c;
  std::vector<std::vector<std::string>> rows(1);
  std::string cell;
  bool quoted = false;
  for (const char c : csv + "\n") {
    if (c == '"') {
      quoted = !quoted;
    } else if (!quoted && (c == between || c == '\n' || c == '\r')) {
      rows.back().push_back(trimmed(cell));
      cell.clear();
      if (c != between) rows.emplace_back();
    } else {
      cell += c;
    }
  }
  for (auto& row : rows)
    while (!row.empty() && row.back().empty()) row.pop_back();
  std::erase_if(rows, [](const auto& row) { return row.empty(); });
  return rows;
}

bool begins(const std::string& text, const std::string& word) { return text.rfind(word + " ", 0) == 0; }

}  // namespace

std::string lines_of_sheet(const std::string& csv) {
  std::string out;
  for (auto& row : cells_of(csv)) {
    const bool across = begins(row.front(), "across"), down = begins(row.front(), "down");
    out += "  " + row.front();
    if (!down && !row.front().empty()) out += ": ";
    for (std::size_t i = 1; i < row.size() && !down; ++i) {
      // Where commas part the heads of columns, or joins the members of one.
      if (across)
        for (auto at = row[i].find(", "); at != std::string::npos; at = row[i].find(", ")) row[i].replace(at, 1, " or");
      out += (i > 1 ? ", " : "") + row[i];
    }
    out += "\n";
  }
  return out;
}

void lay_in(std::vector<grammar::File>& files, const std::vector<TextFile>& tables) {
  std::vector<grammar::File> sheets;
  for (auto& file : files)
    for (auto& item : file.items) {
      auto* chart = std::get_if<grammar::Chart>(&item.form);
      if (!chart || !chart->sheet) continue;
      const auto table = std::find_if(tables.begin(), tables.end(),
                                      [&](const TextFile& one) { return one.name == chart->sheet->text; });
      if (table == tables.end()) throw Unready("no table " + chart->sheet->text);
      grammar::Diagnostics told;
      sheets.push_back(grammar::read(
          std::make_shared<const grammar::Source>(table->name, "chart c gives c\n" + lines_of_sheet(table->text)),
          told));
      if (!told.empty()) throw Unready(render(told.sorted()));
      auto& read = std::get<grammar::Chart>(sheets.back().items.front().form);
      chart->across = std::move(read.across), chart->down = std::move(read.down), chart->rows = std::move(read.rows);
      sheets.back().items.clear();  // its source is what the grid's spans point into
    }
  for (auto& sheet : sheets) files.push_back(std::move(sheet));
}

}  // namespace lacestay::naive
