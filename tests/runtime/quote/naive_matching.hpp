// Which items answer to an advice, by the letter of grammar/reference.md: from the policy's tree, the naive evaluator's
// answers, and the bytes of the stock files. It shares no code with runtime/quote/matching.cc or
// runtime/stock/stock.cc.
//
// It takes for granted what the shipped files keep to: cells parted by commas, one unit a column or in the cell, days
// as 2027-08-31.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "tests/reference/evaluator.hpp"

namespace lacestay::tests {

struct NaiveItem {
  std::string number;
  std::int64_t on_hand = 0;
  std::map<std::string, std::string> cells;  // by column
};
using NaiveStock = std::map<std::string, std::vector<NaiveItem>>;  // by piece

// A file's rows; the heading's unit, if it has one, is put behind each of its cells.
[[nodiscard]] std::vector<NaiveItem> naive_rows(const std::string& text);

struct NaiveMatch {
  std::string kind;                  // "items", "none", "refer", "order", "not sold", "not for him"
  std::vector<std::string> numbers;  // ascending
  std::optional<std::size_t> instead;
  friend bool operator==(const NaiveMatch&, const NaiveMatch&) = default;
};

// By piece that is needed or suggested and that he does not own. `day` as 2026-10-03. Throws Unready where the policy
// says what it can't follow: of pieces that go together no more than one such line.
[[nodiscard]] std::map<std::string, NaiveMatch> naive_matches(const naive::Policy& policy, const naive::Player& player,
                                                              const std::vector<std::string>& owns,
                                                              const NaiveStock& stock, const std::string& day);

}  // namespace lacestay::tests
