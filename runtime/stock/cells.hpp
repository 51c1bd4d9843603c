// One cell of a stock file, read as what its column holds. Inner to runtime/.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>

#include "runtime/stock/stock.hpp"

namespace lacestay::runtime {

// Reads the cells of one column. Cells repeat in a shop's files, so what was read once is remembered.
class CellReader {
 public:
  CellReader(const compiler::Scale& scale, std::string unit, std::string currency)
      : scale_(&scale), unit_(std::move(unit)), currency_(std::move(currency)) {}

  // Nothing where the cell can't be read; an empty cell is not known.
  [[nodiscard]] const std::optional<ItemValue>& read(const std::string& text);
  // What a cell lacks that looks like one, a clause behind "'9.3 years' is no age"; often empty.
  [[nodiscard]] std::string wants() const;
  // No sum can be read, since the policy does not say in which currency.
  [[nodiscard]] bool no_money() const;
  // What the column takes, for a person: "one of entry, club", "a length such as 265 mm".
  [[nodiscard]] std::string accepts() const;

 private:
  [[nodiscard]] std::optional<ItemValue> members(std::string_view text) const;
  bool add_members(std::string_view text, std::size_t depth, ItemValue& value) const;
  [[nodiscard]] std::optional<ItemValue> amounts(std::string_view text) const;
  [[nodiscard]] std::optional<std::int64_t> amount(std::string_view text) const;

  const compiler::Scale* scale_;
  std::string unit_, currency_;
  std::unordered_map<std::string, std::optional<ItemValue>> known_;
};

}  // namespace lacestay::runtime
