// Tables as spreadsheets save them: CSV after RFC 4180, with a heading line.
//
// Beyond the standard, as spreadsheets write it: a semicolon or a tab may part the cells where the heading holds no
// comma, any line end will do, a byte-order mark is passed over, blanks around a cell that is not quoted don't count,
// and empty lines are skipped, of separators alone too. What can't be read costs its row; the rest is read. A heading
// that can't be read costs the file.
#pragma once

#include <string>
#include <vector>

#include "grammar/text/diagnostic.hpp"

namespace lacestay::grammar {

struct CsvCell {
  std::string text;  // without quotes
  Span span;         // with them
};

struct CsvRow {
  std::vector<CsvCell> cells;  // as many as the heading has

  [[nodiscard]] std::uint32_t line() const { return cells.front().span.source->place(cells.front().span.begin).line; }
};

struct CsvTable {
  std::vector<CsvCell> heading;
  std::vector<CsvRow> rows;
  std::size_t set_aside = 0;  // rows that can't be read
};

// Problems are csv-1 to csv-4. Cost: linear in the text.
[[nodiscard]] CsvTable read_csv(const Source& source, Diagnostics& problems);

}  // namespace lacestay::grammar
