// What a quote chose from, kept as JSON texts, one a piece, and the stock made of them again. Inner to the daybook.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "runtime/stock/stock.hpp"

namespace lacestay::runtime {

// One text for each piece that `items` (into Stock::items, ascending) has any of. Of an item's count it keeps only
// whether there is one: a quote turns on no more, and shelves of another day are often the same.
[[nodiscard]] std::vector<std::string> shelves_of(const compiler::Policy& policy, const Stock& stock,
                                                  const std::vector<std::size_t>& items);

// A stock of just these items, without files; nothing where a text is none of this policy's.
[[nodiscard]] std::optional<Stock> stock_of_shelves(const compiler::Policy& policy,
                                                    const std::vector<std::string>& shelves);

}  // namespace lacestay::runtime
