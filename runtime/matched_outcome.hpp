// What an edition's engine says of an answer that two editions are compared by. Inner to runtime/.
#pragma once

#include <optional>

#include "compiler/difference.hpp"
#include "runtime/engine.hpp"

namespace lacestay::runtime {

// For the player a scratch holds. A piece an edition lacks is not in the kit, a caution it lacks is silent; a property
// has an outcome only where the player has its piece.
[[nodiscard]] std::optional<Outcome> outcome_of(const Engine& engine, const compiler::MatchedAnswer& answer,
                                                compiler::Side side, const Engine::Scratch& scratch);

}  // namespace lacestay::runtime
