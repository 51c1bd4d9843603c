// The kit problem posed from stock and policy: what a kit may hold begins here.
#pragma once

#include <string>
#include <unordered_map>
#include <vector>

#include "runtime/kit/problem.hpp"
#include "runtime/quote/matching.hpp"

namespace lacestay::runtime {

class Posing {
 public:
  // For one player; all must outlive this.
  Posing(const Engine& engine, const Player& player, const Stock& stock);

  // Of pieces with items, in the policy's order: those that go together, and the deals whose pieces are all there.
  // Which deal of the policy each deal of the problem is goes to `deals`.
  [[nodiscard]] KitProblem problem_of(const std::vector<const Match*>& pieces, std::vector<std::size_t>& deals);
  // A line of the till is for this player: it counts where that is certain.
  [[nodiscard]] bool is_for_him(const std::optional<TableId>& line) const { return !line || for_him_[*line]; }

 private:
  KitItem kit_item(const StockItem& item);
  [[nodiscard]] std::int64_t worth_of(const StockItem& item) const;
  [[nodiscard]] std::optional<Deal> kit_deal(const compiler::Deal& deal, const std::vector<const Match*>& pieces) const;
  [[nodiscard]] std::vector<KitLink> links(const std::vector<const Match*>& pieces) const;

  const compiler::Policy& policy_;
  const Stock& stock_;
  std::vector<bool> for_him_;  // by table of a line of the shop
  std::unordered_map<std::string, int> makes_;
};

}  // namespace lacestay::runtime
