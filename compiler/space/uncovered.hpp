// Who is in none of some boxes, found by recursive partition of the space (box_partition.hpp): a part that one box
// fills is done, and a part that no box meets is uncovered. Where the boxes are the leaves of a decision tree, the work
// is about the rows times the depth; where most players are uncovered the first are found at once. Work is counted in
// boxes looked at, so the answer never depends on the machine.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "compiler/tables/tables.hpp"

namespace lacestay::compiler {

struct Uncovered {
  std::vector<Box> boxes;  // apart; all there are, where `complete`
  std::size_t looked_at = 0;
  bool complete = true;  // false: as many as were wanted, or the work ran out
};

// Among the players `within`. Neither it nor a box has an empty cell.
[[nodiscard]] Uncovered uncovered(const Tables& tables, std::span<const Box* const> boxes, const Box& within,
                                  std::size_t most_found, std::size_t most_looked_at);

}  // namespace lacestay::compiler
