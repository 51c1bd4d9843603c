// Which of some boxes meet, found without a look at every two of them: the space is partitioned (box_partition.hpp)
// until few boxes are left in a part, or no cut tells them apart, and those are compared two by two. Work is counted,
// so the answer never depends on the machine.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <utility>
#include <vector>

#include "compiler/tables/tables.hpp"

namespace lacestay::compiler {

struct Meeting {
  std::vector<std::pair<std::uint32_t, std::uint32_t>> pairs;  // as indices, the lower first; each once, ascending
  bool complete = true;                                        // false: the work ran out
};

// `boxes` without empty cells. `most_compared` bounds the pairs compared; one that meets counts as many times as what
// is done with it costs.
[[nodiscard]] Meeting meeting(const Tables& tables, std::span<const Box* const> boxes, std::size_t most_compared);

}  // namespace lacestay::compiler
