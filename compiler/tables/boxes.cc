#include "compiler/tables/boxes.hpp"

#include <algorithm>
#include <map>
#include <numeric>
#include <unordered_map>

#include "compiler/tables/places.hpp"

namespace lacestay::compiler {
namespace {

Places all_places(const Tables& tables, ColumnId column) { return {{0, tables.columns[column].places - 1}}; }

Places united(Places places) {
  std::sort(places.begin(), places.end());
  Places joined;
  for (const auto& range : places) append(joined, range);
  return joined;
}

bool same(const Cell& a, const Cell& b) { return a.column == b.column && a.places == b.places; }

// Whether two boxes are alike in all cells but one column's, and a number that is the same where they are.
bool alike_but(const Box& a, const Box& b, ColumnId column) {
  auto x = a.begin(), y = b.begin();
  for (;;) {
    if (x != a.end() && x->column == column) ++x;
    if (y != b.end() && y->column == column) ++y;
    if (x == a.end() || y == b.end()) return x == a.end() && y == b.end();
    if (!same(*x++, *y++)) return false;
  }
}
std::uint64_t hash_but(const Box& box, ColumnId column) {
  std::uint64_t hash = 0;
  const auto add = [&](std::uint64_t value) { hash = (hash ^ value) * 0x9E3779B97F4A7C15u + (hash >> 29); };
  for (const auto& cell : box) {
    if (cell.column == column) continue;
    add(cell.column);
    for (const auto& range : cell.places) add(std::uint64_t{range.first} << 32 | range.last);
  }
  return hash;
}

// Joins all boxes that are alike but for one column; true where there were any.
bool join_along(const Tables& tables, std::vector<Box>& boxes, ColumnId column) {
  std::unordered_multimap<std::uint64_t, std::size_t> kept;
  kept.reserve(boxes.size());
  std::vector<Box> out;
  for (auto& box : boxes) {
    const auto hash = hash_but(box, column);
    const auto [first, last] = kept.equal_range(hash);
    const auto known =
        std::find_if(first, last, [&](const auto& other) { return alike_but(out[other.second], box, column); });
    if (known == last) {
      kept.emplace(hash, out.size());
      out.push_back(std::move(box));
      continue;
    }
    auto& joined = out[known->second];
    const auto holds = [&](const Cell& cell) { return cell.column == column; };
    const auto mine = std::find_if(joined.begin(), joined.end(), holds);
    const auto more = std::find_if(box.begin(), box.end(), holds);
    // Boxes that lie apart and are alike elsewhere both have a cell here.
    auto places = mine->places;
    places.insert(places.end(), more->places.begin(), more->places.end());
    mine->places = united(std::move(places));
    if (mine->places == all_places(tables, column)) joined.erase(mine);
  }
  const bool any = out.size() < boxes.size();
  boxes = std::move(out);
  return any;
}

}  // namespace

void join_boxes(const Tables& tables, std::vector<Box>& boxes) {
  for (bool again = boxes.size() > 1; again;) {
    again = false;
    std::vector<ColumnId> columns;
    for (const auto& box : boxes)
      for (const auto& cell : box) columns.push_back(cell.column);
    std::sort(columns.begin(), columns.end());
    columns.erase(std::unique(columns.begin(), columns.end()), columns.end());
    for (const auto column : columns) again = join_along(tables, boxes, column) || again;
  }
}

double share_of(const Tables& tables, const Box& box) {
  double share = 1;
  for (const auto& cell : box) {
    const auto& column = tables.columns[cell.column];
    double held = 0, all = column.places;
    for (const auto& range : cell.places) {
      if (column.worked_out || tables.has_members(cell.column)) {
        held += range.last - range.first + 1;
        continue;
      }
      const auto values = values_in(tables, column.detail, range);
      const auto& domain = tables.asked[column.detail];
      held += static_cast<double>(values.high - values.low + domain.grain);
      all = static_cast<double>(domain.highest - domain.lowest + domain.grain);
    }
    share *= held / all;
  }
  return share;
}

bool plainly_somebody(const Tables& tables, const Box& box) {
  const auto in_doubt = [&](const Cell& cell) { return cell.places.empty() || tables.columns[cell.column].worked_out; };
  if (std::any_of(box.begin(), box.end(), in_doubt)) return false;
  return std::none_of(tables.shut_out.begin(), tables.shut_out.end(),
                      [&](const ShutOut& each) { return meet(box, each.box); });
}

Box around(const Tables& tables, const std::vector<Box>& boxes) {
  std::map<ColumnId, Places> places;
  std::map<ColumnId, std::size_t> holders;
  for (const auto& box : boxes)
    for (const auto& cell : box) {
      auto& held = places[cell.column];
      held.insert(held.end(), cell.places.begin(), cell.places.end());
      ++holders[cell.column];
    }
  Box out;
  for (auto& [column, held] : places) {
    auto joined = united(std::move(held));
    if (holders[column] == boxes.size() && joined != all_places(tables, column))
      out.push_back({column, std::move(joined)});
  }
  return out;
}

bool meet(const Box& a, const Box& b) {
  for (auto x = a.begin(), y = b.begin(); x != a.end() && y != b.end();) {
    if (x->column != y->column) {
      x->column < y->column ? ++x : ++y;
      continue;
    }
    if (!first_shared(x->places, y->places)) return false;
    ++x, ++y;
  }
  return true;
}

std::vector<std::vector<std::size_t>> groups_of(const std::vector<Box>& boxes, const Tied& tied) {
  std::vector<std::size_t> leader(boxes.size());
  std::iota(leader.begin(), leader.end(), 0);
  const auto find = [&](std::size_t i) {
    while (leader[i] != i) i = leader[i] = leader[leader[i]];
    return i;
  };
  for (std::size_t i = 0; i < boxes.size(); ++i)
    for (std::size_t k = 0; k < i; ++k)
      if (const auto a = find(i), b = find(k); a != b && tied(boxes[i], boxes[k]))
        leader[std::max(a, b)] = std::min(a, b);
  std::map<std::size_t, std::vector<std::size_t>> by_leader;
  for (std::size_t i = 0; i < boxes.size(); ++i) by_leader[find(i)].push_back(i);
  std::vector<std::vector<std::size_t>> groups;
  for (auto& [first, group] : by_leader) groups.push_back(std::move(group));
  return groups;
}

}  // namespace lacestay::compiler
