#include "runtime/reopen/see_again.hpp"

#include <algorithm>
#include <map>
#include <memory>
#include <optional>
#include <set>

#include "compiler/space/reach.hpp"
#include "compiler/values/days.hpp"
#include "runtime/reopen/day_entry.hpp"
#include "runtime/reopen/reopened.hpp"
#include "runtime/seal/sealed_policy.hpp"

namespace lacestay::runtime {
namespace {

// A policy that says when to see a player again, and the column of that detail.
struct Says {
  std::shared_ptr<const compiler::Policy> policy;
  compiler::ColumnId column = 0;
};

std::optional<Says> says_when(Daybook& daybook, const std::string& sha256) {
  const auto kept = daybook.policy(sha256);
  if (!kept) return std::nullopt;
  const auto unsealed = unseal(kept->document);
  if (!unsealed) return std::nullopt;
  const auto& details = unsealed->policy->worked_out;
  const auto found =
      std::find_if(details.begin(), details.end(), [](const auto& each) { return each.name == see_again_detail; });
  if (found == details.end() || found->scale.dimension != compiler::Dimension::age) return std::nullopt;
  const auto at = unsealed->policy->details.size() + static_cast<std::size_t>(found - details.begin());
  return Says{unsealed->policy, static_cast<compiler::ColumnId>(at)};
}

// In whole months; the soonest of what is still possible.
std::int64_t months_of(const Says& says, const Player& player) {
  compiler::Reach reach(says.policy->tables, {&says.column, 1});
  (void)reach.over(ranges_of(says.policy->tables, player));
  const auto& soonest = reach.value(says.column).lowest;
  return static_cast<std::int64_t>(compiler::floor_divide(soonest.numerator, soonest.denominator)) /
         compiler::ticks_per({grammar::Unit::month, ""});
}

}  // namespace

std::vector<ToSeeAgain> to_see_again(Daybook& daybook, const Sought& sought, std::int64_t by) {
  std::map<std::string, std::optional<Says>> policies;
  std::set<std::string> met;
  std::vector<ToSeeAgain> all;
  for (const auto number : daybook.find(sought)) {
    const auto entry = daybook.entry(number);
    if (!entry || !entry->content || !entry->policy) continue;
    if (entry->kind != EntryKind::advice && entry->kind != EntryKind::quote) continue;
    const auto kept = kept_advice(*entry->content);
    if (!kept || kept->form > content_form) continue;
    auto says = policies.find(*entry->policy);
    if (says == policies.end()) says = policies.emplace(*entry->policy, says_when(daybook, *entry->policy)).first;
    if (!says->second) continue;
    const auto player = player_of(*says->second->policy, *kept);
    if (!player) continue;
    const auto months = months_of(*says->second, *player);
    const auto due = compiler::months_after(kept->day, months);
    if (months <= 0 || due > by) continue;
    auto told = std::to_string(kept->day);
    for (const auto& detail : kept->details) told += " " + detail.name + " " + detail.text;
    if (met.insert(told).second) all.push_back({number, kept->day, due, gist_of(*entry)});
  }
  std::stable_sort(all.begin(), all.end(), [](const auto& a, const auto& b) { return a.due < b.due; });
  return all;
}

}  // namespace lacestay::runtime
