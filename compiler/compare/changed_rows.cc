#include "compiler/compare/changed_rows.hpp"

#include <algorithm>
#include <bit>
#include <set>
#include <string_view>
#include <unordered_map>
#include <utility>

#include "compiler/law/law.hpp"

namespace lacestay::compiler {
namespace {

std::uint64_t mixed(std::uint64_t hash, std::uint64_t with) {
  hash = (hash ^ with) * 0x9E3779B97F4A7C15u;
  return hash ^ hash >> 32;
}

// A box in the flat form: cells one after another.
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

// Boxes as bounding intervals, stored column by column, so that one loop rules out, for all boxes at once, those that a
// row can't meet; only the others are compared exactly. Most rows of a large table meet no changed box.
class Spans {
 public:
  Spans(std::size_t columns, const std::vector<Box>& boxes)
      : count_(boxes.size()), first_(columns * count_, 0), last_(columns * count_, ~std::uint32_t{0}), near_(count_) {
    for (std::size_t i = 0; i < count_; ++i) {
      boxes_.push_back(flat(boxes[i]));
      for (const auto& cell : boxes[i]) {
        first_[cell.column * count_ + i] = cell.places.front().first;
        last_[cell.column * count_ + i] = cell.places.back().last;
      }
    }
  }

  bool any_meets(Cells row) {
    std::fill(near_.begin(), near_.end(), std::uint8_t{1});
    for (std::size_t at = 0; at < row.size(); at += 2 + 2 * row[at + 1]) {
      const auto first = row[at + 2], last = row[at + 1 + 2 * row[at + 1]];
      const auto *begins = &first_[row[at] * count_], *ends = &last_[row[at] * count_];
      for (std::size_t i = 0; i < count_; ++i)
        near_[i] = static_cast<std::uint8_t>(near_[i] & (begins[i] <= last) & (first <= ends[i]));
    }
    for (std::size_t i = 0; i < count_; ++i)
      if (near_[i] != 0 && meet(row, boxes_[i])) return true;
    return false;
  }

