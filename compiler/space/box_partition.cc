#include "compiler/space/box_partition.hpp"

#include <algorithm>
#include <cassert>

namespace lacestay::compiler {

namespace {

// A bit for each of up to 64 members.
using Bits = std::uint64_t;
constexpr std::size_t most_members = 64;

bool holds(Bits bits, std::size_t i) { return (bits >> i & 1) != 0; }

std::size_t count_of(const Places& places) {
  std::size_t all = 0;
  for (const auto& range : places) all += range.last - range.first + 1;
  return all;
}

// A sample of the boxes: some hundreds tell a good cut as well as all of them do.
BoxPartition::List some_of(const BoxPartition::List& boxes) {
  constexpr std::size_t enough = 256;
  const auto step = (boxes.size() + enough - 1) / enough;
  if (step <= 1) return boxes;
  BoxPartition::List some;
  for (std::size_t i = 0; i < boxes.size(); i += step) some.push_back(boxes[i]);
  return some;
}

}  // namespace

BoxPartition::BoxPartition(std::span<const std::uint32_t> places, std::span<const Box* const> boxes, const Box& within,
                           std::size_t across_weighs)
    : boxes_(boxes), within_(within), across_weighs_(across_weighs) {
  assert(!is_empty(within));
  assert(std::none_of(boxes.begin(), boxes.end(), [](const Box* box) { return is_empty(*box); }));
  for (const auto count : places) part_.push_back({{0, count - 1}});
  for (const auto& cell : within) part_[cell.column] = cell.places;
  whole_ = part_;
  closed_.resize(part_.size());
}

Box BoxPartition::part() const {
  Box box;
  for (std::size_t i = 0; i < part_.size(); ++i) {
    const auto column = static_cast<ColumnId>(i);
    if (part_[i] != whole_[i] || places_in(within_, column)) box.push_back({column, part_[i]});
  }
  return box;
}

bool BoxPartition::meets(std::uint32_t box) const {
  return std::all_of(boxes_[box]->begin(), boxes_[box]->end(),
                     [&](const Cell& cell) { return first_shared(cell.places, part_[cell.column]).has_value(); });
}

bool BoxPartition::fills(std::uint32_t box) const {
  return std::all_of(boxes_[box]->begin(), boxes_[box]->end(),
                     [&](const Cell& cell) { return lie_in(part_[cell.column], cell.places); });
}

BoxPartition::Sides BoxPartition::sides(const Cut& cut, const List& boxes) const {
  Sides sides;
  for (const auto box : boxes) {
    const bool in_one = meets(box, cut.column, cut.one), in_other = meets(box, cut.column, cut.other);
    (in_one && in_other ? sides.across : in_one ? sides.one : sides.other).push_back(box);
  }
  return sides;
}

std::size_t BoxPartition::cost(const Cut& cut) const {
  return std::max(cut.one_side, cut.other_side) + across_weighs_ * cut.across;
}

std::optional<BoxPartition::Cut> BoxPartition::best_cut(const List& all) {
  const auto boxes = some_of(all);
  for (auto& closed : closed_) closed.clear();
  for (const auto box : boxes)
    for (const auto& cell : *boxes_[box])
      if (!lie_in(part_[cell.column], cell.places)) closed_[cell.column].push_back(&cell.places);
  std::optional<Cut> best;
  for (std::size_t i = 0; i < part_.size(); ++i) {
    const auto& closed = closed_[i];
    if (closed.empty()) continue;
    const bool scattered =
        std::any_of(closed.begin(), closed.end(), [](const Places* places) { return places->size() > 1; });
    const auto column = static_cast<ColumnId>(i);
    auto cut =
        scattered && count_of(part_[i]) <= most_members ? members_apart(column, closed) : at_an_edge(column, closed);
    cut.across += boxes.size() - closed.size();
    if (!best || cost(cut) < cost(*best)) best = std::move(cut);
  }
  return best;
}

BoxPartition::Cut BoxPartition::at_an_edge(ColumnId column, const Cells& closed) {
  const auto& held = part_[column];
  auto &firsts = firsts_, &lasts = lasts_;
  firsts.clear(), lasts.clear();
  for (const auto* places : closed) {
    firsts.push_back(std::max(places->front().first, held.front().first));
    lasts.push_back(std::min(places->back().last, held.back().last));
  }
  std::sort(firsts.begin(), firsts.end());
  std::sort(lasts.begin(), lasts.end());
  // At worst nothing is gained: boxes that reach from end to end, with holes between, lie across any edge.
  Cut best{column, 0, 0, closed.size(), {}, {}};
  auto best_last = held.front().first;
  std::size_t ended = 0, begun = 0;
  const auto consider = [&](std::uint32_t last_below) {
    while (ended < lasts.size() && lasts[ended] <= last_below) ++ended;
    while (begun < firsts.size() && firsts[begun] <= last_below) ++begun;
    Cut cut{column, ended, closed.size() - begun, begun - ended, {}, {}};
    if (cost(cut) < cost(best)) best = std::move(cut), best_last = last_below;
  };
  // Just after where a box ends, and just before where one begins, in ascending order.
  for (std::size_t i = 0, k = 0; i < lasts.size() || k < firsts.size();) {
    const bool ends = k == firsts.size() || (i < lasts.size() && lasts[i] < firsts[k]);
    if (ends && lasts[i] < held.back().last) consider(lasts[i]);
    if (!ends && firsts[k] > held.front().first) consider(firsts[k] - 1);
    ends ? ++i : ++k;
  }
  for (const auto& range : held) {
    if (range.first <= best_last) best.one.push_back({range.first, std::min(range.last, best_last)});
    if (range.last > best_last) best.other.push_back({std::max(range.first, best_last + 1), range.last});
  }
  return best;
}

// Members that many boxes hold together stay together: the two groups most often held together are joined, until two
// are left (agglomerative clustering).
BoxPartition::Cut BoxPartition::members_apart(ColumnId column, const Cells& closed) const {
  std::vector<std::uint32_t> members;
  for (const auto& range : part_[column])
    for (auto member = range.first; member <= range.last; ++member) members.push_back(member);
  const auto count = members.size();
  std::vector<Bits> held;                            // by box
  std::vector<std::size_t> together(count * count);  // how many boxes hold both
  for (const auto* places : closed) {
    Bits bits = 0;
    for (std::size_t i = 0; i < count; ++i)
      if (contains(*places, members[i])) bits |= Bits{1} << i;
    held.push_back(bits);
    for (std::size_t i = 0; i < count; ++i)
      for (std::size_t k = 0; holds(bits, i) && k < count; ++k)
        if (i != k && holds(bits, k)) ++together[i * count + k];
  }
  struct Group {
    Bits bits;
    std::size_t at;  // its row in `together`
  };
  std::vector<Group> groups;
  for (std::size_t i = 0; i < count; ++i) groups.push_back({Bits{1} << i, i});
  while (groups.size() > 2) {
    const auto shared = [&](std::size_t i, std::size_t k) { return together[groups[i].at * count + groups[k].at]; };
    std::size_t one = 0, other = 1;
    for (std::size_t i = 0; i < groups.size(); ++i)
      for (std::size_t k = i + 1; k < groups.size(); ++k)
        if (shared(i, k) > shared(one, other)) one = i, other = k;
    const auto kept = groups[one].at, gone = groups[other].at;
    for (std::size_t i = 0; i < count; ++i) {
      together[kept * count + i] += together[gone * count + i];
      together[i * count + kept] = together[kept * count + i];
    }
    groups[one].bits |= groups[other].bits;
    groups.erase(groups.begin() + static_cast<std::ptrdiff_t>(other));
  }
  Cut cut{column, 0, 0, 0, {}, {}};
  for (const auto bits : held)
    ++((bits & groups[0].bits) == 0 ? cut.other_side : (bits & groups[1].bits) == 0 ? cut.one_side : cut.across);
  for (std::size_t i = 0; i < count; ++i)
    append(holds(groups[0].bits, i) ? cut.one : cut.other, {members[i], members[i]});
  return cut;
}

}  // namespace lacestay::compiler
