// What accept lines ask of an item beside its properties: whether it is new and in date, what it covers, what it costs
// and how old it is. Inner to compiler/.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "compiler/compare/difference.hpp"
#include "compiler/values/money.hpp"

namespace lacestay::compiler {

// What an accept line asks of an item beside its properties, at each of its stages alike.
struct AskedBeside {
  bool condition_new = false, in_date = false, protection = false;
  std::vector<std::string> covers;             // details by name, ascending, each once
  std::int64_t least = 0, most = largest_sum;  // its price
  std::optional<std::int64_t> made_within;     // years

  [[nodiscard]] bool lets(bool used, SampleItem::Label label) const;
  [[nodiscard]] bool lets_price(std::int64_t price) const { return least <= price && price <= most; }
  [[nodiscard]] bool lets_age(SampleItem::Age age, std::int64_t years) const;
  // All that is asked of this item, its values and whom the line is for aside.
  [[nodiscard]] bool lets(const SampleItem& item) const;
  friend bool operator==(const AskedBeside&, const AskedBeside&) = default;
};

// Of a piece, by accept line.
[[nodiscard]] std::vector<AskedBeside> asked_beside(const Policy& policy, std::uint32_t piece);

// Prices on both sides of every bound that a line of either edition sets; none where no line sets one.
[[nodiscard]] std::vector<std::int64_t> prices_asked(const OfSides<std::vector<AskedBeside>>& asked);

}  // namespace lacestay::compiler
