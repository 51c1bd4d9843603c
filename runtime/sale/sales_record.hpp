// The record of what was sold and given back: sales.csv in the stock folder, one line an item, only ever added to.
//
// The shop may open it in its spreadsheet, move its columns, add some, and save it with other separators; lines are
// added as it stands. So its bytes are read anew for each change.
#pragma once

#include <cstdint>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "grammar/text/csv.hpp"

namespace lacestay::runtime {

// Whoever reads the folder's stock passes this file over.
inline constexpr std::string_view sales_record_name = "sales.csv";

// A record without sales.
[[nodiscard]] std::string empty_sales_record();

class SalesRecord {
 public:
  struct Line {
    std::int64_t sale = 0;
    std::string day, file, item, make, model, price;
    int change = 0;  // of the count: -1 sold, +1 given back
  };

  // Where a line could not be added so that it is read again, or sales can't be told apart: sale-8, thrown.
  explicit SalesRecord(std::string bytes);

  [[nodiscard]] std::int64_t next_sale() const { return last_ + 1; }
  [[nodiscard]] std::vector<Line> lines_of(std::int64_t sale) const;
  // As the record writes them, each with its line end.
  [[nodiscard]] std::vector<std::string> texts_of(const std::vector<Line>& lines) const;
  // The whole record with these lines at its end; all that was there stays as it was, byte for byte.
  [[nodiscard]] std::string with(const std::vector<std::string>& texts) const;

 private:
  enum Column : std::uint8_t { sale, day, file, item, make, model, price, change, columns };

  // A row's number in a column.
  [[nodiscard]] std::int64_t number(const grammar::CsvRow& row, Column column) const;

  std::unique_ptr<grammar::Source> source_;  // the table's spans hold its address
  grammar::CsvTable table_;
  std::vector<std::size_t> places_;  // by Column, the cell of a row
  char separator_ = ',';
  std::string_view line_end_ = "\n";
  std::int64_t last_ = 0;
};

}  // namespace lacestay::runtime
