// Two editions of a policy over one space: the players both can advise.
//
// Details are matched by name and kind. Of a detail that both editions ask, the shared domain is the intersection of
// both; one that only one edition asks keeps its own domain, since a player of the shared space has a value for it.
// Columns are cut at the edges of both editions (their common refinement), so that every place of either is a union of
// shared ones. Worked-out details with one formula (or one chart) share a column: as two columns, boxes could ask for
// two different values of one number, and no player would be there.
//
// Immutable once made, so threads may share it. README.md beside this file explains the comparison.
#pragma once

#include <array>
#include <optional>
#include <vector>

#include "compiler/space/witness.hpp"
#include "compiler/tables/policy.hpp"

namespace lacestay::compiler {

enum class Side : std::uint8_t { earlier, later };
inline constexpr std::array both_sides{Side::earlier, Side::later};

template <typename Value>
struct OfSides {
  Value earlier{}, later{};
  Value& operator[](Side side) { return side == Side::earlier ? earlier : later; }
  const Value& operator[](Side side) const { return side == Side::earlier ? earlier : later; }
};

class Editions {
 public:
  // Both policies must outlive this. Cost: linear in columns and their edges, not in rows.
  Editions(const Policy& earlier, const Policy& later);

  [[nodiscard]] const Policy& edition(Side side) const { return *editions_[side]; }
  // True where the shared space is empty: no player lies in both editions' domains.
  [[nodiscard]] bool apart() const { return apart_; }

  // The shared space: asked and worked-out details, their columns cut at both editions' edges, and the charts that
  // worked-out details need. It holds no piece, property or rule.
  [[nodiscard]] const Policy& space() const { return space_; }
  // By shared asked detail: its number in an edition that asks it.
  [[nodiscard]] const std::vector<std::optional<std::uint16_t>>& detail_in(Side side) const { return details_[side]; }

  // A cell of an edition as places of a shared column; empty where no shared player is there. Overwrites `out`, and
  // reuses its memory.
  void share(Side side, const Cell& cell, Cell& out) const;
  // The same of a whole box, in the flat form of changed_rows.hpp: cells one after another by shared column, each as
  // the column, how many ranges, and each range's first and last place. Appends to `out`, without cells that hold every
  // place; false where no shared player is there.
  bool add_shared(Side side, const Box& box, std::vector<std::uint32_t>& out) const;
  // A player of the shared space as an edition reads one.
  [[nodiscard]] Readings readings_in(Side side, const Readings& shared) const;

 private:
  [[nodiscard]] const std::vector<Column>& columns() const { return space_.tables.columns; }
  void share_details();
  void add_detail(OfSides<std::optional<std::uint16_t>> from);
  void share_worked_out(Side side);
  [[nodiscard]] std::vector<FormulaStep> share_formula(Side side, const std::vector<FormulaStep>& formula) const;
  [[nodiscard]] std::vector<std::int64_t> meaning_of_chart(Side side, const WorkedOut& detail) const;
  void share_edges();
  void show_edges_as_written();
  void note_what_stays();
  void share_charts();

  OfSides<const Policy*> editions_;
  bool apart_ = false;
  Policy space_;
  OfSides<std::vector<std::optional<std::uint16_t>>> details_;
  OfSides<std::vector<ColumnId>> column_;  // by the edition's column: the shared one
  OfSides<std::vector<Places>> places_;  // by the edition's column and place: the shared places; `last` < `first`: none
  // These spare add_shared work where both editions number places alike.
  OfSides<std::vector<bool>> kept_;  // by the edition's column: its places have the same numbers in the shared column
  OfSides<bool> in_order_;           // the shared columns ascend as the edition's do
  OfSides<std::vector<std::vector<std::uint32_t>>> own_member_;  // by shared asked detail and member
  std::vector<std::pair<Side, std::size_t>> charts_of_;          // by shared worked-out detail: where it comes from
  std::vector<std::vector<std::int64_t>> meanings_;              // of its chart
};

}  // namespace lacestay::compiler
