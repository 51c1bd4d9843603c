// The players a command is asked about: details on the command line, --player FILE.json, or --from FILE.players NAME.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "runtime/options/command.hpp"
#include "runtime/player/player.hpp"

namespace lacestay::runtime {

struct Asked {
  std::string name;  // what the player goes by; empty where there is one alone
  Player player;
  std::optional<std::int64_t> can_spend;  // as a players file says, in minor units
};

// The words and options that say who is asked about, for the tables of the commands that take them.
[[nodiscard]] std::vector<Word> player_words();
[[nodiscard]] std::vector<Option> player_options();

// In the order they are asked for; `words.plain` begins with the policy. Throws Stop where they can't be understood.
[[nodiscard]] std::vector<Asked> asked_players(const compiler::Policy& policy, const Words& words);

// A player told on the command line whom the policy has nobody like, and its sentences that say so. Throws Stop where
// it has.
struct NobodyLike {
  Player player;
  std::vector<std::string> sentences;
};
[[nodiscard]] NobodyLike nobody_like(const compiler::Policy& policy, const Words& words);

}  // namespace lacestay::runtime
