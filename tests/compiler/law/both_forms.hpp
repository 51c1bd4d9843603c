// Both forms of the law beside each other: `decide` of the rows that apply to a player, and the sets of players of
// Regions, over every small table there is.
//
// A table has up to four rows, each of a rule of its own. Row i applies in one of the two places of column i, so that
// for every subset of the rows there is just one player to whom they apply. The rows are every multiset of what a
// table's rows can say: of a number or a band with three steps (four rows at once: with two and no safety floors, but
// all where LACESTAY_WHOLE is set), of a piece of each presence. Who outranks whom is every closed order between their
// rules. Beside these: properties of a piece that not everybody has, and two rows of one rule, which lie apart.
#pragma once

#include <cstddef>
#include <map>
#include <string>

namespace lacestay::law {

struct Tally {
  struct Counts {
    std::size_t tables = 0, players = 0, comparisons = 0;
  };
  std::map<std::string, Counts> counts;  // by kind of table
  std::string first_difference;          // the table, the players and what is said of them; empty where none differs

  // A line for each kind of table.
  [[nodiscard]] std::string told() const;
};

// Compares until something differs.
[[nodiscard]] Tally compare_forms();

}  // namespace lacestay::law
