#include "grammar/text/csv.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <tao/pegtl.hpp>

namespace lacestay::grammar {
namespace {

namespace pegtl = tao::pegtl;

namespace rules {

using namespace pegtl;

struct mark : opt<utf8::bom> {};
struct line_end : sor<string<'\r', '\n'>, one<'\n'>, one<'\r'>> {};

template <char Separator>
struct bare : star<not_one<Separator, '\r', '\n'>> {};
struct quoted : seq<one<'"'>, star<sor<string<'"', '"'>, not_one<'"'>>>, one<'"'>> {};
template <char Separator>
struct after_quote : plus<not_one<Separator, '\r', '\n'>> {};
struct never_closed : seq<one<'"'>, until<eof>> {};
template <char Separator>
struct cell : sor<seq<quoted, star<one<' '>>, opt<after_quote<Separator>>>, never_closed, bare<Separator>> {};
template <char Separator>
struct row : list<cell<Separator>, one<Separator>> {};
template <char Separator>
struct row_line : seq<row<Separator>, sor<line_end, eof>> {};
template <char Separator>
struct file : seq<mark, until<eof, row_line<Separator>>> {};

}  // namespace rules

struct Reading {
  const Source& source;
  Diagnostics& problems;
  std::vector<CsvCell> cells;
  bool spoilt = false;  // the row that is being read can't be

  struct Row {
    std::vector<CsvCell> cells;
    bool spoilt = false;
  };
  std::vector<Row> rows;  // but for those that hold nothing

  template <typename Input>
  Span span(const Input& in) const {
    const auto begin = static_cast<std::uint32_t>(in.begin() - source.text().data());
    return {&source, begin, begin + static_cast<std::uint32_t>(in.size())};
  }

  void end_row() {
    const bool empty = std::all_of(cells.begin(), cells.end(), [](const auto& cell) { return cell.text.empty(); });
    if (spoilt || !empty) rows.push_back({std::move(cells), spoilt});
    cells.clear();
    spoilt = false;
  }
};

template <typename Rule>
struct Action : pegtl::nothing<Rule> {};

template <char Separator>
struct Action<rules::bare<Separator>> {
  template <typename Input>
  static void apply(const Input& in, Reading& reading) {
    auto span = reading.span(in);
    const auto text = reading.source.text();
    while (span.begin < span.end && text[span.begin] == ' ') ++span.begin;
    while (span.begin < span.end && text[span.end - 1] == ' ') --span.end;
    reading.cells.push_back({std::string(span.text()), span});
  }
};

template <>
struct Action<rules::quoted> {
  template <typename Input>
  static void apply(const Input& in, Reading& reading) {
    const auto span = reading.span(in);
    const auto inside = span.text().substr(1, span.text().size() - 2);
    std::string text;
    text.reserve(inside.size());
    for (std::size_t i = 0; i < inside.size(); ++i) {
      text += inside[i];
      if (inside[i] == '"') ++i;  // a quote inside is doubled
    }
    reading.cells.push_back({std::move(text), span});
  }
};

template <char Separator>
struct Action<rules::after_quote<Separator>> {
  template <typename Input>
  static void apply(const Input& in, Reading& reading) {
    reading.problems.add("csv-2", reading.span(in), "Something stands after the closing quote.",
                         "put the whole cell in quotes, and double each quote inside it");
    reading.spoilt = true;
  }
};

template <>
struct Action<rules::never_closed> {
  template <typename Input>
  static void apply(const Input& in, Reading& reading) {
    auto span = reading.span(in);
    span.end = span.begin + 1;
    reading.problems.add("csv-1", span, "This quote is never closed, so the rest of the file can't be read.",
                         "close it, or take it out");
    reading.cells.push_back({"", span});
    reading.spoilt = true;
  }
};

template <char Separator>
struct Action<rules::row<Separator>> {
  template <typename Input>
  static void apply(const Input&, Reading& reading) {
    reading.end_row();
  }
};

template <char Separator>
void read(Reading& reading) {
  const auto& source = reading.source;
  pegtl::memory_input<pegtl::tracking_mode::lazy> input(source.text().data(), source.text().size(), source.name());
  pegtl::parse<rules::file<Separator>, Action>(input, reading);
}

constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";

char separator_of(const Source& source) {
  const auto heading = source.text().substr(0, source.text().find_first_of("\r\n"));
  const auto holds = [&](char c) { return heading.find(c) != heading.npos; };
  return holds(',') ? ',' : holds(';') ? ';' : holds('\t') ? '\t' : ',';
}

std::vector<Reading::Row> rows_of(const Source& source, Diagnostics& problems) {
  Reading reading{source, problems, {}, false, {}};
  switch (separator_of(source)) {
    case ';': read<';'>(reading); break;
    case '\t': read<'\t'>(reading); break;
    default: read<','>(reading);
  }
  return std::move(reading.rows);
}

void hold_apart(const std::vector<CsvCell>& heading, Diagnostics& problems) {
  for (std::size_t i = 0; i < heading.size(); ++i)
    for (std::size_t k = 0; k < i; ++k)
      if (!heading[i].text.empty() && heading[i].text == heading[k].text)
        problems
            .add("csv-4", heading[i].span, fmt::format("Two columns are called '{}'.", heading[i].text),
                 "give each column a name of its own")
            .notes.push_back({"the first one", heading[k].span});
}

}  // namespace

CsvTable read_csv(const Source& source, Diagnostics& problems) {
  auto rows = rows_of(source, problems);
  CsvTable table;
  if (rows.empty() || rows.front().spoilt) return table;
  table.heading = std::move(rows.front().cells);
  hold_apart(table.heading, problems);
  for (std::size_t i = 1; i < rows.size(); ++i) {
    auto& cells = rows[i].cells;
    if (!rows[i].spoilt) {
      // Spreadsheets pad short rows, and some leave extra separators at the end.
      while (cells.size() > table.heading.size() && cells.back().text.empty()) cells.pop_back();
      if (cells.size() == table.heading.size()) {
        table.rows.push_back({std::move(cells)});
        continue;
      }
      problems.add("csv-3", join(cells.front().span, cells.back().span),
                   fmt::format("This row has {} cells, but the heading has {}.", cells.size(), table.heading.size()),
                   "give it a cell for each column, an empty one where there is nothing; put a cell that holds the "
                   "separator in quotes");
    }
    ++table.set_aside;
  }
  return table;
}

std::vector<CsvRow> read_csv_rows(const Source& source, Diagnostics& problems) {
  std::vector<CsvRow> all;
  for (auto& row : rows_of(source, problems))
    if (!row.spoilt) all.push_back({std::move(row.cells)});
  return all;
}

std::string column_letters(const Span& span) {
  const auto& source = *span.source;
  const auto separator = separator_of(source);
  std::size_t column = 1;
  auto at = source.line_start(source.place(span.begin).line);
  if (at == 0 && source.text().starts_with(byte_order_mark)) at = byte_order_mark.size();
  bool begins = true, in_quotes = false, quoted = false;  // a cell; one that begins with a quote; a quote is open
  for (; at < span.begin; ++at) {
    const char c = source.text()[at];
    if (begins) in_quotes = c == '"';
    if (c == '"' && in_quotes) quoted = !quoted;  // a doubled one closes and opens it again
    begins = c == separator && !quoted;
    if (begins) ++column;
  }
  std::string letters;
  for (; column > 0; column = (column - 1) / 26)
    letters.insert(letters.begin(), static_cast<char>('A' + (column - 1) % 26));
  return letters;
}

}  // namespace lacestay::grammar
