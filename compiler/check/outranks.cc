// Who outranks whom: names, circles, safety, and the transitive closure.
#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "compiler/check/names.hpp"
#include "compiler/law/law.hpp"

namespace lacestay::compiler {

void Checker::check_outranks() {
  std::map<RuleId, const DraftRule*> by_id;
  for (const auto& rule : rules) by_id[rule.id] = &rule;
  std::map<RuleId, std::vector<RuleId>> direct;
  std::map<std::pair<RuleId, RuleId>, const grammar::Phrase*> written;
  std::vector<std::string> names;  // of the rules and charts, once one is not found
  for (const auto& [over, file, phrase] : written_outranks_) {
    const auto name = phrase->joined();
    auto found = files[file].pack ? rule_names.find(files[file].pack_name + "_" + name) : rule_names.end();
    if (found == rule_names.end()) found = rule_names.find(name);
    if (found == rule_names.end()) {
      if (names.empty())
        for (const auto& [known, unused] : rule_names) names.push_back(known);
      const auto near = meant_by(*this, name, names);
      diagnostics.add("names-1", phrase->span, fmt::format("There is no rule or chart called '{}'.", name),
                      near.empty() ? "name a rule or a chart of this policy" : fmt::format("write {}", near));
      continue;
    }
    const auto under = found->second;
    const auto* a = by_id.count(over) ? by_id[over] : nullptr;
    const auto* b = by_id.count(under) ? by_id[under] : nullptr;
    if (!a || !b || a->targets.empty() || b->targets.empty()) continue;  // something was said about one of them already
    const auto kind = kind_of_table(a->effect);
    const bool of_kit = kind == Table::Kind::property || kind == Table::Kind::piece;
    const bool shared = of_kit && kind == kind_of_table(b->effect) &&
                        std::any_of(a->targets.begin(), a->targets.end(), [&](auto target) {
                          return std::find(b->targets.begin(), b->targets.end(), target) != b->targets.end();
                        });
    if (!shared) {
      diagnostics
          .add("rules-3", phrase->span,
               fmt::format("'{}' and '{}' never speak about the same answer, so neither can outrank the other.",
                           policy.rules[over].name, policy.rules[under].name),
               "leave this outranks out")
          .notes.push_back({"the other rule", policy.rules[under].span});
      continue;
    }
    direct[over].push_back(under);
    written[{over, under}] = phrase;
  }
  // Closure, with the path kept to show a circle. A long row of rules, each of which outranks the next, has as many
  // pairs as its length times itself; a shop's rules stay far below this.
  constexpr std::size_t most_pairs = 1'000'000;
  std::size_t pairs = 0;
  std::set<RuleId> told;
  for (const auto& [start, unused] : direct) {
    if (told.count(start) != 0) continue;
    std::map<RuleId, RuleId> reached_from;
    std::vector<RuleId> waiting = {start};
    while (!waiting.empty()) {
      const auto at = waiting.back();
      waiting.pop_back();
      const auto next = direct.find(at);
      if (next == direct.end()) continue;
      for (const auto under : next->second) {
        if (!reached_from.emplace(under, at).second) continue;
        waiting.push_back(under);
      }
    }
    pairs += reached_from.size();
    if (pairs > most_pairs) {
      if (told.empty())
        diagnostics.add("limits-7", written.at({start, direct.at(start).front()})->span,
                        "There are more than 1,000,000 pairs of rules of which one outranks the other.",
                        "hold rules apart with for, where they need not outrank each other");
      break;
    }
    if (reached_from.count(start) != 0) {
      std::vector<std::string> circle = {policy.rules[start].name};
      std::vector<RuleId> members = {start};
      for (auto at = reached_from[start]; at != start; at = reached_from[at])
        circle.push_back(policy.rules[at].name), members.push_back(at);
      circle.push_back(policy.rules[start].name);
      std::reverse(circle.begin(), circle.end());
      if (std::any_of(members.begin(), members.end(), [&](RuleId id) { return told.count(id) != 0; })) continue;
      told.insert(members.begin(), members.end());
      diagnostics.add("rules-4", written.at({start, members.back()})->span,
                      fmt::format("These outrank each other in a circle: {}.", fmt::join(circle, " outranks ")),
                      "take one of the outranks out");
      continue;
    }
    for (const auto& [under, via] : reached_from) {
      outranks.emplace_back(start, under);
      const auto* a = by_id[start];
      const auto* b = by_id[under];
      if (!b->safety || (a->safety && a->file == b->file)) continue;
      // Only direct outranks are reported: where a safety rule is outranked through others, one of the direct ones on
      // the way is itself an error.
      const auto phrase = written.find({start, under});
      if (phrase == written.end()) continue;
      diagnostics
          .add("rules-5", phrase->second->span,
               fmt::format("'{}' is a safety rule; it yields only to a safety rule of its own file.",
                           policy.rules[under].name),
               "leave this outranks out, or hold the two rules apart with for")
          .notes.push_back({"the safety rule", policy.rules[under].span});
    }
  }
  std::sort(outranks.begin(), outranks.end());
}

}  // namespace lacestay::compiler
