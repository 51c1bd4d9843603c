#include "runtime/sale/stock_change.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <optional>

#include "compiler/values/names.hpp"
#include "grammar/text/csv.hpp"
#include "runtime/base/sha256.hpp"
#include "runtime/base/table_words.hpp"
#include "runtime/sale/file_set.hpp"

namespace lacestay::runtime {
namespace {

// One stock file and the changes to its counts.
class CountedFile {
 public:
  // Throws sale-3 where it is not in the folder, sale-5 where it lacks one of the two columns.
  CountedFile(const ShopFolder& folder, const std::string& name)
      : source_(name, bytes_of(folder, name)), before_(sha256(source_.text())) {
    folder.demand_writable(name);
    grammar::Diagnostics problems;  // reported when the stock was read for the quote
    table_ = grammar::read_csv(source_, problems);
    item_ = column("item");
    on_hand_ = column("on hand");
  }

  [[nodiscard]] const std::string& name() const { return source_.name(); }
  [[nodiscard]] const std::string& fingerprint() const { return before_; }

  // Throws sale-5 where the item is not there exactly once, sale-6 where its count is not a whole number, sale-7 where
  // it would fall below 0.
  StockChange::Count change(const std::string& item, std::int64_t by) {
    const auto& cell = count_of(item);
    const auto before = whole_number(cell.text);
    if (!before)
      throw Error{"sale-6",
                  fmt::format("The count of item '{}' in '{}', line {}, is '{}', which is not a whole number "
                              "from 0.",
                              item, name(), line_of(cell), cell.text),
                  "put the number on hand there"};
    if (*before + by < 0)
      throw Error{"sale-7",
                  fmt::format("Item '{}' in '{}', line {}: {} on hand, and {} to be sold.", item, name(), line_of(cell),
                              *before, -by),
                  "quote again; where the shelf holds more, put the count right first"};
    // Only the digits are replaced: blanks and quotes around them stay.
    const auto text = cell.span.text();
    const auto first = text.find_first_of("0123456789"), last = text.find_last_of("0123456789");
    edits_.push_back({cell.span.begin + first, last + 1 - first, std::to_string(*before + by)});
    by_hand_.push_back(fmt::format("item '{}': {} on hand ({} before)", item, *before + by, *before));
    return {name(), item, *before, *before + by};
  }

  [[nodiscard]] NewFile changed() {
    std::string bytes(source_.text());
    std::sort(edits_.begin(), edits_.end(), [](const Edit& a, const Edit& b) { return a.at > b.at; });
    for (const auto& edit : edits_) bytes.replace(edit.at, edit.size, edit.text);
    return {name(), before_, std::move(bytes), fmt::format("{}", fmt::join(by_hand_, ", "))};
  }

 private:
  struct Edit {
    std::size_t at, size;
    std::string text;
  };

  static std::string bytes_of(const ShopFolder& folder, const std::string& name) {
    const bool plain = !name.empty() && name[0] != '.' && name.find_first_of(std::string_view("/\0", 2)) == name.npos;
    auto bytes = plain && name != sales_record_name ? folder.read(name) : std::nullopt;
    if (bytes) return std::move(*bytes);
    throw Error{"sale-3", fmt::format("'{}' is no stock file of this folder.", name),
                "put the file back, or quote again"};
  }

  static std::uint32_t line_of(const grammar::CsvCell& cell) { return cell.span.source->place(cell.span.begin).line; }

  [[nodiscard]] std::size_t column(const char* word) const {
    std::optional<std::size_t> found;
    for (std::size_t i = 0; i < table_.heading.size(); ++i) {
      if (read_heading(table_.heading[i].text).name != plain_name(word)) continue;
      if (found)
        throw Error{"sale-5", fmt::format("'{}' has two columns '{}'.", name(), word), "give one of them another name"};
      found = i;
    }
    if (found) return *found;
    throw Error{"sale-5", fmt::format("'{}' has no column '{}'.", name(), word), "give the column its heading"};
  }

  [[nodiscard]] const grammar::CsvCell& count_of(const std::string& item) const {
    const grammar::CsvRow* found = nullptr;
    for (const auto& row : table_.rows) {
      if (row.cells[item_].text != item) continue;
      if (found)
        throw Error{
            "sale-5",
            fmt::format("Item '{}' stands twice in '{}', in lines {} and {}.", item, name(), found->line(), row.line()),
            "give each item a number of its own"};
      found = &row;
    }
    if (found) return found->cells[on_hand_];
    throw Error{"sale-5", fmt::format("Item '{}' is not in '{}'.", item, name()), "put its row back, or quote again"};
  }

