// The record of what was sold and given back: sales.csv in the stock folder, one line an item, only ever added to.
//
// The shop may open it in its spreadsheet, move or add columns, and save it with other separators: lines are added in
// the form it has by then. So it is read anew for each change. Immutable once made.
#pragma once

#include <cstdint>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "grammar/text/csv.hpp"

namespace lacestay::runtime {

// Not a stock file: readers of the folder's stock skip it.
inline constexpr std::string_view sales_record_name = "sales.csv";

// A record without sales.
[[nodiscard]] std::string empty_sales_record();

class SalesRecord {
 public:
  struct Line {
    std::int64_t sale = 0;
    std::string day;  // when: UTC, ISO 8601 to the second
    std::string file, item, make, model, price;
    int change = 0;  // of the count on hand: -1 sold, +1 given back
  };

  // Throws sale-8 where the table can't be read, lacks a column, or has a sale number that is none.
  explicit SalesRecord(std::string bytes);

  [[nodiscard]] std::int64_t next_sale() const { return last_ + 1; }
  [[nodiscard]] std::vector<Line> lines_of(std::int64_t sale) const;
  // Lines as text in the record's own form (columns, separator, line end).
  [[nodiscard]] std::vector<std::string> texts_of(const std::vector<Line>& lines) const;
  // The whole record with these texts appended; what was there stays byte for byte.
  [[nodiscard]] std::string with(const std::vector<std::string>& texts) const;

 private:
  enum Column : std::uint8_t { sale, day, file, item, make, model, price, change, columns };

  // The whole number in this column of a row; throws sale-8 where it is none.
  [[nodiscard]] std::int64_t number(const grammar::CsvRow& row, Column column) const;

  std::unique_ptr<grammar::Source> source_;  // the table's spans hold its address
  grammar::CsvTable table_;
  std::vector<std::size_t> places_;  // by Column, the cell of a row
  char separator_ = ',';
  std::string_view line_end_ = "\n";
  std::int64_t last_ = 0;
};

}  // namespace lacestay::runtime
