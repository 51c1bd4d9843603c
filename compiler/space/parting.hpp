// The space of players parted in two, and each half again, along the edges of some boxes, until what is asked of each
// part is plain. For what a diagram of all the boxes would be too large to tell. Inner to compiler/.
//
// A cut is good where the boxes lie on both its sides evenly, and few lie across, which are looked at on both sides.
// Where the boxes are the leaves of a decision tree, cuts that none lies across find the tree again.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "compiler/tables/tables.hpp"

namespace lacestay::compiler {

class Parting {
 public:
  using List = std::vector<std::uint32_t>;  // of boxes, as indices

  // Parts the players in `within`, a box without empty cells. Each box across a cut costs as much as `across_weighs`
  // on the larger side.
  Parting(const Tables& tables, std::span<const Box* const> boxes, const Box& within, std::size_t across_weighs);

  // The part that is looked at now: in one column, and as a box.
  [[nodiscard]] const Places& part(ColumnId column) const { return part_[column]; }
  [[nodiscard]] Box part() const;
  // Whether a box meets the part; whether it fills it.
  [[nodiscard]] bool meets(std::uint32_t box) const;
  [[nodiscard]] bool fills(std::uint32_t box) const;

  struct Cut {
    ColumnId column = 0;
    std::size_t one_side = 0, other_side = 0, across = 0;  // boxes, of those that were asked
    Places one, other;                                     // what the part holds of the column, in two
  };
  // The boxes must all meet the part. Of many only some are asked. Nothing where each of them fills the part.
  [[nodiscard]] std::optional<Cut> best_cut(const List& boxes);
  // With each half as the part, calls `look` with those of the boxes that meet it, until it returns false.
  template <typename Look>
  bool in_halves(const Cut& cut, const List& boxes, Look look) {
    const auto held = part_[cut.column];
    bool on = true;
    for (const auto* half : {&cut.one, &cut.other}) {
      if (!on) break;
      List met;
      for (const auto box : boxes) {
        const auto* places = places_in(*boxes_[box], cut.column);
        if (!places || first_shared(*places, *half)) met.push_back(box);
      }
      part_[cut.column] = *half;
      on = look(met);
    }
    part_[cut.column] = held;
    return on;
  }

 private:
  [[nodiscard]] std::size_t cost(const Cut& cut) const;
  // The best cut of one column, for boxes that don't fill the part along it.
  using Cells = std::vector<const Places*>;
  [[nodiscard]] Cut at_an_edge(ColumnId column, const Cells& closed);
  [[nodiscard]] Cut members_apart(ColumnId column, const Cells& closed) const;

  std::span<const Box* const> boxes_;
  Box within_;
  std::size_t across_weighs_;
  std::vector<Places> part_, whole_;  // by column
  // Of one cut: by column the cells of boxes that don't fill the part along it; of one column where they begin and end.
  std::vector<Cells> closed_;
  std::vector<std::uint32_t> firsts_, lasts_;
};

}  // namespace lacestay::compiler
