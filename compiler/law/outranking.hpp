// Who outranks whom, closed, and what follows from what.
#pragma once

#include <map>
#include <set>
#include <utility>
#include <vector>

#include "compiler/tables/tables.hpp"

namespace lacestay::compiler {

using RulePair = std::pair<RuleId, RuleId>;  // the first outranks the second

// An outranks that is written although it follows from others can't be told from them, and counts as following.
// Cost: the pairs, times the rules that stand between the two of a pair.
class Outranking {
 public:
  explicit Outranking(const std::vector<RulePair>& pairs);

  // Follows from no others.
  [[nodiscard]] bool is_direct(const RulePair& pair) const;
  [[nodiscard]] std::vector<RulePair> direct() const;
  // What would no longer hold without a direct one: itself, and what follows only through it. Ascending.
  [[nodiscard]] std::vector<RulePair> resting_on(const RulePair& pair) const;

 private:
  using Steps = std::map<RuleId, std::set<RuleId>>;

  static std::set<RuleId> reached(RuleId from, const Steps& steps);
  [[nodiscard]] bool follows(RuleId over, RuleId under) const;

  Steps under_, direct_;
};

}  // namespace lacestay::compiler
