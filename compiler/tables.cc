#include "compiler/tables.hpp"

#include <algorithm>

namespace lacestay::compiler {

std::vector<PlaceRange> shared_places(const std::vector<PlaceRange>& a, const std::vector<PlaceRange>& b) {
  std::vector<PlaceRange> shared;
  for (const auto& x : a)
    for (const auto& y : b)
      if (std::max(x.first, y.first) <= std::min(x.last, y.last))
        shared.push_back({std::max(x.first, y.first), std::min(x.last, y.last)});
  return shared;
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

}  // namespace lacestay::compiler
