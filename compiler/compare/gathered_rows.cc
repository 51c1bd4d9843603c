#include "compiler/compare/gathered_rows.hpp"

#include <algorithm>
#include <set>
#include <unordered_map>

#include "compiler/tables/boxes.hpp"

namespace lacestay::compiler {

void GatheredRows::add(const ChangedRows& all, const ChangedRows::Tables& tables,
                       const std::vector<ChangedRows::Pair>& rows) {
  for (const auto& row : rows) {
    origins_.push_back({parts_, row});
    boxes_.push_back(all.box(tables, row));
  }
  ++parts_;
}

void GatheredRows::put_into(Tables& space, const std::vector<Box>& where) {
  Table shared;
  std::set<ColumnId> columns;
  const auto add = [&](Box box) {
    for (const auto& cell : box) columns.insert(cell.column);
    shared.rows.push_back({std::move(box), Effect::base, false, 0, 0, 0, 0});
  };
  for (auto& box : boxes_) add(std::move(box));
  for (const auto& box : where) add(box);
  boxes_.clear();
  shared.columns.assign(columns.begin(), columns.end());
  table_ = static_cast<TableId>(space.tables.size());
  space.tables.push_back(std::move(shared));
}

std::vector<Box> GatheredRows::where(const Tables& space) const {
  std::vector<Box> boxes;
  const auto& rows = space.tables[*table_].rows;
  for (auto at = origins_.size(); at < rows.size(); ++at)
    if (!is_empty(rows[at].box)) boxes.push_back(rows[at].box);
  return boxes;
}

GatheredRows::Rows GatheredRows::of(const Rows& applying, std::uint32_t part, Side side) const {
  Rows own;
  for (const auto row : applying)
    if (origins_[row].part == part && origins_[row].row[side]) own.push_back(*origins_[row].row[side]);
  std::sort(own.begin(), own.end());
  return own;
}

Diagrams::Node GatheredRows::apart(const Tables& space, Diagrams& store, const std::vector<Box>& where,
                                   std::uint32_t first, std::uint32_t last,
                                   const std::function<std::uint32_t(const Rows&)>& terminal) const {
  const auto& rows = space.tables[*table_].rows;
  std::vector<Diagrams::Node> parts;
  for (const auto& within : where) {
    std::vector<Box> boxes;
    Rows numbers;
    for (std::uint32_t row = 0; row < origins_.size(); ++row) {
      const auto part = origins_[row].part;
      if (part < first || part > last || is_empty(rows[row].box) || !meet(rows[row].box, within)) continue;
      boxes.push_back(shared_box(rows[row].box, within));
      numbers.push_back(row);
    }
    RowSets sets;
    store.forget_applied();
    const auto applying = sets.diagram(store, boxes);
    store.forget_applied();
    std::unordered_map<std::uint32_t, std::uint32_t> known;
    parts.push_back(store.apply(applying, store.box(within), [&](std::uint32_t set, std::uint32_t inside) {
      if (inside == 0) return 0u;
      const auto [found, fresh] = known.emplace(set, 0);
      if (fresh) {
        Rows own;
        for (const auto row : sets.all()[set]) own.push_back(numbers[row]);
        found->second = terminal(own);
      }
      return found->second;
    }));
  }
  store.forget_applied();
  while (parts.size() > 1) {
    std::vector<Diagrams::Node> pairs;
    for (std::size_t i = 0; i + 1 < parts.size(); i += 2)
      pairs.push_back(
          store.apply(parts[i], parts[i + 1], [](std::uint32_t a, std::uint32_t b) { return a != 0 ? a : b; }));
    if (parts.size() % 2 != 0) pairs.push_back(parts.back());
    parts = std::move(pairs);
  }
  store.forget_applied();
  return parts.front();
}

GatheredRows::Rows GatheredRows::at(const Tables& space, std::span<const PlaceRange> places) const {
  Rows applying;
  const auto& rows = space.tables[*table_].rows;
  for (std::uint32_t row = 0; row < origins_.size(); ++row)
    if (std::all_of(rows[row].box.begin(), rows[row].box.end(),
                    [&](const Cell& cell) { return contains(cell.places, places[cell.column].first); }))
      applying.push_back(row);
  return applying;
}

}  // namespace lacestay::compiler
