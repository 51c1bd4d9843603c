// The report on planted slips, as a text and as JSON, and the players who would notice what went unnoticed.
#pragma once

#include <nlohmann/json.hpp>
#include <string>

#include "runtime/rehearse/slip_run.hpp"

namespace lacestay::runtime {

// Counts by what became of the slips, then each one that went unnoticed, with a player who would notice unless it is on
// the shelf. `noticing` are
// the players who notice those.
[[nodiscard]] std::string text_of(const Engine& engine, const SlipRun& run, const Noticing& noticing);
[[nodiscard]] nlohmann::ordered_json json_of(const Engine& engine, const SlipRun& run);

// Those players as a players file, with today's answers. `path` is what it says its policy is called.
[[nodiscard]] std::string missing_players(const Engine& engine, const SlipRun& run, const Noticing& noticing,
                                          const std::string& path);

}  // namespace lacestay::runtime
