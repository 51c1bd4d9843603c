#include "grammar/read/sheet.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <optional>

#include "grammar/read/build.hpp"
#include "grammar/read/reader.hpp"
#include "grammar/text/csv.hpp"
#include "grammar/text/letters.hpp"

namespace lacestay::grammar {

namespace {

namespace line = rules::line;

std::string first_word(std::string_view text) {
  while (!text.empty() && text.front() == ' ') text.remove_prefix(1);
  std::size_t size = 0;
  while (size < text.size() && (is_letter(text[size]) || is_digit(text[size]) || text[size] == '_')) ++size;
  return lower_case(std::string(text.substr(0, size)));
}

bool opens_axis(std::string_view cell) {
  const auto word = first_word(cell);
  return word == "across" || word == "down";
}

bool blank(const CsvCell& cell) { return cell.text.find_first_not_of(' ') == std::string::npos; }

// Without the quotes around it.
Span inside(const CsvCell& cell) {
  auto span = cell.span;
  if (span.end - span.begin >= 2 && span.text().front() == '"') ++span.begin, --span.end;
  return span;
}

Span whole(const CsvRow& row) { return join(row.cells.front().span, row.cells.back().span); }

void leave_out_last_blanks(CsvRow& row, std::size_t least) {
  while (row.cells.size() > least && blank(row.cells.back())) row.cells.pop_back();
}

class SheetReader {
 public:
  SheetReader(const Source& sheet, Chart& chart, Diagnostics& diagnostics)
      : sheet_(sheet), chart_(chart), diagnostics_(diagnostics), builder_(sheet, diagnostics) {}

  void run() {
    const auto before = diagnostics_.size();
    auto rows = read_csv_rows(sheet_, diagnostics_);
    if (diagnostics_.size() > before || !stands_row_by_row(rows) || !is_grid_alone(rows) || !begins_well(rows)) return;
    const auto answers = std::stable_partition(rows.begin(), rows.end(),
                                               [](const CsvRow& row) { return opens_axis(row.cells.front().text); });
    for (auto row = rows.begin(); row != answers; ++row) read_axis(*row);
    if (diagnostics_.size() > before) return;
    if (answers == rows.end())
      diagnostics_.add("charts-1", whole(rows.back()), "The chart has no rows.",
                       "give each entry a row below this one, as in: under 40 kg, with its answer in the next cell");
    for (auto row = answers; row != rows.end(); ++row) read_row(*row);
  }

 private:
  using Rows = std::vector<CsvRow>;

  // Past a cell with a line end in it a spreadsheet's rows would no longer be the file's lines.
  bool stands_row_by_row(const Rows& rows) {
    for (const auto& row : rows)
      for (const auto& cell : row.cells)
        if (cell.span.text().find_first_of("\r\n") != std::string_view::npos) {
          diagnostics_.add("charts-11", cell.span, "This cell goes on in a second line.", "write it in one line");
          return false;
        }
    return true;
  }

  bool is_grid_alone(const Rows& rows) {
    for (const auto& row : rows) {
      const auto word = first_word(row.cells.front().text);
      for (const std::string_view clause : {"for", "because", "source", "outranks", "safety"})
        if (word == clause) {
          diagnostics_
              .add("charts-12", row.cells.front().span,
                   fmt::format("A chart's spreadsheet holds the grid alone; {} stands in the policy.", clause),
                   fmt::format("take this row out, and write {} in the policy, under the chart's first line", clause))
              .notes.push_back({"the chart", chart_.name.span});
          return false;
        }
    }
    return true;
  }

  bool begins_well(const Rows& rows) {
    if (rows.empty()) {
      diagnostics_.add("charts-1", {&sheet_, 0, 0}, "This spreadsheet is empty, so the chart has no axis and no rows.",
                       "let its first cell say what runs down, as in: down weight; below it, give each entry a row, as "
                       "in: under 40 kg, with its answer in the next cell");
      return false;
    }
    if (opens_axis(rows.front().cells.front().text)) return true;
    const auto axis =
        std::find_if(rows.begin(), rows.end(), [](const CsvRow& row) { return opens_axis(row.cells.front().text); });
    auto& told = diagnostics_.add(
        "charts-1", rows.front().cells.front().span, "A chart's spreadsheet begins with what runs down or across.",
        axis == rows.end() ? "where this row is the heading, write down and the detail in its "
                             "first cell, as in: down weight; else put a row above it that "
                             "says so"
                           : "move the row that says so to the top");
    if (axis != rows.end()) told.notes.push_back({"the row that says so", axis->cells.front().span});
    return false;
  }

