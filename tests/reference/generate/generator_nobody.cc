#include "tests/reference/generate/generator_nobody.hpp"

#include <set>

#include "tests/reference/draw.hpp"

namespace lacestay::naive {

std::string nobody_for(const Policy& policy, std::uint64_t seed) {
  Draw draw(seed * 5 + 3);
  std::vector<const grammar::Condition*> known;
  for (const auto& voice : policy.voices)
    if (!voice.pack_when)  // a pack may name an edge that the policy's own domain does not reach
      for (const auto& condition : voice.clauses->when) known.push_back(&condition);
  std::string text;
  if (known.empty()) return text;
  for (auto wanted = draw.between(1, 4); wanted > 0; --wanted) {
    std::string line;
    std::set<std::size_t> asked;
    for (auto conditions = draw.between(2, 3); conditions > 0; --conditions) {
      const auto* condition = draw.pick(known);
      asked.merge(asked_under(policy, *condition));
      line += (line.empty() ? "nobody has " : ", ") + std::string(condition->span.text());
    }
    if (asked.size() > 1) text += line + " \"Line " + std::to_string(wanted) + ".\"\n";
  }
  return text;
}

}  // namespace lacestay::naive
