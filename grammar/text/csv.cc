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
  CsvTable table;
  std::vector<CsvCell> cells;
  bool spoilt = false;        // this row can't be read and is left out
  bool heading_lost = false;  // the heading can't be read, so no row can be

  template <typename Input>
  Span span(const Input& in) const {
    const auto begin = static_cast<std::uint32_t>(in.begin() - source.text().data());
    return {&source, begin, begin + static_cast<std::uint32_t>(in.size())};
  }

  void end_row() {
    const bool empty = std::all_of(cells.begin(), cells.end(), [](const auto& cell) { return cell.text.empty(); });
    if (spoilt && table.heading.empty())
      heading_lost = true;
    else if (spoilt)
      ++table.set_aside;
    else if (!empty && !heading_lost)
      table.heading.empty() ? begin_table() : add_row();
    cells.clear();
    spoilt = false;
  }

  void begin_table() {
    for (std::size_t i = 0; i < cells.size(); ++i)
      for (std::size_t k = 0; k < i; ++k)
        if (!cells[i].text.empty() && cells[i].text == cells[k].text)
          problems
              .add("csv-4", cells[i].span, fmt::format("Two columns are called '{}'.", cells[i].text),
                   "give each column a name of its own")
              .notes.push_back({"the first one", cells[k].span});
    table.heading = std::move(cells);
  }

  void add_row() {
    // Spreadsheets pad short rows, and some leave extra separators at the end.
    while (cells.size() > table.heading.size() && cells.back().text.empty()) cells.pop_back();
    if (cells.size() == table.heading.size()) {
      table.rows.push_back({std::move(cells)});
      return;
    }
    ++table.set_aside;
    problems.add("csv-3", join(cells.front().span, cells.back().span),
                 fmt::format("This row has {} cells, but the heading has {}.", cells.size(), table.heading.size()),
                 "give it a cell for each column, an empty one where there is nothing; put a cell that holds the "
                 "separator in quotes");
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
void read(const Source& source, Reading& reading) {
  pegtl::memory_input<pegtl::tracking_mode::lazy> input(source.text().data(), source.text().size(), source.name());
  pegtl::parse<rules::file<Separator>, Action>(input, reading);
}

}  // namespace

CsvTable read_csv(const Source& source, Diagnostics& problems) {
  Reading reading{source, problems, {}, {}, false, false};
  const auto heading = source.text().substr(0, source.text().find_first_of("\r\n"));
  const auto holds = [&](char c) { return heading.find(c) != heading.npos; };
  if (!holds(',') && holds(';'))
    read<';'>(source, reading);
  else if (!holds(',') && holds('\t'))
    read<'\t'>(source, reading);
  else
    read<','>(source, reading);
  return std::move(reading.table);
}

}  // namespace lacestay::grammar