  // What the rule for a cell of this kind makes of it; nothing where it can't be read.
  std::unique_ptr<Node> parsed(LineKind kind, const CsvCell& cell) {
    return parse_or_tell(kind, inside(cell), diagnostics_);
  }

  void once(const Span& first, const Span& again, const char* what) {
    if (first.source)
      diagnostics_
          .add("reading-26", again, fmt::format("This spreadsheet says {} twice.", what), "keep one of the two rows")
          .notes.push_back({"the first one", first});
  }

  void read_axis(CsvRow& row) {
    const auto root = parsed(LineKind::row_begin, row.cells.front());
    if (!root) return;
    const Node& axis = *root->children.front();
    if (axis.is<line::sheet_across>())
      read_across(row, axis);
    else
      read_down(row, axis);
  }

  void read_across(CsvRow& row, const Node& axis) {
    once(chart_.across ? chart_.across->span : Span{}, row.cells.front().span, "across");
    leave_out_last_blanks(row, 2);
    Across across{builder_.phrase(*axis.children.front()), {}, whole(row)};
    if (row.cells.size() == 1) row.cells.push_back({"", {&sheet_, across.span.end, across.span.end}});
    for (std::size_t i = 1; i < row.cells.size(); ++i)
      if (const auto root = parsed(LineKind::column, row.cells[i]))
        across.heads.push_back(builder_.head(*root->children.front()));
    chart_.across = std::move(across);
  }

  void read_down(const CsvRow& row, const Node& axis) {
    once(chart_.down ? chart_.down->span : Span{}, row.cells.front().span, "down");
    chart_.down = builder_.phrase(*axis.children.front());
    const auto beside = std::find_if(row.cells.begin() + 1, row.cells.end(), [&](const CsvCell& cell) {
      return !blank(cell) && plain_name(cell.text) != chart_.gives.joined();
    });
    if (beside == row.cells.end()) return;
    diagnostics_
        .add(
            "charts-12", beside->span,
            "Beside down and its detail stands either nothing or the name of what the chart gives.",
            fmt::format("leave the cell blank, or write {}; what runs across has a row of its own, which begins as in: "
                        "across weight",
                        chart_.gives.as_written()))
        .notes.push_back({"what the chart gives", chart_.gives.span});
  }

  void read_row(CsvRow& row) {
    leave_out_last_blanks(row, 1 + (chart_.across ? chart_.across->heads.size() : 1));
    Row made;
    made.head.kind = Head::Kind::rest;
    made.span = whole(row);
    if (chart_.down || !blank(row.cells.front())) {
      const auto root = parsed(LineKind::row_begin, row.cells.front());
      if (!root) return;
      made.head = builder_.head(*root->children.front());
    }
    for (std::size_t i = 1; i < row.cells.size(); ++i)
      if (const auto root = parsed(LineKind::answer, row.cells[i]))
        made.cells.push_back(builder_.cell(*root->children.front()));
    chart_.rows.push_back(std::move(made));
  }

  const Source& sheet_;
  Chart& chart_;
  Diagnostics& diagnostics_;
  Builder builder_;
};

}  // namespace

void read_sheet(const Source& sheet, Chart& chart, Diagnostics& diagnostics) {
  SheetReader(sheet, chart, diagnostics).run();
}

bool begins_as_sheet(std::string_view text) {
  const auto at = text.find_first_not_of("\xEF\xBB\xBF\r\n\t ,;\"");
  return at != std::string_view::npos && opens_axis(text.substr(at));
}

std::vector<File> read_again(const std::vector<std::shared_ptr<const Source>>& sources) {
  std::vector<File> files;
  Diagnostics none;  // the policy compiled
  for (const auto& source : sources)
    if (!source->is_sheet()) files.push_back(read(source, none));
  for (auto& file : files)
    for (auto& item : file.items)
      if (auto* chart = std::get_if<Chart>(&item.form); chart && chart->sheet)
        for (const auto& source : sources)
          if (source->is_sheet() && source->name() == chart->sheet->text) read_sheet(*source, *chart, none);
  return files;
}

}  // namespace lacestay::grammar
