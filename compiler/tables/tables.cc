#include "compiler/tables/tables.hpp"

#include <algorithm>

namespace lacestay::compiler {

Places shared_places(const Places& a, const Places& b) {
  Places shared;
  for (const auto& x : a)
    for (const auto& y : b)
      if (std::max(x.first, y.first) <= std::min(x.last, y.last))
        shared.push_back({std::max(x.first, y.first), std::min(x.last, y.last)});
  return shared;
}

void append(Places& places, const PlaceRange& range) {
  if (!places.empty() && places.back().last + 1 >= range.first)
    places.back().last = std::max(places.back().last, range.last);
  else
    places.push_back(range);
}

Box shared_box(const Box& a, const Box& b) {
  Box shared;
  auto x = a.begin(), y = b.begin();
  while (x != a.end() || y != b.end()) {
    if (y == b.end() || (x != a.end() && x->column < y->column))
      shared.push_back(*x++);
    else if (x == a.end() || y->column < x->column)
      shared.push_back(*y++);
    else
      shared.push_back({x->column, shared_places(x->places, y->places)}), ++x, ++y;
  }
  return shared;
}

bool is_empty(const Box& box) {
  return std::any_of(box.begin(), box.end(), [](const Cell& cell) { return cell.places.empty(); });
}

std::vector<bool> Tables::asked_under(const Table& table) const {
  std::vector<bool> under(asked.size());
  for (const auto column : table.columns) each_asked_under(column, [&](std::uint16_t detail) { under[detail] = true; });
  return under;
}

std::vector<bool> Tables::asked_under(const Box& box) const {
  std::vector<bool> under(asked.size());
  for (const auto& cell : box) each_asked_under(cell.column, [&](std::uint16_t detail) { under[detail] = true; });
  return under;
}

std::vector<std::uint32_t> Column::members_in(const std::vector<PlaceRange>& ranges, std::size_t members) const {
  std::vector<std::uint32_t> in;
  for (const auto& range : ranges) {
    std::uint32_t first = range.first, last = range.last;
    if (worked_out) {
      first = range.first == 0 ? 0 : static_cast<std::uint32_t>(cuts[range.first - 1].at);
      last = static_cast<std::uint32_t>(range.last < cuts.size() ? cuts[range.last].at - 1 : members - 1);
    }
    for (auto member = first; member <= last; ++member) in.push_back(member);
  }
  return in;
}

std::vector<std::uint32_t> Tables::place_counts() const {
  std::vector<std::uint32_t> counts;
  for (const auto& column : columns) counts.push_back(column.places);
  return counts;
}

}  // namespace lacestay::compiler
