// What sample players never touch: rows, outranks and edges of a policy, and players who would touch them.
//
// A row is touched where it applies to a player who has the piece; an outranks where both its rules do. An edge is
// touched from both sides: one player meets the row it belongs to, and another would, but lies just past the edge.
#pragma once

#include <string>
#include <vector>

#include "runtime/rehearse/rehearsal.hpp"

namespace lacestay::runtime {

// The wall charts with what nobody touches marked, and then players who together would touch it. Players with blanks
// touch only what is certain for them.
[[nodiscard]] std::string text_of(const Engine& engine, const std::vector<SamplePlayer>& players);

}  // namespace lacestay::runtime
