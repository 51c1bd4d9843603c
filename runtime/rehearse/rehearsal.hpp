// Rehearsing a policy: sample players, and whether each leaves with what its file says.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "grammar/text/diagnostic.hpp"
#include "runtime/advice/advice.hpp"
#include "runtime/stock/stock.hpp"

namespace lacestay::runtime {

// One `leaves with` line, and how it went.
struct WishResult {
  std::string wanted;  // the line as written
  std::uint32_t line = 0;
  bool holds = false;
  bool looked_at = true;  // false: it is about an item or a total, and no stock was given; then it holds
  std::string came;       // what the advice says instead
  std::vector<Part> decided_by;
  // Of a property's answer: where the policy gives what was wanted, a chart's row or a rule's first line, as in
  // "shop.fitting, line 12: under 27 kg:  20 to 30 flex". Empty where nothing does.
  std::optional<std::vector<std::string>> given_by;
};

struct PlayerResult {
  std::string name, text;
  std::string file;
  std::uint32_t line = 0;
  std::vector<WishResult> wishes;

  [[nodiscard]] std::size_t failed() const;
  [[nodiscard]] std::size_t not_looked_at() const;
};

struct SamplePlayer {
  std::string name, text;
  grammar::Span span;
  Player player;
  std::optional<std::int64_t> can_spend;  // minor units
  std::vector<grammar::LeavesWith> wishes;
};

// A players file against a policy: its players, in order; what can't be understood is told to `problems`.
struct PlayersFile {
  std::shared_ptr<const grammar::Source> source;
  std::vector<SamplePlayer> players;
};
[[nodiscard]] PlayersFile read_players(const compiler::Policy& policy, std::string name, std::string text,
                                       grammar::Diagnostics& problems);

// The stock that `leaves with item …` and `leaves with total …` are held to, as of a day.
struct Shelf {
  const Stock& stock;
  std::int64_t today;
};

// Runs one player. Wishes that name what the policy does not have are told to `problems`. `shelf` may be absent.
[[nodiscard]] PlayerResult rehearse(const Engine& engine, const SamplePlayer& player, grammar::Diagnostics& problems,
                                    const Shelf* shelf = nullptr);

// The results for the terminal: failures in full, then one line of sums.
[[nodiscard]] std::string text_of(const std::vector<PlayerResult>& results);

}  // namespace lacestay::runtime
