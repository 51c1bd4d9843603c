// What was told of a player, as every entry about one keeps it.
#pragma once

#include <cstdint>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "compiler/tables/policy.hpp"
#include "grammar/text/result.hpp"
#include "runtime/player/player.hpp"

namespace lacestay::runtime {

struct KeptPlayer {
  struct Detail {
    std::string name, text;
    std::int64_t value = 0;  // ticks, or a member's place
  };
  std::vector<Detail> details;    // those that were known
  std::vector<std::string> owns;  // pieces
};

[[nodiscard]] KeptPlayer kept_player(const compiler::Policy& policy, const Player& player);
// Back; the policy must be the one it was kept under. Where it can't have been told that, the problem's message is a
// clause that says so.
Result<Player> player_of(const compiler::Policy& policy, const KeptPlayer& kept);
// The keys "details" and "owns" of an entry's content, and back; the second throws nlohmann::json's exceptions.
void put_player(const KeptPlayer& player, nlohmann::json& content);
[[nodiscard]] KeptPlayer player_in(const nlohmann::json& content);
// The details for programs, as lists of what was said have them.
[[nodiscard]] nlohmann::ordered_json json_of_details(const KeptPlayer& player);

}  // namespace lacestay::runtime
