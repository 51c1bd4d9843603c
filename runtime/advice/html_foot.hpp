// The foot of every page about a player.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "runtime/advice/advice.hpp"

namespace lacestay::runtime {

// What was handed over otherwise, and where it stands in the daybook: the foot of a page that is on record.
[[nodiscard]] std::string beside(const std::vector<HandedOver>& handed_over,
                                 const std::optional<EntryReference>& entry);

}  // namespace lacestay::runtime
