// What an edition's engine says of an answer that two editions are compared by. Inner to runtime/.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "compiler/compare/difference.hpp"
#include "runtime/engine/engine.hpp"
#include "runtime/player/player.hpp"

namespace lacestay::runtime {

// For the player a scratch holds. A piece an edition lacks is not in the kit, a caution it lacks is silent; a property
// has an outcome only where the player has its piece.
[[nodiscard]] std::optional<Outcome> outcome_of(const Engine& engine, const compiler::MatchedAnswer& answer,
                                                compiler::Side side, const Engine::Scratch& scratch);

// All that are possible for a player some of whose details are blank; none of a property whose piece he can't have.
[[nodiscard]] std::vector<Outcome> possible_outcomes(const Engine& engine, const compiler::MatchedAnswer& answer,
                                                     compiler::Side side, const Player& player);

// An outcome in words, for any outcome of the answer in that edition: "55 to 75 flex", "not a piece of the kit".
[[nodiscard]] std::string text_of(const compiler::Policy& policy, const compiler::MatchedAnswer& answer,
                                  compiler::Side side, const Outcome& outcome);

}  // namespace lacestay::runtime
