// Marks on the later edition's wall charts: what the earlier one said where a field says something else.
//
// Rules are compared row by row, as they are written; what that comes to for a player is the statements' to say.
#pragma once

#include "compiler/compare/difference.hpp"
#include "runtime/chart/wall_chart.hpp"

namespace lacestay::runtime {

// For the tables of the later edition whose answers change: behind a field, the lines "was 35 to 45 flex for weight 35
// kg up to 40 kg" or "new"; below a table, what is no longer there. A line each, without a line end at the last; empty
// where nothing changed. Holds what it needs.
[[nodiscard]] WallMarks changed_marks(const compiler::Difference& difference);

}  // namespace lacestay::runtime
