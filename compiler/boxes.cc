#include "compiler/boxes.hpp"

#include <algorithm>
#include <map>

#include "compiler/reach.hpp"

namespace lacestay::compiler {
namespace {

std::vector<PlaceRange> all_places(const Tables& tables, ColumnId column) {
  return {{0, tables.columns[column].places - 1}};
}

std::vector<PlaceRange> united(std::vector<PlaceRange> places) {
  std::sort(places.begin(), places.end());
  std::vector<PlaceRange> joined;
  for (const auto& range : places) {
    if (!joined.empty() && joined.back().last + 1 >= range.first)
      joined.back().last = std::max(joined.back().last, range.last);
    else
      joined.push_back(range);
  }
  return joined;
}

// Boxes by all their cells but one column's, as numbers that can be compared.
using Rest = std::vector<std::uint32_t>;

Rest rest_of(const Box& box, ColumnId column) {
  Rest rest;
  for (const auto& cell : box) {
    if (cell.column == column) continue;
    rest.push_back(cell.column);
    rest.push_back(static_cast<std::uint32_t>(cell.places.size()));
    for (const auto& range : cell.places) rest.push_back(range.first), rest.push_back(range.last);
  }
  return rest;
}

// Joins all boxes that are alike but for one column; true where there were any.
bool join_along(const Tables& tables, std::vector<Box>& boxes, ColumnId column) {
  std::map<Rest, std::size_t> kept;
  std::vector<Box> out;
  for (auto& box : boxes) {
    const auto [known, fresh] = kept.emplace(rest_of(box, column), out.size());
    if (fresh) {
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
      if (column.worked_out || tables.asked[column.detail].members) {
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

Box around(const Tables& tables, const std::vector<Box>& boxes) {
  std::map<ColumnId, std::vector<PlaceRange>> places;
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

}  // namespace lacestay::compiler
