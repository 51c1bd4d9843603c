// The program run as a process on a small shop's policy and players, and what a refusal owes.
#pragma once

#include <catch2/catch.hpp>
#include <string>
#include <utility>
#include <vector>

#include "tests/support/places.hpp"
#include "tests/support/process.hpp"

namespace lacestay::tests {

inline Ran run_lacestay(std::vector<std::string> words, const Way& way = {}) {
  words.insert(words.begin(), program());
  return run_program(words, way);
}

inline bool holds(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

// What every refusal owes: its exit code, nothing on standard output, and these words on standard error.
inline void refused(const Ran& ran, int code, const std::string& message) {
  CHECK(ran.code == code);
  CHECK(ran.out == "");
  CHECK(ran.err == message);
}

// Three pieces, a chart, and rules that set, need and suggest.
inline const char* const shop_text = R"(policy "Corner shop"
edition 2, in force from 1 September 2026 to 31 August 2027
money GBP

ask age     4 to 90 years, whole
ask weight  12 to 180 kg
ask skill   grades new, league   may change
ask hand    choice left, right   may be left blank

piece stick always "Stick"
  toe    choice round, square
  curve  choice left, right
piece neck_guard optional "Neck guard"
piece kit_bag optional "Kit bag"

rule usual_toe
  set stick toe to round
  because "Learn on it."
rule board_play
  set stick toe to square
  for skill league, weight over 40 kg
  outranks usual_toe
  because "Digs a puck off the boards."
chart curve_chart gives stick curve
  down hand
    left:   left
    right:  right
rule young_neck
  need neck_guard
  for age under 18
  because "Cuts can kill."
  safety
rule carry
  suggest kit_bag
  for age at least 18
)";

// Two players of it, to whom all holds.
inline const char* const players_text = R"(players of "shop.fitting"

player kim "Kim, nine"
  age 9 years, weight 30 kg, skill new, hand left
  leaves with stick toe round
  leaves with neck_guard needed
  leaves without kit_bag

player lou
  age 30, weight 80 kg, skill league
  owns neck guard
  leaves with stick toe square
  leaves with kit_bag
)";

}  // namespace lacestay::tests
