// Column elimination: the tables as the engine and the proof want them, with as few worked-out columns as can be.
//
// A worked-out detail that rests on one asked detail and is monotone in it (trend.hpp) is the same as edges of that
// asked detail, rounding and all: the preimage of each of its edges is found there by bisection, exactly. Two
// worked-out details with the same formula share a column. What is left worked out mostly rests on several details, and
// is settled together with them (branch_and_prune.hpp).
#pragma once

#include "compiler/tables/tables.hpp"

namespace lacestay::compiler {

// Tables with the same rows in the same order, saying the same about every player, over such columns. A row that no
// player could meet may have an empty cell afterwards: who hands its box to this room's partitions or diagrams leaves
// it out.
[[nodiscard]] Tables with_fewer_columns(const Tables& tables);

}  // namespace lacestay::compiler
