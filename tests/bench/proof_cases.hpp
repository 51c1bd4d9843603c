// Policies of many rules from a seed, for timing the proof: tables cut out of a random decision tree and then
// perturbed, and rules that each look at a few of many details.
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

  [[nodiscard]] bool open(std::size_t column, const CaseCell& cell) const;  // the row leaves the column open
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

// Rows that each constrain three columns, drawn at random, and leave all others open. A constrained cell takes one side
// of a drawn edge; or, where `percent` is given, so much of its column's values, wherever they lie.
[[nodiscard]] CaseTable mostly_any(std::uint64_t seed, std::size_t rows, std::size_t columns,
                                   std::optional<std::uint32_t> percent = std::nullopt);

}  // namespace lacestay::bench
