// From the checker's draft to decision tables: edges are collected and numbered, conditions become boxes of
// places, and the rows that speak about one answer are put into one table.
#pragma once

#include "compiler/check/checker.hpp"

namespace lacestay::compiler {

// Fills policy.tables.tables, the columns' cuts and the claims' boxes. The draft must be free of errors. A row no
// value of a column can meet is left out.
void lower(Checker& draft);

}  // namespace lacestay::compiler