 private:
  std::size_t count_;
  std::vector<std::uint32_t> first_, last_;
  std::vector<std::uint8_t> near_;
  std::vector<std::vector<std::uint32_t>> boxes_;
};

// Every place of `inner` lies in `outer`.
bool lies_in(const Box& inner, const Box& outer) {
  return std::all_of(outer.begin(), outer.end(), [&](const Cell& cell) {
    const auto* held = places_in(inner, cell.column);
    return held && lie_in(*held, cell.places);
  });
}

// Drops boxes that lie in others. Quadratic.
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

std::int64_t means(std::span<const std::int64_t> meaning, std::int64_t step) {
  if (!leaves_open(step)) return meaning[static_cast<std::size_t>(step)];
  MemberSet members = 0;
  for (std::size_t place = 0; place < meaning.size(); ++place)
    if (has_member(members_of(step), static_cast<std::int64_t>(place))) members |= MemberSet{1} << meaning[place];
  return ~static_cast<std::int64_t>(members);
}

void ChangedRows::read(Side side, const Table& table, std::span<const std::int64_t> meaning) {
  Read read{side, &table, {}, {}, {}};
  const auto meant = [&](std::int64_t step) {
    const bool known = leaves_open(step) ? !meaning.empty() : static_cast<std::size_t>(step) < meaning.size();
    return known ? means(meaning, step) : step;
  };
  // Where a step leads is for the scale to say, so by two scales a step is not the same.
  std::uint64_t scale = meaning.size();
  for (const auto value : meaning) scale = mixed(scale, static_cast<std::uint64_t>(value));
  read.rows.reserve(table.rows.size());
  read.answers.reserve(table.rows.size());
  for (const auto& row : table.rows) {
    FlatRow one{read.cells.size(), 0, 0, true};
    one.met = editions_.add_shared(side, row.box, read.cells);
    one.last = read.cells.size();
    if (moves_base(row.effect))
      read.answers.emplace_back(row.low, static_cast<std::int64_t>(scale));
    else
      read.answers.emplace_back(meant(row.low), meant(row.high));
    auto hash = mixed(static_cast<std::uint64_t>(row.effect), (row.safety ? 1u : 0u) + (row.binds ? 2u : 0u));
    hash = mixed(mixed(hash, static_cast<std::uint64_t>(read.answers.back().first)),
                 static_cast<std::uint64_t>(read.answers.back().second));
    // Two numbers at a time: a flat cell always has an even count of them.
    for (auto at = one.first; at < one.last; at += 2)
      hash = mixed(hash, std::uint64_t{read.cells[at]} << 32 | read.cells[at + 1]);
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
  bool all_matched = true;
  for (RuleId rule = 0, next = 0; rule < later.size(); ++rule, ++next) {
    // Editions mostly list rules in the same order, so the one after the last match is tried before the map is built.
    if (next < earlier.size() && !other_.earlier[next] && earlier[next].name == later[rule].name) {
      match(next, rule);
      continue;
    }
    if (by_name.empty())
      for (RuleId each = 0; each < earlier.size(); ++each) by_name.emplace(earlier[each].name, each);
    const auto known = by_name.find(later[rule].name);
    all_matched = all_matched && known != by_name.end();
    if (known == by_name.end()) continue;
    match(known->second, rule);
    next = known->second;
  }
  if (all_matched) return;
  // By rule: the sum of its rows' hashes, which does not depend on their order.
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
  return other_.earlier[x.rule] == y.rule && x.effect == y.effect && x.safety == y.safety && x.binds == y.binds &&
         earlier.answers[a] == later.answers[b] && std::equal(first.begin(), first.end(), second.begin(), second.end());
}

// Every row that some shared player may be in; as a pair where both editions have it.
std::vector<ChangedRows::Pair> ChangedRows::matched_rows(const Tables& tables) const {
  std::vector<Pair> rows;
  const auto* earlier = tables.earlier ? &of(tables.earlier) : nullptr;
  const auto count = earlier ? static_cast<std::uint32_t>(earlier->rows.size()) : 0;
  // A chained hash table of the earlier rows: `first` by hash, `next` by row; `count` ends a chain.
  std::vector<std::uint32_t> first(std::bit_ceil(std::size_t{count} + 1), count), next(count, count);
  const auto chain = [&](std::uint64_t content) -> std::uint32_t& { return first[content & (first.size() - 1)]; };
  std::vector<bool> waiting(count);
  for (auto row = count; row-- > 0;) {
    if (!earlier->rows[row].met) continue;
    waiting[row] = true;
    next[row] = std::exchange(chain(earlier->rows[row].content), row);
  }
  if (tables.later) {
    const auto& later = of(tables.later);
    for (std::uint32_t row = 0; row < later.rows.size(); ++row) {
      if (!later.rows[row].met) continue;
      Pair one{{}, row};
      const auto content = later.rows[row].content;
      for (auto at = chain(content); at < count && !one.earlier; at = next[at])
        if (waiting[at] && earlier->rows[at].content == content && equal(*earlier, at, later, row)) one.earlier = at;
      if (one.earlier) waiting[*one.earlier] = false;
      rows.push_back(one);
    }
  }
  for (std::uint32_t row = 0; row < count; ++row)
    if (waiting[row]) rows.push_back({row, {}});
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
  Spans spans(editions_.space().tables.columns.size(), where);
  std::vector<Pair> out;
  for (const auto& row : rows) {
    const auto side = row.later ? Side::later : Side::earlier;
    if (spans.any_meets(of(tables[side]).cells_of(*row[side]))) out.push_back(row);
  }
  return out;
}

// An outranks that one edition alone has can change an answer only where the rule that yields applies.
void ChangedRows::add_outranked(const Tables& tables, bool binding_alone, std::vector<Box>& where) const {
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
    if (read.rows[row].met && yielding.count(tables.later->rows[row].rule) != 0 &&
        (tables.later->rows[row].binds || !binding_alone))
      where.push_back(box(tables, {{}, row}));
}

ChangedRows::Found ChangedRows::changed(const Tables& tables, bool everywhere) const {
  Found found;
  const auto rows = matched_rows(tables);
  if (everywhere) return {{Box{}}, rows};
  for (const auto& row : rows)
    if (!row.earlier || !row.later) found.where.push_back(box(tables, row));
  add_outranked(tables, false, found.where);
  if (found.where.empty()) return found;
  drop_inner(found.where);
  found.near = overlapping(tables, rows, found.where);
  return found;
}

std::vector<Box> ChangedRows::changed_bounds(const Tables& tables) const {
  std::vector<Box> where;
  const auto binds = [](const Row& row) { return row.binds; };
  if (std::none_of(tables.earlier->rows.begin(), tables.earlier->rows.end(), binds) &&
      std::none_of(tables.later->rows.begin(), tables.later->rows.end(), binds))
    return where;
  for (const auto& row : matched_rows(tables)) {
    if (row.earlier && row.later) continue;
    const auto side = row.later ? Side::later : Side::earlier;
    const auto& table = *tables[side];
    const auto& changed = table.rows[*row[side]];
    const auto own = box(tables, row);
    if (changed.binds) {
      where.push_back(own);
      continue;
    }
    // A row that binds nothing may still silence those that do.
    for (std::uint32_t other = 0; other < table.rows.size(); ++other) {
      if (!table.rows[other].binds || !of(&table).rows[other].met) continue;
      if (!outranks(table, changed.rule, table.rows[other].rule)) continue;
      Pair silenced;
      silenced[side] = other;
      if (auto both = shared_box(own, box(tables, silenced)); !is_empty(both)) where.push_back(std::move(both));
    }
  }
  add_outranked(tables, true, where);
  drop_inner(where);
  return where;
}

std::vector<ChangedRows::Pair> ChangedRows::near(const Tables& tables, const std::vector<Box>& where) const {
  return overlapping(tables, matched_rows(tables), where);
}

}  // namespace lacestay::compiler
