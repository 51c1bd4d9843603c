#include "compiler/law/outranking.hpp"

#include <algorithm>

namespace lacestay::compiler {

Outranking::Outranking(const std::vector<RulePair>& pairs) {
  for (const auto& [over, under] : pairs) under_[over].insert(under);
  std::map<RuleId, std::set<RuleId>> closed;
  for (const auto& [over, unused] : under_) closed[over] = reached(over, under_);
  under_ = std::move(closed);
  for (const auto& [over, all] : under_)
    for (const auto under : all)
      if (!follows(over, under)) direct_[over].insert(under);
}

bool Outranking::is_direct(const RulePair& pair) const {
  const auto found = direct_.find(pair.first);
  return found != direct_.end() && found->second.count(pair.second) != 0;
}

std::vector<RulePair> Outranking::direct() const {
  std::vector<RulePair> all;
  for (const auto& [over, unders] : direct_)
    for (const auto under : unders) all.emplace_back(over, under);
  return all;
}

std::vector<RulePair> Outranking::resting_on(const RulePair& pair) const {
  auto others = direct_;
  others[pair.first].erase(pair.second);
  std::vector<RulePair> resting;
  for (const auto& [over, all] : under_) {
    if (over != pair.first && all.count(pair.first) == 0) continue;
    const auto left = reached(over, others);
    for (const auto under : all)
      if (left.count(under) == 0) resting.emplace_back(over, under);
  }
  return resting;
}

std::set<RuleId> Outranking::reached(RuleId from, const Steps& steps) {
  std::set<RuleId> all;
  std::vector<RuleId> waiting = {from};
  while (!waiting.empty()) {
    const auto next = steps.find(waiting.back());
    waiting.pop_back();
    if (next == steps.end()) continue;
    for (const auto rule : next->second)
      if (all.insert(rule).second) waiting.push_back(rule);
  }
  return all;
}

bool Outranking::follows(RuleId over, RuleId under) const {
  const auto& all = under_.at(over);
  return std::any_of(all.begin(), all.end(), [&](RuleId between) {
    const auto found = under_.find(between);
    return found != under_.end() && found->second.count(under) != 0;
  });
}

}  // namespace lacestay::compiler
