// A player's details read by each of the three ways in, for one small policy.
#pragma once

#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "runtime/player/player.hpp"
#include "runtime/rehearse/rehearsal.hpp"
#include "tests/support/policy/compiled.hpp"

namespace lacestay::tests {

inline const char* const policy_text = R"(policy "Player test"
edition 1, in force from 1 September 2026
money GBP

ask age        4 to 90 years, whole
ask weight     12 to 180 kg
ask load       1 st to 28 st          shown in st and lb
ask height     90 to 215 cm           shown in ft and in
ask foot       140 to 330 mm          may be left blank
ask sessions   0 to 14, whole         may change
ask turnout    0 to 2
ask budget     0 to 900 GBP
ask birth_day  1 January 1936 to 31 December 2022
ask skill      grades new, improving, league, elite   may change
ask hand       choice left, right     may be left blank

piece helmet always
piece neck_guard optional "Neck guard"
piece kit_bag optional "Kit bag"
)";

inline const compiler::Policy& policy() {
  static const auto compiled = policy_of("player_test.fitting", policy_text);
  return *compiled;
}

inline std::size_t detail(const std::string& name) {
  const auto& details = policy().details;
  for (std::size_t i = 0; i < details.size(); ++i)
    if (details[i].name == name) return i;
  FAIL("no detail " << name);
  return 0;
}

// "age 9 years, skill new; owns helmet": what is known of a player, as the policy writes it.
inline std::string known(const runtime::Player& player) {
  std::string out;
  for (std::size_t i = 0; i < player.readings.size(); ++i) {
    if (!player.readings[i]) continue;
    const auto& text = policy().details[i];
    out += fmt::format("{}{} {}", out.empty() ? "" : ", ", text.name, text.scale.write(*player.readings[i]));
  }
  for (std::size_t i = 0; i < player.owns.size(); ++i)
    out += (i == 0 ? "; owns " : ", ") + policy().pieces[player.owns[i]].name;
  return out;
}

struct Read {
  std::string known, problems;
  std::optional<runtime::Player> player;

  [[nodiscard]] std::int64_t ticks(const char* name) const {
    REQUIRE(player);
    INFO(problems);
    REQUIRE(player->readings[detail(name)]);
    return *player->readings[detail(name)];
  }
};

// Name and text pairs, as on the command line.
inline Read by_text(const std::vector<std::pair<std::string, std::string>>& details,
                    const std::vector<std::string>& owned = {}) {
  grammar::Diagnostics problems;
  runtime::PlayerReader reader(policy(), problems);
  for (const auto& [name, text] : details) reader.set(name, text);
  for (const auto& piece : owned) reader.set_owned(piece);
  Read read;
  read.player = reader.take();
  read.known = known(*read.player);
  read.problems = render(problems.sorted());
  return read;
}

inline Read by_json(const std::string& json) {
  grammar::Diagnostics problems;
  Read read;
  read.player = runtime::player_from_json(policy(), json, problems);
  read.known = read.player ? known(*read.player) : "nobody";
  read.problems = render(problems.sorted());
  return read;
}

// The lines under `player kim`.
inline Read by_file(const std::string& lines) {
  grammar::Diagnostics problems;
  const auto file = runtime::read_players(policy(), "kim.players", "player kim\n" + lines, problems);
  Read read;
  read.problems = render(problems.sorted());
  INFO(read.problems);
  REQUIRE(file.players.size() == 1);
  read.player = file.players.front().player;
  read.known = known(*read.player);
  return read;
}

inline std::string one(const std::string& name, const std::string& text) { return by_text({{name, text}}).problems; }

// What is tried where a value is outside of its domain.
inline const std::string outside =
    "  Try: measure again and check the unit; a fitter decides about players outside the range.\n";

}  // namespace lacestay::tests
