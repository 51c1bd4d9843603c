// What accept lines ask of an item beside its properties: whether it is new and in date, what it covers, what it costs
// and how old it is. Inner to compiler/.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "compiler/compare/difference.hpp"
#include "compiler/shelf/stages.hpp"
#include "compiler/values/money.hpp"

namespace lacestay::compiler {

// What a stage asks of an item beside its properties.
struct AskedBeside {
  // Of new goods, or of used ones.
  struct OfGoods {
    std::int64_t least = 0, most = largest_sum;  // the price
    std::optional<std::int64_t> made_within;     // years
    friend bool operator==(const OfGoods&, const OfGoods&) = default;
  };
  bool condition_new = false, in_date = false, protection = false;
  std::vector<std::string> covers;  // details by name, ascending, each once
  OfGoods if_new, if_used;

  [[nodiscard]] const OfGoods& of(bool used) const { return used ? if_used : if_new; }
  [[nodiscard]] bool lets(bool used, SampleItem::Label label) const;
  [[nodiscard]] bool lets_price(bool used, std::int64_t price) const {
    return of(used).least <= price && price <= of(used).most;
  }
  [[nodiscard]] bool lets_age(bool used, SampleItem::Age age, std::int64_t years) const;
  // All that is asked of this item, its values and whom the line is for aside.
  [[nodiscard]] bool lets(const SampleItem& item) const;
  friend bool operator==(const AskedBeside&, const AskedBeside&) = default;
};

// Of each of a piece's stages.
[[nodiscard]] std::vector<AskedBeside> asked_beside(const Policy& policy, std::uint32_t piece,
                                                    const std::vector<Stage>& stages);

// Prices on both sides of every bound that a stage of either edition sets; none where none sets one.
[[nodiscard]] std::vector<std::int64_t> prices_asked(const OfSides<std::vector<AskedBeside>>& asked);

}  // namespace lacestay::compiler
