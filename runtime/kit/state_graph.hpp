// The state graph of a node: how many lines each required application still needs, and what the items taken leave to
// the pieces linked to theirs, piece by piece.
//
// A layered directed graph, one layer before each piece and one at the end; a state is one count for each need, and one
// allowance (links.hpp) for each piece to come that a piece before is linked to. A layer holds only the states that the
// pieces before it can lead to and that the pieces from it on can still meet. Where several deals count the lines of
// one make, these are few beside the product of the counts, which an earlier version allocated in full.
#pragma once

#include <cstdint>
#include <vector>

#include "runtime/kit/links.hpp"
#include "runtime/kit/work.hpp"

namespace lacestay::runtime {

class KitStateGraph {
 public:
  static constexpr std::uint32_t unmet = 0xFFFF'FFFF;

  struct Need {
    std::size_t lines;
    std::int64_t multiplier = 0;  // for each missing line; of the node's Lagrangian bound, or 0
  };
  struct Kind {
    std::uint64_t lowers;   // the needs an item of this kind lowers by one: bit n for needs[n]
    std::int64_t cost = 0;  // the least rated cost of its items
    std::uint32_t link_class = 0;
  };
  // `kinds` by piece. A step is left out where its cost so far, the multipliers of the lines still missing, and the
  // Lagrangian bound of the rest are together above `at_most`. Throws KitWork::Ended where the budget ends, or where
  // the counts and allowances do not fit 127 bits. Cost: states times kinds, and for each class of items and allowance
  // the classes of the piece it is left to.
  KitStateGraph(const std::vector<Need>& needs, const std::vector<std::vector<Kind>>& kinds, const KitLinks& links,
                std::int64_t at_most, KitWork& work);

  // States are numbered layer by layer: where the layer before this piece begins, and its size. The first layer is one
  // state, 0; the last (piece = number of pieces) is one state, all needs met, or empty: no kit meets them.
  [[nodiscard]] std::size_t first(std::size_t piece) const { return first_[piece]; }
  [[nodiscard]] std::size_t states(std::size_t piece) const { return first_[piece + 1] - first_[piece]; }
  [[nodiscard]] std::size_t all() const { return first_.back(); }
  // By state of the layer before the piece: the state that an item of this kind leads to, counted within the next
  // layer, or `unmet` where that can't meet all needs or is left out.
  [[nodiscard]] const std::uint32_t* after(std::size_t piece, std::size_t kind) const {
    return after_[piece].data() + kind * states(piece);
  }

 private:
  std::vector<std::size_t> first_;                 // by piece, with the end's and one past it
  std::vector<std::vector<std::uint32_t>> after_;  // by piece: kind by kind
};

}  // namespace lacestay::runtime
