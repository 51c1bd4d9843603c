// Recursive binary partition of the space along box edges: the space is cut in two in one column, and each half again,
// until what is asked of each part is plain. For questions that a diagram of all the boxes would be too large to
// answer.
//
// A cut is good where the boxes lie evenly on both its sides, and few lie across, since those are looked at on both
// sides. Where the boxes are the leaves of a decision tree, cuts that no box lies across find the tree again.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "compiler/tables/tables.hpp"

namespace lacestay::compiler {

class BoxPartition {
 public:
  using List = std::vector<std::uint32_t>;  // of boxes, as indices

  // Cuts up the players in `within`. `places` says how many places each column has; no box, nor `within`, has an empty
  // cell. A box across a cut costs as much as `across_weighs` boxes on the larger side. `boxes` must outlive this.
  BoxPartition(std::span<const std::uint32_t> places, std::span<const Box* const> boxes, const Box& within,
               std::size_t across_weighs);

  // The part that is looked at now: in one column, and as a box.
  [[nodiscard]] const Places& part(ColumnId column) const { return part_[column]; }
  [[nodiscard]] Box part() const;
  // Whether a box meets the part; whether it fills it.
  [[nodiscard]] bool meets(std::uint32_t box) const;
  [[nodiscard]] bool fills(std::uint32_t box) const;

  struct Cut {
    ColumnId column = 0;
    std::size_t one_side = 0, other_side = 0, across = 0;  // how many boxes lie there, of those that were sampled
    Places one, other;                                     // what the part holds of the column, in two
  };
  // The cut of least cost for boxes that all meet the part, judged by a sample where they are many. Nothing where each
  // of them fills the part. Cost: the sample's cells, sorted.
  [[nodiscard]] std::optional<Cut> best_cut(const List& boxes);

  // With each half as the part, calls `look` with those of the boxes that meet it, until it returns false.
  template <typename Look>
  bool in_halves(const Cut& cut, const List& boxes, Look look) {
    const auto held = part_[cut.column];
    bool on = true;
    for (const auto* half : {&cut.one, &cut.other}) {
      if (!on) break;
      List met;
      for (const auto box : boxes)
        if (meets(box, cut.column, *half)) met.push_back(box);
      part_[cut.column] = *half;
      on = look(met);
    }
    part_[cut.column] = held;
    return on;
  }

  // The boxes themselves dealt out by a cut, for those who join boxes and leave the part as it is.
  struct Sides {
    List one, other, across;
  };
  [[nodiscard]] Sides sides(const Cut& cut, const List& boxes) const;

 private:
  [[nodiscard]] std::size_t cost(const Cut& cut) const;
  [[nodiscard]] bool meets(std::uint32_t box, ColumnId column, const Places& half) const {
    const auto* places = places_in(*boxes_[box], column);
    return !places || first_shared(*places, half);
  }
  // The best cut of one column, for boxes that don't fill the part along it.
  using Cells = std::vector<const Places*>;
  [[nodiscard]] Cut at_an_edge(ColumnId column, const Cells& closed);
  [[nodiscard]] Cut members_apart(ColumnId column, const Cells& closed) const;

  std::span<const Box* const> boxes_;
  Box within_;
  std::size_t across_weighs_;
  std::vector<Places> part_, whole_;  // by column
  // Working room of one cut: by column the cells of boxes that don't fill the part along it; of one column where they
  // begin and end.
  std::vector<Cells> closed_;
  std::vector<std::uint32_t> firsts_, lasts_;
};

}  // namespace lacestay::compiler
