// The shop's stock, from the spreadsheets it is kept in: a folder of CSV files, one a piece or one for all.
//
// A file is named after its piece (`skates.csv`), or has a column `piece`. Columns: `item` (the item's number), `make`,
// `model`, `price`, `on hand`; `certified until`, `condition`, `made` (the day) and `goes with` where there are
// such; and the piece's own properties, and the details its `accept` line covers, by their names. A unit stands in the
// heading, `size (mm)`, or in the cell. Each cell is held to what the policy declares. A row that can't be read is set
// aside and told of, never guessed.
#pragma once

#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "compiler/tables/policy.hpp"
#include "grammar/text/diagnostic.hpp"

namespace lacestay::runtime {

// What a cell holds: members of a grade or choice, or an amount or a range of it, in ticks.
struct ItemValue {
  bool known = false;
  std::uint64_t members = 0;       // one bit each
  std::int64_t low = 0, high = 0;  // the same, where it is one amount
};

// An item's members are told in 64 bits; of a longer list, the rest are no item's.
[[nodiscard]] inline bool has_member(const ItemValue& value, std::int64_t member) {
  return member < 64 && (value.members >> member & 1) != 0;
}

struct StockItem {
  std::string number, make, model;
  std::uint32_t piece = 0;
  std::int64_t price = 0;                       // minor units, more than 0
  std::int64_t on_hand = 0;                     // 0 or more
  std::optional<std::int64_t> certified_until;  // day
  std::optional<std::int64_t> made;             // day; read where the policy asks how old items are
  bool used = false;
  std::string goes_with;          // as it stands in its cell; read where the policy links its piece to another
  std::vector<ItemValue> values;  // by property of its piece
  std::vector<ItemValue> covers;  // by place among Shelf::covered of its piece
  std::uint32_t file = 0, line = 0;
};

struct StockFile {
  std::string name;  // in the folder
  std::shared_ptr<const grammar::Source> source;
  std::size_t rows = 0, set_aside = 0;
  std::vector<std::string> passed_over;  // columns it has that the policy says nothing of
};

struct Stock {
  std::filesystem::path folder;
  std::vector<StockFile> files;                     // by name
  std::vector<StockItem> items;                     // by number within a piece, pieces in the policy's order
  std::vector<std::size_t> first;                   // by piece, into items; one more at the end
  std::vector<std::vector<std::uint16_t>> covered;  // by piece: the columns its `accept` line covers
  grammar::Diagnostics problems;                    // stock-1 to stock-8, csv-1 to csv-4; they point into the files
};

// Files larger than this are refused; a million items take about a hundred MiB.
inline constexpr std::size_t largest_stock_file = 512u << 20;

// Reads every file of the folder whose name ends in .csv (or .CSV), but for `passed_over` and the spreadsheets that the
// policy's charts stand in. A file that can't be read to its end is left out and told of; of a folder that can't be, no
// file is read. Cost: linear in the files; 100,000 items take less than a second.
[[nodiscard]] Stock read_stock(const compiler::Policy& policy, const std::filesystem::path& folder,
                               const std::vector<std::string>& passed_over);

// By piece: the columns its `accept` lines cover, in their order; what a line before covers, not once more.
[[nodiscard]] std::vector<std::vector<std::uint16_t>> covered_columns(const compiler::Policy& policy);

// A sum in the policy's money, as a person writes it: "45.50", "45.50 GBP"; nothing where it is none.
[[nodiscard]] std::optional<std::int64_t> money_from(const compiler::Policy& policy, const std::string& text);

// An item's value as the shop writes it: "265 mm", "96 to 104 cm", "round, square".
[[nodiscard]] std::string write_value(const compiler::Scale& scale, const ItemValue& value);

}  // namespace lacestay::runtime
