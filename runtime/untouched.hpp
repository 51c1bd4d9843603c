// What sample players never touch: rows, outranks and edges of a policy, and players who would touch them.
//
// A row is touched where it applies to a player who has the piece; an outranks where both its rules do. An edge is
// touched from both sides: one player meets the row it belongs to, and another would, but lies just past the edge.
#pragma once

#include <string>
#include <vector>

#include "runtime/engine.hpp"
#include "runtime/rehearsal.hpp"

namespace lacestay::runtime {

struct Untouched {
  struct Edge {
    TableId table;
    std::uint32_t row;
    compiler::ColumnId column;
    std::uint32_t cut;  // of the column's cuts
  };
  std::vector<std::vector<bool>> rows;  // by table that answers, by row: true where no player touches it
  std::vector<std::vector<std::pair<compiler::RuleId, compiler::RuleId>>> outranks;  // by table
  std::vector<Edge> edges;  // one for each rule, column and cut
  std::size_t all_rows = 0, all_outranks = 0, all_edges = 0;

  [[nodiscard]] std::size_t untouched_rows() const;
  [[nodiscard]] std::size_t untouched_outranks() const;
};

// Players with blanks touch only what is certain for them.
[[nodiscard]] Untouched untouched_by(const Engine& engine, const std::vector<SamplePlayer>& players);

// The wall charts with what nobody touches marked, and then players who together would touch it.
[[nodiscard]] std::string text_of(const Engine& engine, const std::vector<SamplePlayer>& players);

}  // namespace lacestay::runtime
