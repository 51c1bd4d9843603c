// Policies of many rules from a seed, for timing the proof and the comparison: tables cut out of a random decision tree
// and then perturbed or edited, and rules that each look at a few of many details.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace lacestay::bench {

struct CaseColumn {
  bool numeric;
  std::uint32_t values;  // whole numbers, or (at most 64) members: 0 to values - 1
};

// Which values of a column a row takes.
struct CaseCell {
  std::uint32_t low, high;  // numeric; both belong
  std::uint64_t members;    // else; a bit for each
};

struct CaseTable {
  std::vector<CaseColumn> columns;
  std::vector<std::vector<CaseCell>> rows;
  std::vector<std::uint32_t> answers;  // by row, a grade from 0 to 3; where there are none, row i's is i modulo 4

  [[nodiscard]] bool open(std::size_t column, const CaseCell& cell) const;  // the row leaves the column open
  [[nodiscard]] std::uint32_t answer(std::size_t row) const {
    return answers.empty() ? static_cast<std::uint32_t>(row % 4) : answers[row];
  }
};

// The policy that says the same: one piece with a property of four grades for each table, one `set` rule a row. The
// tables share their columns.
[[nodiscard]] std::string policy_of(const std::vector<CaseTable>& tables);
// The name of a row's rule there.
[[nodiscard]] std::string rule_name(std::size_t table, std::size_t row);

// The leaves of a random decision tree, `rows` of them: they cover every player once.
[[nodiscard]] CaseTable decision_tree(std::uint64_t seed, std::size_t rows, std::size_t columns);

// The same perturbed: in a tenth of the rows, drawn at random, one edge is moved, an end of a range of numbers by up to
// a twentieth of all values, or one member more or less.
[[nodiscard]] CaseTable perturbed_tree(std::uint64_t seed, std::size_t rows, std::size_t columns);

// A decision tree with some of its rows edited as an owner would, so that it still covers every player once: every
// other edit moves an edge between two neighbours, by up to a twentieth of all values; the others change a row's
// answer.
[[nodiscard]] CaseTable edited_tree(CaseTable tree, std::uint64_t seed, std::size_t edits);

// Rows that each constrain three columns, drawn at random, and leave all others open. A constrained cell takes one side
// of a drawn edge; or, where `percent` is given, so much of its column's values, wherever they lie.
[[nodiscard]] CaseTable mostly_any(std::uint64_t seed, std::size_t rows, std::size_t columns,
                                   std::optional<std::uint32_t> percent = std::nullopt);

}  // namespace lacestay::bench
