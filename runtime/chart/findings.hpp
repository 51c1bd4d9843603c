// What a proof found, in an owner's words: what is wrong, for whom, where, and what would mend it.
#pragma once

#include <vector>

#include "compiler/proof/proof.hpp"
#include "grammar/text/diagnostic.hpp"
#include "runtime/engine/engine.hpp"

namespace lacestay::runtime {

// One diagnostic for each finding, in the proof's order. Every player named has been run through the engine first
// and shows what is said of him; throws std::logic_error if one does not, which would be a fault of this program.
[[nodiscard]] std::vector<Problem> told(const Engine& engine, const compiler::Proof& proof);

// A box as conditions the language reads: "weight at least 60 kg, weight under 75 kg, skill new", exactly. Empty for
// all players. Of a measure it takes one range. `tables` are those the box is numbered by.
[[nodiscard]] std::string as_conditions(const compiler::Policy& policy, const compiler::Tables& tables,
                                        const compiler::Box& box);

}  // namespace lacestay::runtime
