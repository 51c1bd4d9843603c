// For tests worked by hand: a policy from its items, a player from texts, the whole outcome as `describe` tells it.
#pragma once

#include "tests/reference/evaluator.hpp"

namespace lacestay::naive {

inline Policy policy_of(const std::string& items) {
  return prepare(
      {{"by_hand.fitting", "policy \"By hand\"\nedition 1, in force from 1 September 2026\nmoney GBP\n" + items}});
}

inline std::string told(const Policy& policy, const std::map<std::string, std::string>& player) {
  return describe(evaluate(policy, read_player(policy, player)));
}

}  // namespace lacestay::naive
