#include "runtime/sale/sales_record.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "runtime/base/csv_line.hpp"
#include "runtime/base/table_words.hpp"
#include "runtime/sale/shop_folder.hpp"

namespace lacestay::runtime {
namespace {

constexpr std::array<const char*, 8> headings = {"sale", "day", "file", "item", "make", "model", "price", "change"};

[[noreturn]] void spoilt(const std::string& message) {
  throw Error{
      "sale-8", fmt::format("No line can be added to '{}': {}", sales_record_name, message),
      fmt::format("put that right in '{}', or keep it under another name to begin a new one", sales_record_name)};
}

}  // namespace

std::string empty_sales_record() { return csv_line({headings.begin(), headings.end()}); }

SalesRecord::SalesRecord(std::string bytes)
    : source_(std::make_unique<grammar::Source>(std::string(sales_record_name), std::move(bytes))) {
  grammar::Diagnostics problems;
  table_ = grammar::read_csv(*source_, problems);
  if (!problems.empty()) {
    const auto first = problems.sorted().front();
    spoilt(fmt::format("line {}: {}", source_->place(first.where.begin).line, first.message));
  }
  for (std::size_t column = 0; column < columns; ++column) {
    std::size_t found = table_.heading.size();
    for (std::size_t i = 0; i < table_.heading.size(); ++i)
      if (read_heading(table_.heading[i].text).name == headings[column]) found = i;
    if (found == table_.heading.size()) spoilt(fmt::format("it has no column '{}'.", headings[column]));
    places_.push_back(found);
  }
  const auto text = source_->text();
  // With eight columns there is a separator after the first heading, and blanks at most before it.
  separator_ = text[text.find_first_not_of(' ', table_.heading.front().span.end)];
  if (const auto end = text.find_first_of("\r\n", table_.heading.back().span.end); end != text.npos)
    line_end_ = text.substr(end, text.substr(end, 2) == "\r\n" ? 2 : 1);
  for (const auto& row : table_.rows)
    if (!row.cells[places_[sale]].text.empty()) last_ = std::max(last_, number(row, sale));
}

std::int64_t SalesRecord::number(const grammar::CsvRow& row, Column column) const {
  const auto& cell = row.cells[places_[column]].text;
  if (const auto number = whole_number(cell)) return *number;
  spoilt(fmt::format("line {}: '{}' in column '{}' is not a whole number.", row.line(), cell, headings[column]));
}

std::vector<SalesRecord::Line> SalesRecord::lines_of(std::int64_t wanted) const {
  std::vector<Line> lines;
  for (const auto& row : table_.rows) {
    const auto cell = [&](Column column) { return row.cells[places_[column]].text; };
    if (cell(sale).empty() || number(row, sale) != wanted) continue;
    const auto by = cell(change);
    if (by != "-1" && by != "1" && by != "+1")
      spoilt(fmt::format("line {}: '{}' in column 'change' is neither -1 nor +1.", row.line(), by));
    lines.push_back(
        {wanted, cell(day), cell(file), cell(item), cell(make), cell(model), cell(price), by == "-1" ? -1 : 1});
  }
  return lines;
}

std::vector<std::string> SalesRecord::texts_of(const std::vector<Line>& lines) const {
  std::vector<std::string> texts;
  for (const auto& line : lines) {
    std::vector<std::string> cells(table_.heading.size());
    const auto put = [&](Column column, const std::string& text) { cells[places_[column]] = text; };
    put(sale, std::to_string(line.sale));
    put(day, line.day);
    put(file, line.file);
    put(item, line.item);
    put(make, line.make);
    put(model, line.model);
    // A spreadsheet that separates cells by semicolons has a comma as its decimal sign.
    auto sum = line.price;
    if (separator_ == ';') std::replace(sum.begin(), sum.end(), '.', ',');
    put(price, sum);
    put(change, line.change < 0 ? "-1" : "+1");
    texts.push_back(csv_line(cells, separator_, line_end_));
  }
  return texts;
}

std::string SalesRecord::with(const std::vector<std::string>& texts) const {
  std::string all(source_->text());
  if (all.back() != '\n' && all.back() != '\r') all += line_end_;
  for (const auto& text : texts) all += text;
  return all;
}

}  // namespace lacestay::runtime
