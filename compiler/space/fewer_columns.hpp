// The tables as the engine and the proof want them: as few worked-out columns as can be.
//
// A worked-out detail that rests on one asked detail and only ever rises (or falls) with it is the same as edges of
// that asked detail, rounding and all: each of its edges is found there by halving, exactly. Two worked-out details
// with the same formula share a column. What is left worked out rests on several details, and is settled together
// with them (witness.hpp).
#pragma once

#include "compiler/tables/tables.hpp"

namespace lacestay::compiler {

// Tables with the same rows in the same order, saying the same about every player, over such columns. A row that
// lost its last place on the way (no player could meet it) has an empty cell, which every reader here takes as such.
[[nodiscard]] Tables with_fewer_columns(const Tables& tables);

}  // namespace lacestay::compiler
