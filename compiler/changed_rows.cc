#include "compiler/changed_rows.hpp"

#include <algorithm>
#include <set>
#include <string_view>
#include <unordered_map>

namespace lacestay::compiler {
namespace {

std::uint64_t mixed(std::uint64_t hash, std::uint64_t with) {
  hash ^= with + 0x9E3779B97F4A7C15u + (hash << 6) + (hash >> 2);
  return hash * 0xFF51AFD7ED558CCDu ^ hash >> 32;
}

// A box as cells one after another.
std::vector<std::uint32_t> flat(const Box& box) {
  std::vector<std::uint32_t> cells;
  for (const auto& cell : box) {
    cells.push_back(cell.column);
    cells.push_back(static_cast<std::uint32_t>(cell.places.size()));
    for (const auto& range : cell.places) cells.push_back(range.first), cells.push_back(range.last);
  }
  return cells;
}

using Cells = std::span<const std::uint32_t>;

bool share_a_place(const std::uint32_t* a, const std::uint32_t* b) {
  for (std::uint32_t i = 0; i < a[1]; ++i)
    for (std::uint32_t k = 0; k < b[1]; ++k)
      if (a[2 + 2 * i] <= b[3 + 2 * k] && b[2 + 2 * k] <= a[3 + 2 * i]) return true;
  return false;
}

bool meet(Cells a, Cells b) {
  const auto *x = a.data(), *y = b.data(), *x_end = x + a.size(), *y_end = y + b.size();
  while (x != x_end && y != y_end) {
    if (*x == *y && !share_a_place(x, y)) return false;
    const auto column = std::min(*x, *y);
    if (*x == column) x += 2 + 2 * x[1];
    if (y != y_end && *y == column) y += 2 + 2 * y[1];
  }
  return true;
}

// Every place of `inner` lies in `outer`.
bool lies_in(const Box& inner, const Box& outer) {
  return std::all_of(outer.begin(), outer.end(), [&](const Cell& cell) {
    const auto* held = places_in(inner, cell.column);
    return held && lie_in(*held, cell.places);
  });
}

// Without those that lie in others.
void drop_inner(std::vector<Box>& boxes) {
  std::vector<Box> kept;
  for (auto& box : boxes) {
    if (std::any_of(kept.begin(), kept.end(), [&](const Box& other) { return lies_in(box, other); })) continue;
    std::erase_if(kept, [&](const Box& other) { return lies_in(other, box); });
    kept.push_back(std::move(box));
  }
  boxes = std::move(kept);
}

}  // namespace

void ChangedRows::read(Side side, const Table& table, std::span<const std::int64_t> meaning) {
  Read read{side, &table, {}, {}, {}};
  const auto means = [&](std::int64_t step) {
    return step >= 0 && static_cast<std::size_t>(step) < meaning.size() ? meaning[static_cast<std::size_t>(step)]
                                                                        : step;
  };
  Box cells;
  for (const auto& row : table.rows) {
    FlatRow one{read.cells.size(), 0, 0, true};
    cells.resize(std::max(cells.size(), row.box.size()));
    for (std::size_t i = 0; i < row.box.size(); ++i) editions_.share(side, row.box[i], cells[i]);
    std::sort(cells.begin(), cells.begin() + static_cast<std::ptrdiff_t>(row.box.size()),
              [](const auto& a, const auto& b) { return a.column < b.column; });
    for (std::size_t i = 0; i < row.box.size(); ++i) {
      const auto& cell = cells[i];
      one.met = one.met && !cell.places.empty();
      if (editions_.whole(cell)) continue;
      read.cells.push_back(cell.column);
      read.cells.push_back(static_cast<std::uint32_t>(cell.places.size()));
      for (const auto& range : cell.places) read.cells.push_back(range.first), read.cells.push_back(range.last);
    }
    one.last = read.cells.size();
    read.answers.emplace_back(means(row.low), means(row.high));
    auto hash = mixed(static_cast<std::uint64_t>(row.effect), row.safety ? 1 : 0);
    hash = mixed(mixed(hash, static_cast<std::uint64_t>(read.answers.back().first)),
                 static_cast<std::uint64_t>(read.answers.back().second));
    for (auto at = one.first; at < one.last; ++at) hash = mixed(hash, read.cells[at]);
    one.content = hash;
    read.rows.push_back(one);
  }
  read_.insert_or_assign(&table, std::move(read));
}

void ChangedRows::pair(const Table& earlier, const Table& later) { pairs_.emplace_back(&earlier, &later); }

void ChangedRows::match_rules() {
  const auto& earlier = editions_.edition(Side::earlier).rules;
  const auto& later = editions_.edition(Side::later).rules;
  other_.earlier.resize(earlier.size());
  other_.later.resize(later.size());
  const auto match = [&](RuleId a, RuleId b) { other_.earlier[a] = b, other_.later[b] = a; };
  std::unordered_map<std::string_view, RuleId> by_name;
  for (RuleId rule = 0; rule < earlier.size(); ++rule) by_name.emplace(earlier[rule].name, rule);
  for (RuleId rule = 0; rule < later.size(); ++rule)
    if (const auto known = by_name.find(later[rule].name); known != by_name.end()) match(known->second, rule);
  // All that a rule says, whatever the order of its rows.
  OfSides<std::vector<std::uint64_t>> all;
  for (const auto side : both_sides) all[side].resize(other_[side].size());
  for (std::size_t i = 0; i < pairs_.size(); ++i) {
    for (const auto* table : {pairs_[i].first, pairs_[i].second}) {
      const auto& read = of(table);
      for (std::size_t row = 0; row < read.rows.size(); ++row)
        if (read.rows[row].met) all[read.side][table->rows[row].rule] += mixed(read.rows[row].content, i + 1);
    }
  }
  std::unordered_map<std::uint64_t, RuleId> by_rows;
  for (RuleId rule = 0; rule < earlier.size(); ++rule)
    if (!other_.earlier[rule] && all.earlier[rule] != 0) by_rows.emplace(all.earlier[rule], rule);
  for (RuleId rule = 0; rule < later.size(); ++rule) {
    const auto known = other_.later[rule] ? by_rows.end() : by_rows.find(all.later[rule]);
    if (known == by_rows.end()) continue;
    match(known->second, rule);
    by_rows.erase(known);
  }
}

std::vector<std::pair<RuleId, RuleId>> ChangedRows::matched() const {
  std::vector<std::pair<RuleId, RuleId>> rules;
  for (RuleId rule = 0; rule < other_.later.size(); ++rule)
    if (other_.later[rule]) rules.emplace_back(*other_.later[rule], rule);
  return rules;
}

bool ChangedRows::equal(const Read& earlier, std::uint32_t a, const Read& later, std::uint32_t b) const {
  const auto& x = earlier.table->rows[a];
  const auto& y = later.table->rows[b];
  const auto first = earlier.cells_of(a), second = later.cells_of(b);
  return other_.earlier[x.rule] == y.rule && x.effect == y.effect && x.safety == y.safety &&
         earlier.answers[a] == later.answers[b] && std::equal(first.begin(), first.end(), second.begin(), second.end());
}

// Every row some shared player meets: in pairs where both editions have it.
std::vector<ChangedRows::Pair> ChangedRows::matched_rows(const Tables& tables) const {
  std::vector<Pair> rows;
  std::unordered_multimap<std::uint64_t, std::uint32_t> waiting;
  const auto* earlier = tables.earlier ? &of(tables.earlier) : nullptr;
  if (earlier)
    for (std::uint32_t row = 0; row < earlier->rows.size(); ++row)
      if (earlier->rows[row].met) waiting.emplace(earlier->rows[row].content, row);
  if (tables.later) {
    const auto& later = of(tables.later);
    for (std::uint32_t row = 0; row < later.rows.size(); ++row) {
      if (!later.rows[row].met) continue;
      Pair one{{}, row};
      auto [first, last] = waiting.equal_range(later.rows[row].content);
      const auto found =
          std::find_if(first, last, [&](const auto& each) { return equal(*earlier, each.second, later, row); });
      if (found != last) {
        one.earlier = found->second;
        waiting.erase(found);
      }
      rows.push_back(one);
    }
  }
  const auto paired = rows.size();
  for (const auto& [content, row] : waiting) rows.push_back({row, {}});
  std::sort(rows.begin() + static_cast<std::ptrdiff_t>(paired), rows.end(),
            [](const Pair& a, const Pair& b) { return a.earlier < b.earlier; });
  return rows;
}

Box ChangedRows::box(const Tables& tables, const Pair& row) const {
  const auto side = row.later ? Side::later : Side::earlier;
  Box box;
  const auto cells = of(tables[side]).cells_of(*row[side]);
  for (std::size_t at = 0; at < cells.size(); at += 2 + 2 * cells[at + 1]) {
    Cell cell{static_cast<ColumnId>(cells[at]), {}};
    for (std::uint32_t i = 0; i < cells[at + 1]; ++i)
      cell.places.push_back({cells[at + 2 + 2 * i], cells[at + 3 + 2 * i]});
    box.push_back(std::move(cell));
  }
  return box;
}

std::vector<ChangedRows::Pair> ChangedRows::overlapping(const Tables& tables, const std::vector<Pair>& rows,
                                                        const std::vector<Box>& where) const {
  std::vector<std::vector<std::uint32_t>> boxes;
  for (const auto& box : where) boxes.push_back(flat(box));
  std::vector<Pair> out;
  for (const auto& row : rows) {
    const auto side = row.later ? Side::later : Side::earlier;
    const auto cells = of(tables[side]).cells_of(*row[side]);
    if (std::any_of(boxes.begin(), boxes.end(), [&](const auto& box) { return meet(cells, box); })) out.push_back(row);
  }
  return out;
}

// An outranks that one edition alone has acts only where the rule that yields applies.
void ChangedRows::add_outranks(const Tables& tables, std::vector<Box>& where) const {
  if (!tables.earlier || !tables.later) return;
  std::set<std::pair<RuleId, RuleId>> earlier, later;  // in the later edition's rules
  for (const auto& [over, under] : tables.earlier->outranks)
    if (other_.earlier[over] && other_.earlier[under]) earlier.emplace(*other_.earlier[over], *other_.earlier[under]);
  for (const auto& [over, under] : tables.later->outranks)
    if (other_.later[over] && other_.later[under]) later.emplace(over, under);
  std::set<RuleId> yielding;
  for (const auto& pair : earlier)
    if (later.count(pair) == 0) yielding.insert(pair.second);
  for (const auto& pair : later)
    if (earlier.count(pair) == 0) yielding.insert(pair.second);
  if (yielding.empty()) return;
  const auto& read = of(tables.later);
  for (std::uint32_t row = 0; row < read.rows.size(); ++row)
    if (read.rows[row].met && yielding.count(tables.later->rows[row].rule) != 0)
      where.push_back(box(tables, {{}, row}));
}

ChangedRows::Found ChangedRows::changed(const Tables& tables, bool everywhere) const {
  Found found;
  const auto rows = matched_rows(tables);
  if (everywhere) return {{Box{}}, rows};
  for (const auto& row : rows)
    if (!row.earlier || !row.later) found.where.push_back(box(tables, row));
  add_outranks(tables, found.where);
  if (found.where.empty()) return found;
  drop_inner(found.where);
  found.near = overlapping(tables, rows, found.where);
  return found;
}

std::vector<ChangedRows::Pair> ChangedRows::near(const Tables& tables, const std::vector<Box>& where) const {
  return overlapping(tables, matched_rows(tables), where);
}

}  // namespace lacestay::compiler
