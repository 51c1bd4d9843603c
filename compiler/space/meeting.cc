#include "compiler/space/meeting.hpp"

#include <algorithm>
#include <set>

#include "compiler/space/box_partition.hpp"

namespace lacestay::compiler {
namespace {

constexpr std::size_t few = 32;  // boxes of which every two are soon compared
constexpr std::size_t across_weighs = 4;
constexpr std::size_t to_report_one = 20;  // comparisons that cost as much as what is done with a pair that meets

class Search {
 public:
  Search(const Tables& tables, std::span<const Box* const> boxes, std::size_t most_compared)
      : space_(tables.place_counts(), boxes, {}, across_weighs), boxes_(boxes), most_compared_(most_compared) {
    for (const auto* box : boxes)
      for (const auto& cell : *box) columns_.insert(cell.column);
  }

  Meeting run() {
    BoxPartition::List all;
    for (std::uint32_t box = 0; box < boxes_.size(); ++box) all.push_back(box);
    found_.complete = part(all);
    std::sort(found_.pairs.begin(), found_.pairs.end());
    return std::move(found_);
  }

 private:
  bool part(const BoxPartition::List& boxes) {
    if (boxes.size() <= few) return compare(boxes);
    const auto cut = space_.best_cut(boxes);
    if (!cut) return compare(boxes);
    // A part's cost is the square of its boxes: a cut whose halves cost nearly as much as the whole gains nothing.
    const auto one = cut->one_side + cut->across, other = cut->other_side + cut->across;
    const auto all = one + cut->other_side;
    if (10 * (one * one + other * other) > 9 * all * all) return compare(boxes);
    return space_.in_halves(*cut, boxes, [&](const BoxPartition::List& met) { return part(met); });
  }

  bool compare(const BoxPartition::List& boxes) {
    for (std::size_t i = 0; i < boxes.size(); ++i)
      for (std::size_t k = i + 1; k < boxes.size(); ++k) {
        if (++compared_ > most_compared_) return false;
        if (!meet_first_here(*boxes_[boxes[i]], *boxes_[boxes[k]])) continue;
        found_.pairs.emplace_back(boxes[i], boxes[k]);
        compared_ += to_report_one;
      }
    return true;
  }

  // Two boxes may share places in several parts: the pair is reported only in the part that holds its first shared
  // cell, the one of the first shared place in each column.
  bool meet_first_here(const Box& a, const Box& b) const {
    auto x = a.begin(), y = b.begin();
    for (const auto column : columns_) {
      const bool of_a = x != a.end() && x->column == column, of_b = y != b.end() && y->column == column;
      const auto first = of_a && of_b ? first_shared(x->places, y->places)
                         : of_a       ? x->places.front().first
                         : of_b       ? y->places.front().first
                                      : 0;
      if (!first || !contains(space_.part(column), *first)) return false;
      x += of_a ? 1 : 0, y += of_b ? 1 : 0;
    }
    return true;
  }

  BoxPartition space_;
  std::span<const Box* const> boxes_;
  std::set<ColumnId> columns_;  // that any box looks at; no other is ever cut
  std::size_t most_compared_, compared_ = 0;
  Meeting found_;
};

}  // namespace

Meeting meeting(const Tables& tables, std::span<const Box* const> boxes, std::size_t most_compared) {
  return Search(tables, boxes, most_compared).run();
}

}  // namespace lacestay::compiler
