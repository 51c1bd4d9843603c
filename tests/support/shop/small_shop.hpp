// A small policy and a few stock files, written in a test, as the program would find them.
#pragma once

#include <memory>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "runtime/engine/engine.hpp"
#include "runtime/player/player.hpp"
#include "runtime/stock/stock.hpp"

namespace lacestay::tests {

using Files = std::vector<std::pair<std::string, std::string>>;  // name, bytes

// Compiled from the items after the policy's head: "Small shop", edition 1, GBP.
[[nodiscard]] std::shared_ptr<const runtime::Engine> small_shop(const std::string& items);

// Read from a folder that holds just these files, and is gone afterwards.
[[nodiscard]] runtime::Stock stock_of(const compiler::Policy& policy, const Files& files);

// Details as they are typed: "age=30 head_girth=56 cm", parted by commas.
[[nodiscard]] runtime::Player player_of(const compiler::Policy& policy, const std::string& details,
                                        const std::vector<std::string>& owns = {});

// A day as it is typed.
[[nodiscard]] std::int64_t day_of(int year, int month, int day);

}  // namespace lacestay::tests