  grammar::Source source_;
  std::string before_;  // the fingerprint of its bytes
  grammar::CsvTable table_;
  std::size_t item_ = 0, on_hand_ = 0;
  std::vector<Edit> edits_;
  std::vector<std::string> by_hand_;
};

// The record, and the SHA-256 of its content; an empty one where there is no file yet.
SalesRecord record_of(const ShopFolder& folder, std::string& fingerprint) {
  const std::string name(sales_record_name);
  auto bytes = folder.read(name);
  if (bytes) folder.demand_writable(name);
  if (!bytes) bytes = empty_sales_record();
  fingerprint = sha256(*bytes);
  return SalesRecord(std::move(*bytes));
}

// Changes the counts by the lines and adds these to the record, in all files or in none; throws Error.
StockChange carry_out(const ShopFolder& folder, const std::vector<SalesRecord::Line>& lines, const QuotedFiles* quoted,
                      const SalesRecord& record, const std::string& record_before, const std::string& subject) {
  StockChange change;
  change.sale = lines.front().sale;
  std::map<std::string, CountedFile> files;
  std::vector<std::string> order;
  std::map<std::pair<std::string, std::string>, std::int64_t> by;
  for (const auto& line : lines) {
    if (files.try_emplace(line.file, folder, line.file).second) order.push_back(line.file);
    by[{line.file, line.item}] += line.change;
  }
  if (quoted) {
    for (const auto& name : order) {
      const auto then = quoted->find(name);
      if (then != quoted->end() && then->second == files.at(name).fingerprint()) continue;
      throw Error{"sale-4", fmt::format("'{}' is no longer what it was when the quote was made.", name), "quote again"};
    }
  }
  for (const auto& line : lines)
    if (const auto sum = by.extract({line.file, line.item}))
      change.counts.push_back(files.at(line.file).change(line.item, sum.mapped()));

  FileSet set{subject, {}};
  for (const auto& name : order) set.files.push_back(files.at(name).changed());
  const auto texts = record.texts_of(lines);
  auto last = fmt::format("at its end: {}", fmt::join(texts, ""));
  while (last.back() == '\n' || last.back() == '\r') last.pop_back();
  set.files.push_back({std::string(sales_record_name), record_before, record.with(texts), std::move(last)});

  // file_set replaces files that exist, so the record is created first. Where the change then fails, an empty record is
  // left, which does no harm.
  const std::string name(sales_record_name);
  if (!folder.holds(name)) static_cast<void>(put_new(folder, name, empty_sales_record()));
  const auto replaced = replace_together(folder, set);
  if (!replaced.undone) return change;
  if (replaced.saved_meanwhile.empty()) throw Error(*replaced.refused);
  std::vector<std::string> names;
  for (const auto& saved : replaced.saved_meanwhile) names.push_back(fmt::format("'{}'", saved));
  throw Error{"sale-4",
              fmt::format("{} saved in this very moment; nothing else is changed.",
                          compiler::listed(names) + (names.size() == 1 ? " was" : " were")),
              quoted ? "quote again" : "try again"};
}

std::string end_left(const ShopFolder& folder) {
  const auto ended = end_what_is_left(folder);
  if (!ended) return "";
  if (!ended->undone) return fmt::format("A change that had been cut short is finished now: {}.", ended->subject);
  if (ended->saved_meanwhile.empty())
    return fmt::format("A change that had been cut short is undone: {}. {}", ended->subject, ended->refused->message);
  std::vector<std::string> names;
  for (const auto& saved : ended->saved_meanwhile) names.push_back(fmt::format("'{}'", saved));
  return fmt::format("A change that had been cut short is undone: {}. {} saved since.", ended->subject,
                     compiler::listed(names) + (names.size() == 1 ? " was" : " were"));
}

template <typename Work>
auto answered(Work work) -> Result<decltype(work())> {
  try {
    return work();
  } catch (const Error& error) {
    return error.problem();
  }
}

}  // namespace

Result<StockChange> take(const std::string& path, const QuotedFiles& quoted, const std::vector<SoldItem>& items,
                         Moment when, const StockManner& manner) {
  return answered([&] {
    if (items.empty()) throw Error{"sale-5", "There is nothing to sell.", "name an item"};
    ShopFolder folder(path, manner);
    folder.lock();
    end_left(folder);
    std::string record_before;
    const auto record = record_of(folder, record_before);
    const auto sale = record.next_sale();
    std::vector<SalesRecord::Line> lines;
    for (const auto& item : items)
      lines.push_back({sale, written_in_seconds(when), item.file, item.item, item.make, item.model, item.price, -1});
    auto change = carry_out(folder, lines, &quoted, record, record_before, fmt::format("sale {}", sale));
    change.taken_at = written_in_seconds(when);
    return change;
  });
}

Result<StockChange> give_back(const std::string& path, std::int64_t sale, Moment when, const StockManner& manner) {
  return answered([&] {
    ShopFolder folder(path, manner);
    folder.lock();
    end_left(folder);
    std::string record_before;
    const auto record = record_of(folder, record_before);
    auto lines = record.lines_of(sale);
    if (lines.empty())
      throw Error{"sale-9", fmt::format("'{}' has no sale {}.", sales_record_name, sale), "look its number up there"};
    const auto taken_at = lines.front().day;
    for (auto& line : lines) {
      if (line.change > 0)
        throw Error{"sale-10", fmt::format("Sale {} was given back already, at {}.", sale, line.day),
                    "look the right sale's number up in the record"};
      line.change = 1;
      line.day = written_in_seconds(when);
    }
    auto change = carry_out(folder, lines, nullptr, record, record_before, fmt::format("giving back sale {}", sale));
    change.taken_at = taken_at;
    return change;
  });
}

Result<std::string> settle(const std::string& path, const StockManner& manner) {
  return answered([&]() -> std::string {
    ShopFolder folder(path, manner);
    if (!something_left(folder)) return "";
    folder.lock();
    return end_left(folder);
  });
}

}  // namespace lacestay::runtime
