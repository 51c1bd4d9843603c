// How many edges a value has reached: a bucketed search, in constant time unless edges are crowded.
//
// The range is cut into equal stretches, each a power of two long, and each knows how many edges lie before it; from
// there a compare or two find the place. In a binary search each compare waits for the one before; here none does.
#pragma once

#include <algorithm>
#include <cassert>
#include <cstdint>
#include <limits>
#include <vector>

namespace lacestay::runtime {

class Ruler {
 public:
  Ruler() = default;
  // `edges` ascending; `lowest` and `highest` less than 2^63 apart. Values asked for must lie from the one to the
  // other: one outside reads past the stretches (asserted, see DEVELOPERS.md).
  Ruler(std::vector<std::int64_t> edges, std::int64_t lowest, std::int64_t highest)
      : lowest_(lowest), edges_(std::move(edges)) {
    assert(lowest <= highest && std::is_sorted(edges_.begin(), edges_.end()));
    // One to two times as many stretches as edges: then most hold one edge or none.
    const auto length = static_cast<std::uint64_t>(highest) - static_cast<std::uint64_t>(lowest);
    const auto enough = static_cast<std::uint64_t>(2 * edges_.size());
    while ((length >> shift_) > enough + 1) ++shift_;
    std::uint32_t before = 0;
    for (std::uint64_t stretch = 0; stretch <= length >> shift_; ++stretch) {
      const auto begin = static_cast<std::int64_t>(static_cast<std::uint64_t>(lowest) + (stretch << shift_));
      while (before < edges_.size() && edges_[before] <= begin) ++before;
      before_.push_back(before);
    }
    edges_.push_back(std::numeric_limits<std::int64_t>::max());
  }

  [[nodiscard]] std::uint32_t reached(std::int64_t value) const noexcept {
    const auto stretch = (static_cast<std::uint64_t>(value) - static_cast<std::uint64_t>(lowest_)) >> shift_;
    assert(value >= lowest_ && stretch < before_.size());
    auto index = before_[stretch];
    while (edges_[index] <= value) ++index;
    return index;
  }

 private:
  std::int64_t lowest_ = 0;
  int shift_ = 0;
  std::vector<std::uint32_t> before_;
  std::vector<std::int64_t> edges_;  // and one past them all
};

}  // namespace lacestay::runtime
