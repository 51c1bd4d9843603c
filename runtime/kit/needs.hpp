// How many lines each earned application still lacks, piece by piece.
//
// Before each piece, the states are those the pieces before it can lead to and the ones from it on can still meet:
// where several deals count the lines of one make, these are few beside the product of the counts.
#pragma once

#include <cstdint>
#include <vector>

#include "runtime/kit/work.hpp"

namespace lacestay::runtime {

class KitNeeds {
 public:
  static constexpr std::uint32_t unmet = 0xFFFF'FFFF;

  struct Need {
    std::size_t lines;
    std::int64_t charge = 0;  // for each line lacking
  };
  struct Kind {
    std::uint64_t lowers;   // the needs an item of this kind lowers by one, bit n for needs[n]
    std::int64_t cost = 0;  // the least it can be
  };
  // `kinds` by piece. What costs above `at_most` with what the rest and the lines lacking are charged is left out.
  // Throws KitWork::Ended too where the counts do not fit 128 bits.
  KitNeeds(const std::vector<Need>& needs, const std::vector<std::vector<Kind>>& kinds, std::int64_t at_most,
           KitWork& work);

  // Of all the states of all pieces, where those before this piece begin. Before the first there is one; after the last
  // there is one, nothing lacking, or none.
  [[nodiscard]] std::size_t first(std::size_t piece) const { return first_[piece]; }
  [[nodiscard]] std::size_t states(std::size_t piece) const { return first_[piece + 1] - first_[piece]; }
  [[nodiscard]] std::size_t all() const { return first_.back(); }
  // By state before the piece: the state after it with an item of this kind, counted within its own, or `unmet`.
  [[nodiscard]] const std::uint32_t* after(std::size_t piece, std::size_t kind) const {
    return after_[piece].data() + kind * states(piece);
  }

 private:
  std::vector<std::size_t> first_;                 // by piece, with the end's and one past it
  std::vector<std::vector<std::uint32_t>> after_;  // by piece: kind by kind
};

}  // namespace lacestay::runtime
