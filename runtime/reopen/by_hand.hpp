// A player whom the policy has nobody like, and whom a fitter fits all the same: what the daybook keeps of that.
//
// No advice stands behind it, so no rule of the policy is looked at, and nothing is worked out again.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "compiler/tables/policy.hpp"
#include "grammar/text/result.hpp"
#include "runtime/reopen/day_entry.hpp"

namespace lacestay::runtime {

struct FittedByHand : KeptPlayer {
  std::int64_t day = 0;
  std::vector<std::string> nobody;  // the policy's sentences that say why it has nobody like that
  std::string what, by, why;        // what was handed over, who answers for it, and the reason
};

// The pieces that `what` names, by name or label, in the policy's order. Where it names none, the problem's message is
// a clause that says so.
Result<std::vector<std::string>> pieces_named(const compiler::Policy& policy, const std::string& what);

// `policy` is kept in the daybook under that SHA-256; `what` names a piece.
[[nodiscard]] NewEntry entry_of(const compiler::Policy& policy, const std::string& sha256, const FittedByHand& fitted);
// Nothing where the entry holds no such content.
[[nodiscard]] std::optional<FittedByHand> fitted_by_hand_in(const Entry& entry);

// What stands beside every such record: that nothing of the policy vouches for it.
inline constexpr const char* by_hand_caution =
    "The policy has nobody like that, so none of its rules was looked at, those for safety neither. Protection of "
    "head, "
    "face and neck goes by the governing body's current rules and the standard's mark on each item; the fit is the "
    "fitter's to answer for.";
[[nodiscard]] std::string text_of(const FittedByHand& fitted);

}  // namespace lacestay::runtime
