// The rows of both editions that apply where they may differ, and which of them apply together. Inner to compiler/.
//
// They stand in the shared space as one table, so that what reduces its columns (with_fewer_columns) reduces theirs,
// and are found again there by their order: rows first, then the boxes among which they are told apart.
#pragma once

#include <functional>
#include <vector>

#include "compiler/compare/changed_rows.hpp"
#include "compiler/space/row_sets.hpp"

namespace lacestay::compiler {

class GatheredRows {
 public:
  // Adds those rows of one answer's tables that meet one of the boxes; what is asked of it below is called the answer's
  // `part`, counted from 0 in the order of these calls.
  void add(const ChangedRows& all, const ChangedRows::Tables& tables, const std::vector<ChangedRows::Pair>& rows);
  // Puts all that was added into the space, and then the boxes; once, with one box at least.
  void put_into(Tables& space, const std::vector<Box>& where);
  // Nothing was put anywhere: no box was changed.
  [[nodiscard]] bool empty() const { return !table_; }

  // The boxes, without those that no player could be in.
  [[nodiscard]] std::vector<Box> where(const Tables& space) const;

  // A set of rows that apply, as `apart` hands it out; of these the ones of a part in an edition, ascending.
  using Rows = RowSets::Rows;
  [[nodiscard]] Rows of(const Rows& applying, std::uint32_t part, Side side) const;
  // Among these boxes, the diagram of what `terminal` says of the rows of parts from `first` to `last` that apply; 0
  // outside. `terminal` is asked once for a set of rows in each box; where boxes overlap it says the same of the same
  // rows, or 0.
  [[nodiscard]] Diagrams::Node apart(const Tables& space, Diagrams& store, const std::vector<Box>& where,
                                     std::uint32_t first, std::uint32_t last,
                                     const std::function<std::uint32_t(const Rows&)>& terminal) const;
  // All rows that apply where each column has the first of these places.
  [[nodiscard]] Rows at(const Tables& space, std::span<const PlaceRange> places) const;

 private:
  struct Origin {
    std::uint32_t part;
    ChangedRows::Pair row;
  };

  std::vector<Origin> origins_;
  std::vector<Box> boxes_;  // of `origins_`, until they are put into the space
  std::uint32_t parts_ = 0;
  std::optional<TableId> table_;
};

}  // namespace lacestay::compiler
