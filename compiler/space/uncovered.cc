#include "compiler/space/uncovered.hpp"

#include <algorithm>

#include "compiler/space/box_partition.hpp"

namespace lacestay::compiler {
namespace {

// A cut that no box lies across is worth much unevenness: else the work doubles again and again.
constexpr std::size_t across_weighs = 16;

class Search {
 public:
  Search(const Tables& tables, std::span<const Box* const> boxes, const Box& within, std::size_t most_found,
         std::size_t most_looked_at)
      : space_(tables.place_counts(), boxes, within, across_weighs),
        most_found_(most_found),
        most_looked_at_(most_looked_at) {}

  Uncovered run(std::size_t boxes) {
    BoxPartition::List met;
    for (std::uint32_t box = 0; box < boxes; ++box)
      if (space_.meets(box)) met.push_back(box);
    found_.looked_at = boxes;
    found_.complete = found_.looked_at <= most_looked_at_ && part(met);
    return std::move(found_);
  }

 private:
  // False where the search ends. All `boxes` meet the part.
  bool part(const BoxPartition::List& boxes) {
    if (boxes.empty()) {
      found_.boxes.push_back(space_.part());
      return found_.boxes.size() < most_found_;
    }
    found_.looked_at += boxes.size();
    if (found_.looked_at > most_looked_at_) return false;
    if (std::any_of(boxes.begin(), boxes.end(), [&](auto box) { return space_.fills(box); })) return true;
    return space_.in_halves(*space_.best_cut(boxes), boxes, [&](const BoxPartition::List& met) { return part(met); });
  }

  BoxPartition space_;
  std::size_t most_found_, most_looked_at_;
  Uncovered found_;
};

}  // namespace

Uncovered uncovered(const Tables& tables, std::span<const Box* const> boxes, const Box& within, std::size_t most_found,
                    std::size_t most_looked_at) {
  return Search(tables, boxes, within, most_found, most_looked_at).run(boxes.size());
}

}  // namespace lacestay::compiler
