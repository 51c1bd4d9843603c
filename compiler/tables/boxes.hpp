// Lists of boxes made short: what many paths of a diagram say, said in few boxes a person can read.
#pragma once

#include <functional>
#include <vector>

#include "compiler/tables/tables.hpp"

namespace lacestay::compiler {

// Merges boxes that differ in one column only, until there are none. Precondition and result: boxes are disjoint,
// without cells that hold every place. Greedy, so not the least number of boxes. Cost: boxes times columns a round; few
// rounds.
void join_boxes(const Tables& tables, std::vector<Box>& boxes);

// How much of the space of players a box takes, from 0 to 1: for ordering. Details count as independent, each by its
// values, and worked-out ones by their places.
[[nodiscard]] double share_of(const Tables& tables, const Box& box);

// Whether it is plain, without a search, that somebody is in the box: it has no empty cell, looks at asked details
// only, and nobody is shut out of it.
[[nodiscard]] bool plainly_somebody(const Tables& tables, const Box& box);

// The smallest box around some boxes: in each column the places any of them has.
[[nodiscard]] Box around(const Tables& tables, const std::vector<Box>& boxes);

// The boxes share a place in every column.
[[nodiscard]] bool meet(const Box& a, const Box& b);

// Which boxes belong together, directly or by way of others, as indices; in order of the first of each group. `tied`
// says so of two. Cost: at most a look at every two.
using Tied = std::function<bool(const Box&, const Box&)>;
[[nodiscard]] std::vector<std::vector<std::size_t>> groups_of(const std::vector<Box>& boxes, const Tied& tied);

}  // namespace lacestay::compiler
