#include "compiler/uncovered.hpp"

#include <algorithm>
#include <optional>
#include <utility>

namespace lacestay::compiler {
namespace {

using Places = std::vector<PlaceRange>;

bool meet(const Places& a, const Places& b) {
  for (std::size_t i = 0, k = 0; i < a.size() && k < b.size();) {
    if (a[i].first <= b[k].last && b[k].first <= a[i].last) return true;
    a[i].last < b[k].last ? ++i : ++k;
  }
  return false;
}

bool lie_in(const Places& inner, const Places& outer) {
  return std::all_of(inner.begin(), inner.end(), [&](const PlaceRange& range) {
    return std::any_of(outer.begin(), outer.end(),
                       [&](const PlaceRange& held) { return held.first <= range.first && range.last <= held.last; });
  });
}

bool contains(const Places& places, std::uint32_t place) { return meet(places, {{place, place}}); }

const Places* places_in(const Box& box, ColumnId column) {
  const auto cell = std::lower_bound(box.begin(), box.end(), column,
                                     [](const Cell& each, ColumnId sought) { return each.column < sought; });
  return cell != box.end() && cell->column == column ? &cell->places : nullptr;
}

class Parting {
 public:
  Parting(const Tables& tables, const Box& within, std::size_t most_found, std::size_t most_looked_at)
      : most_found_(most_found), most_looked_at_(most_looked_at) {
    for (const auto& column : tables.columns) region_.push_back({{0, column.places - 1}});
    for (const auto& cell : within) region_[cell.column] = cell.places;
    whole_ = region_;
    within_ = within;
  }

  Uncovered run(std::vector<const Box*> boxes) {
    std::erase_if(boxes, [&](const Box* box) { return !meets(*box); });
    found_.complete = part(boxes);
    return std::move(found_);
  }

 private:
  using Boxes = std::vector<const Box*>;
  // A column's places in two. It costs the boxes on the larger side, and many times over those that lie across, which
  // are looked at on both sides: a table cut out of a tree has a cut that nothing lies across, even if it isn't even.
  struct Cut {
    ColumnId column;
    Places one, other;
    std::size_t cost;
  };
  static constexpr std::size_t across_weighs = 16;

  bool meets(const Box& box) const {
    return std::all_of(box.begin(), box.end(),
                       [&](const Cell& cell) { return meet(cell.places, region_[cell.column]); });
  }
  bool fills(const Box& box) const {
    return std::all_of(box.begin(), box.end(),
                       [&](const Cell& cell) { return lie_in(region_[cell.column], cell.places); });
  }

  // False where the search ends. All `boxes` meet the region.
  bool part(const Boxes& boxes) {
    if (boxes.empty()) {
      found_.boxes.push_back(region());
      return found_.boxes.size() < most_found_;
    }
    if (std::any_of(boxes.begin(), boxes.end(), [&](const Box* box) { return fills(*box); })) return true;
    looked_at_ += boxes.size();
    if (looked_at_ > most_looked_at_) return false;
    const auto cut = best_cut(boxes);
    auto held = std::exchange(region_[cut.column], {});
    bool on = true;
    for (const auto* side : {&cut.one, &cut.other}) {
      if (!on) break;
      Boxes met;
      for (const auto* box : boxes) {
        const auto* places = places_in(*box, cut.column);
        if (!places || meet(*places, *side)) met.push_back(box);
      }
      region_[cut.column] = *side;
      on = part(met);
    }
    region_[cut.column] = std::move(held);
    return on;
  }

  Box region() const {
    Box box;
    for (std::size_t column = 0; column < region_.size(); ++column)
      if (region_[column] != whole_[column] || places_in(within_, static_cast<ColumnId>(column)))
        box.push_back({static_cast<ColumnId>(column), region_[column]});
    return box;
  }

  // None of the boxes fills the region, so some column can be cut.
  Cut best_cut(const Boxes& boxes) {
    std::optional<Cut> best;
    for (ColumnId column = 0; column < region_.size(); ++column) {
      const auto& held = region_[column];
      bool scattered = false;
      Boxes closed;  // those that don't fill the region along this column
      for (const auto* box : boxes) {
        const auto* places = places_in(*box, column);
        if (!places || lie_in(held, *places)) continue;
        closed.push_back(box);
        scattered = scattered || places->size() > 1;
      }
      if (closed.empty()) continue;
      constexpr std::size_t most_members = 64;
      std::size_t members = 0;
      for (const auto& range : held) members += range.last - range.first + 1;
      auto cut = scattered && members <= most_members ? members_apart(column, closed) : at_an_edge(column, closed);
      cut.cost += across_weighs * (boxes.size() - closed.size());
      if (!best || cut.cost < best->cost) best = std::move(cut);
    }
    return std::move(*best);
  }

