// Players written as a players file has them, with today's answers filled in.
#pragma once

#include <string>
#include <vector>

#include "compiler/space/witness.hpp"
#include "runtime/engine/engine.hpp"

namespace lacestay::runtime {

// A player with all details, who leaves with today's answers of these tables . What a players file can't say is left
// out: what the policy does not answer, answers of a piece that is not in the kit, and that a caution is silent where
// another of the same words speaks. Ends with a line end.
[[nodiscard]] std::string player_text(const Engine& engine, const std::string& name, const std::string& text,
                                      const compiler::Readings& player, const std::vector<TableId>& answers);

// A text without double quotes, so that it can stand in them.
[[nodiscard]] std::string without_quotes(std::string text);

}  // namespace lacestay::runtime
