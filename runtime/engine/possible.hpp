// Answers for a player whose details are not all known: the set of answers he could still get.
//
// A detail left blank stands for all its values. Where a table looks only at details that are known or can vary
// freely, the answers are exact at once. Where a worked-out detail rests on a blank one, they are sought by interval
// branch and prune over the blanks (branch_and_prune.hpp): a part whose every place is settled adds its answers, a part
// that can add no new one, by its bounds, is pruned, and of any other a point is tried before it is split. The work is
// bounded; where the bound ends it, answers that could not be ruled out are included, and the result says that it is
// not exact.
//
// A property is answered for those who have its piece, so its answers are those of completions that have it. Whether
// they have it and what they get is asked of them together.
#pragma once

#include <vector>

#include "runtime/engine/engine.hpp"
#include "runtime/player/player.hpp"

namespace lacestay::runtime {

struct Possible {
  std::vector<ClassId> classes;  // ascending; never none
  bool exact = true;
  // Of a property: false where no completion has its piece. Its classes are then those of all completions, and nothing
  // turns on them.
  bool concerns = true;
};

// The piece is in the kit; or its rules clash, and nobody can say that it is not.
[[nodiscard]] constexpr bool may_be_in_kit(Standing standing) {
  return compiler::in_kit(standing) || standing == Standing::clash;
}

// What a table could answer; every class that some completion of the player gets, of a property some completion that
// has its piece, is among them. With all details known: the one class. `player` has a reading, or a blank, for each
// asked detail.
[[nodiscard]] Possible possible_answers(const Engine& engine, TableId table, const Player& player);
// The same for every table that answers, in order.
[[nodiscard]] std::vector<Possible> possible_answers(const Engine& engine, const Player& player);

// How many different outcomes are among the classes of a table.
[[nodiscard]] std::size_t different_outcomes(const Engine& engine, TableId table, const std::vector<ClassId>& classes);

// Of the details not known, the one whose taking leaves the fewest answers in the worst case, summed over all
// tables. The worst case is sought among one value for each of the detail's places and at least eight spread over its
// range. Nothing where every answer is certain.
struct NextDetail {
  std::size_t detail;
  std::size_t left;  // answers left in the worst case, beyond one for each table
};
[[nodiscard]] std::optional<NextDetail> next_to_take(const Engine& engine, const Player& player,
                                                     const std::vector<Possible>& possible);

}  // namespace lacestay::runtime
