// What stands on the lines of a quote beside the sums: the item in words, what was advised, what binds it, and where it
// is not as advised.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "runtime/engine/engine.hpp"
#include "runtime/engine/possible.hpp"
#include "runtime/quote/matching.hpp"
#include "runtime/quote/quote.hpp"
#include "runtime/stock/stock.hpp"

namespace lacestay::runtime {

// A label inside a sentence begins small; a name in capitals stays one.
[[nodiscard]] std::string within_sentence(std::string label);

class QuoteLines {
 public:
  // For one player, whose answers are `possible`. All must outlive this; `advice` may be filled in later.
  QuoteLines(const Engine& engine, const Stock& stock, const std::vector<Possible>& possible, const Advice& advice)
      : engine_(engine), policy_(engine.policy()), stock_(stock), possible_(possible), advice_(advice) {}

  // Without partners, deals, and what could be done without the item. `item` is one of the match's, a place in the
  // stock.
  [[nodiscard]] QuoteLine line(const Match& each, std::size_t item) const;
  [[nodiscard]] QuotedItem item_of(const Match& each, std::size_t index) const;
  [[nodiscard]] std::vector<std::string> near(const Match& each) const;
  // The piece's sum to plan for: its own band of money, where the advice has one.
  [[nodiscard]] std::optional<SumToPlan> sum_to_plan(std::uint32_t piece) const;
  [[nodiscard]] std::string label_of(std::uint32_t property) const;

 private:
  [[nodiscard]] const compiler::PieceText& text(std::uint32_t piece) const { return policy_.pieces[piece]; }
  [[nodiscard]] const compiler::Acceptance& line_of_match(const Match& each) const;
  [[nodiscard]] std::vector<std::uint32_t> properties_of(const Match& each) const;
  [[nodiscard]] std::optional<std::string> sold_as(const Match& each, const StockItem& item,
                                                   std::uint32_t property) const;
  [[nodiscard]] std::int64_t ticks_of(std::uint32_t property, std::int64_t step) const;
  [[nodiscard]] std::vector<Bound> bound(const Match& each) const;
  [[nodiscard]] std::vector<Advised> advised(const Match& each) const;
  [[nodiscard]] const ItemValue& value_of(const StockItem& item, std::uint32_t property) const;
  [[nodiscard]] std::string cut_of(const StockItem& item, const compiler::Requirement& need, std::int64_t cut) const;
  [[nodiscard]] std::optional<Outcome> advised_outcome(std::uint32_t property) const;
  [[nodiscard]] bool has_answer(const StockItem& item, std::uint32_t id, std::int64_t step) const;
  [[nodiscard]] std::vector<Unlike> unlike(const Match& each, std::size_t item) const;
  [[nodiscard]] std::string line_of(const Match& each) const;
  [[nodiscard]] std::string whom(const std::optional<TableId>& line) const;

  const Engine& engine_;
  const compiler::Policy& policy_;
  const Stock& stock_;
  const std::vector<Possible>& possible_;
  const Advice& advice_;
};

}  // namespace lacestay::runtime
