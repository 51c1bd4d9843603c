// Tables as spreadsheets save them: CSV after RFC 4180, with a heading line.
//
// Beyond the standard, as spreadsheets write it: semicolons or tabs separate the cells where the heading holds no
// comma; any line end will do; a byte-order mark is skipped, as are blanks around an unquoted cell and lines that are
// empty or hold only separators. A row that can't be read is left out and reported, and the rest is read; where the
// heading can't be read, no row is.
#pragma once

#include <string>
#include <vector>

#include "grammar/text/diagnostic.hpp"

namespace lacestay::grammar {

struct CsvCell {
  std::string text;  // its value: without the quotes around it, doubled quotes made one
  Span span;         // its bytes in the source, quotes included
};

struct CsvRow {
  std::vector<CsvCell> cells;  // as many as the heading has, where there is one

  [[nodiscard]] std::uint32_t line() const { return cells.front().span.source->place(cells.front().span.begin).line; }
};

struct CsvTable {
  std::vector<CsvCell> heading;
  std::vector<CsvRow> rows;
  std::size_t set_aside = 0;  // how many rows were left out because they can't be read
};

// Adds csv-1 to csv-4 to `problems`. The spans of the table point into `source`, which must outlive it. Linear in the
// text.
[[nodiscard]] CsvTable read_csv(const Source& source, Diagnostics& problems);

// The same of a table without a heading: its rows, each with as many cells as it has. Adds csv-1 and csv-2.
[[nodiscard]] std::vector<CsvRow> read_csv_rows(const Source& source, Diagnostics& problems);

// The column a span begins in, as spreadsheets name it: "A", "AB". No cell before it in the file may hold a line end.
// Linear in the line, and in the file's first, which shows what parts the cells.
[[nodiscard]] std::string column_letters(const Span& span);

}  // namespace lacestay::grammar