  Cut at_an_edge(ColumnId column, const Boxes& boxes) {
    const auto& held = region_[column];
    firsts_.clear(), lasts_.clear();
    for (const auto* box : boxes) {
      const auto& places = *places_in(*box, column);
      firsts_.push_back(std::max(places.front().first, held.front().first));
      lasts_.push_back(std::min(places.back().last, held.back().last));
    }
    std::sort(firsts_.begin(), firsts_.end());
    std::sort(lasts_.begin(), lasts_.end());
    std::optional<std::pair<std::size_t, std::uint32_t>> best;
    const auto consider = [&](std::uint32_t last_below) {
      if (last_below >= held.back().last) return;
      const auto below =
          static_cast<std::size_t>(std::upper_bound(lasts_.begin(), lasts_.end(), last_below) - lasts_.begin());
      const auto above =
          static_cast<std::size_t>(firsts_.end() - std::upper_bound(firsts_.begin(), firsts_.end(), last_below));
      const auto cost = std::max(below, above) + across_weighs * (boxes.size() - below - above);
      if (!best || cost < best->first) best = {cost, last_below};
    };
    for (std::size_t i = 0; i < boxes.size(); ++i) {
      if (i == 0 || lasts_[i] != lasts_[i - 1]) consider(lasts_[i]);
      if (firsts_[i] > held.front().first && (i == 0 || firsts_[i] != firsts_[i - 1])) consider(firsts_[i] - 1);
    }
    // Where each box reaches from end to end, with holes between: anywhere.
    if (!best) best = {across_weighs * boxes.size(), held.front().first};
    const auto [cost, last_below] = *best;
    Cut cut{column, {}, {}, cost};
    for (const auto& range : held) {
      if (range.first <= last_below) cut.one.push_back({range.first, std::min(range.last, last_below)});
      if (range.last > last_below) cut.other.push_back({std::max(range.first, last_below + 1), range.last});
    }
    return cut;
  }

  // Members that many boxes hold together stay together: the two groups most often held together are joined, until
  // two are left.
  Cut members_apart(ColumnId column, const Boxes& boxes) {
    std::vector<std::uint32_t> members;
    for (const auto& range : region_[column])
      for (auto member = range.first; member <= range.last; ++member) members.push_back(member);
    const auto count = members.size();
    std::vector<std::uint64_t> held;  // by box, a bit for each of `members`
    std::vector<std::size_t> together(count * count);
    for (const auto* box : boxes) {
      std::uint64_t bits = 0;
      for (std::size_t i = 0; i < count; ++i)
        if (contains(*places_in(*box, column), members[i])) bits |= std::uint64_t{1} << i;
      held.push_back(bits);
      for (std::size_t i = 0; i < count; ++i)
        for (std::size_t k = 0; k < count; ++k)
          if (i != k && (bits >> i & 1) != 0 && (bits >> k & 1) != 0) ++together[i * count + k];
    }
    std::vector<std::uint64_t> groups;
    std::vector<std::size_t> at;  // a group's row in `together`
    for (std::size_t i = 0; i < count; ++i) groups.push_back(std::uint64_t{1} << i), at.push_back(i);
    while (groups.size() > 2) {
      std::size_t one = 0, other = 1;
      for (std::size_t i = 0; i < groups.size(); ++i)
        for (std::size_t k = i + 1; k < groups.size(); ++k)
          if (together[at[i] * count + at[k]] > together[at[one] * count + at[other]]) one = i, other = k;
      for (std::size_t i = 0; i < count; ++i) {
        together[at[one] * count + i] += together[at[other] * count + i];
        together[i * count + at[one]] = together[at[one] * count + i];
      }
      groups[one] |= groups[other];
      groups.erase(groups.begin() + static_cast<std::ptrdiff_t>(other));
      at.erase(at.begin() + static_cast<std::ptrdiff_t>(other));
    }
    std::size_t one = 0, other = 0, across = 0;
    for (const auto bits : held) ++((bits & groups[0]) == 0 ? other : (bits & groups[1]) == 0 ? one : across);
    Cut cut{column, {}, {}, std::max(one, other) + across_weighs * across};
    for (std::size_t i = 0; i < count; ++i) {
      auto& side = (groups[0] >> i & 1) != 0 ? cut.one : cut.other;
      if (!side.empty() && side.back().last + 1 == members[i])
        side.back().last = members[i];
      else
        side.push_back({members[i], members[i]});
    }
    return cut;
  }

  std::size_t most_found_, most_looked_at_, looked_at_ = 0;
  std::vector<Places> region_, whole_;  // by column
  Box within_;
  Uncovered found_;
  std::vector<std::uint32_t> firsts_, lasts_;
};

}  // namespace

Uncovered uncovered(const Tables& tables, const std::vector<const Box*>& boxes, const Box& within,
                    std::size_t most_found, std::size_t most_looked_at) {
  return Parting(tables, within, most_found, most_looked_at).run(boxes);
}

}  // namespace lacestay::compiler
