#include "tests/bench/proof_cases.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <bit>
#include <numeric>

#include "tests/reference/draw.hpp"

namespace lacestay::bench {
namespace {

using naive::Draw;

std::uint64_t all_members(const CaseColumn& column) {
  return column.values == 64 ? ~std::uint64_t{0} : (std::uint64_t{1} << column.values) - 1;
}

CaseCell whole(const CaseColumn& column) { return {0, column.values - 1, column.numeric ? 0 : all_members(column)}; }

// Numbers and choices by turns, numbers first.
std::vector<CaseColumn> mixed_columns(std::size_t count, std::uint32_t numbers, std::uint32_t members) {
  std::vector<CaseColumn> columns;
  for (std::size_t i = 0; i < count; ++i) columns.push_back({i % 2 == 0, i % 2 == 0 ? numbers : members});
  return columns;
}

// Some of the members: neither none nor all of them.
std::uint64_t some_of(std::uint64_t members, Draw& draw) {
  std::vector<std::uint64_t> each;
  for (auto left = members; left != 0; left &= left - 1) each.push_back(left & -left);
  draw.shuffle(each);
  const auto taken = static_cast<std::size_t>(draw.between(1, static_cast<std::int64_t>(each.size()) - 1));
  std::uint64_t some = 0;
  for (std::size_t i = 0; i < taken; ++i) some |= each[i];
  return some;
}

// Parts a leaf in two along a column; false where one value is left of it.
bool part(const CaseColumn& column, CaseCell& left, CaseCell& right, Draw& draw) {
  if (column.numeric) {
    if (left.low == left.high) return false;
    right.low = static_cast<std::uint32_t>(draw.between(left.low + 1, left.high));
    left.high = right.low - 1;
    return true;
  }
  if (std::popcount(left.members) < 2) return false;
  right.members = some_of(left.members, draw);
  left.members &= ~right.members;
  return true;
}

// So much of an open cell, at least one value of it.
void narrow(const CaseColumn& column, CaseCell& cell, std::uint32_t percent, Draw& draw) {
  const auto taken = std::max<std::uint32_t>(1, column.values * percent / 100);
  if (column.numeric) {
    cell.low = static_cast<std::uint32_t>(draw.between(0, column.values - taken));
    cell.high = cell.low + taken - 1;
    return;
  }
  cell.members = 0;
  while (static_cast<std::uint32_t>(std::popcount(cell.members)) < taken)
    cell.members |= std::uint64_t{1} << draw.place(column.values);
}

void move_edge(const CaseColumn& column, CaseCell& cell, Draw& draw) {
  if (!column.numeric) {
    const auto turned = cell.members ^ std::uint64_t{1} << draw.place(column.values);
    if (turned != 0) cell.members = turned;
    return;
  }
  const auto by = draw.between(1, column.values / 20) * (draw.chance(50) ? 1 : -1);
  // An end at the rim of the domain is no edge.
  const bool low_end = cell.low > 0 && (cell.high + 1 == column.values || draw.chance(50));
  if (low_end)
    cell.low = static_cast<std::uint32_t>(std::clamp<std::int64_t>(cell.low + by, 0, cell.high));
  else
    cell.high = static_cast<std::uint32_t>(std::clamp<std::int64_t>(cell.high + by, cell.low, column.values - 1));
}

// The row next to this one along a column of numbers, alike in all others.
std::optional<std::size_t> neighbour(const CaseTable& table, std::size_t row, std::size_t column) {
  const auto& own = table.rows[row];
  const auto same = [](const CaseCell& a, const CaseCell& b) {
    return a.low == b.low && a.high == b.high && a.members == b.members;
  };
  for (std::size_t other = 0; other < table.rows.size(); ++other) {
    const auto& cells = table.rows[other];
    bool next = cells[column].low == own[column].high + 1;
    for (std::size_t c = 0; next && c < own.size(); ++c) next = c == column || same(own[c], cells[c]);
    if (next) return other;
  }
  return std::nullopt;
}

// Moves the edge between a row and its next neighbour; false where it has none.
bool move_shared_edge(CaseTable& table, std::size_t row, Draw& draw) {
  for (std::size_t c = 0; c < table.columns.size(); ++c) {
    if (!table.columns[c].numeric) continue;
    const auto other = neighbour(table, row, c);
    if (!other) continue;
    auto& below = table.rows[row][c];
    auto& above = table.rows[*other][c];
    const auto by = draw.between(1, table.columns[c].values / 20) * (draw.chance(50) ? 1 : -1);
    const auto moved = static_cast<std::uint32_t>(std::clamp<std::int64_t>(below.high + by, below.low, above.high - 1));
    if (moved == below.high) continue;
    below.high = moved;
    above.low = moved + 1;
    return true;
  }
  return false;
}

// The `for` line of a row; nothing where it holds for everybody.
std::string conditions(const CaseTable& table, const std::vector<CaseCell>& row) {
  std::string out;
  const auto add = [&](const std::string& condition) { out += (out.empty() ? "  for " : ", ") + condition; };
  for (std::size_t c = 0; c < row.size(); ++c) {
    const auto& column = table.columns[c];
    if (table.open(c, row[c])) continue;
    if (column.numeric) {
      if (row[c].low > 0) add(fmt::format("d{} at least {}", c, row[c].low));
      if (row[c].high + 1 < column.values) add(fmt::format("d{} at most {}", c, row[c].high));
      continue;
    }
    std::string members;
    for (std::uint32_t member = 0; member < column.values; ++member)
      if ((row[c].members >> member & 1) != 0) members += fmt::format("{}m{}", members.empty() ? "" : ", ", member);
    add(fmt::format("d{} {}", c, members));
  }
  return out.empty() ? out : out + "\n";
}

}  // namespace

bool CaseTable::open(std::size_t column, const CaseCell& cell) const {
  const auto all = whole(columns[column]);
  return cell.low == all.low && cell.high == all.high && cell.members == all.members;
}

std::string rule_name(std::size_t table, std::size_t row) { return fmt::format("t{}_r{}", table, row); }

std::string policy_of(const std::vector<CaseTable>& tables) {
  const auto& columns = tables.front().columns;
  std::string out = "policy \"Many rules\"\nedition 1, in force from 1 September 2026\n";
  for (std::size_t i = 0; i < columns.size(); ++i) {
    out += fmt::format("ask d{} ", i);
    if (columns[i].numeric) {
      out += fmt::format("0 to {}, whole\n", columns[i].values - 1);
      continue;
    }
    for (std::uint32_t member = 0; member < columns[i].values; ++member)
      out += fmt::format("{} m{}", member == 0 ? "choice" : ",", member);
    out += "\n";
  }
  out += "piece p always\n";
  for (std::size_t table = 0; table < tables.size(); ++table) out += fmt::format("  q{} grades a, b, c, d\n", table);
  for (std::size_t table = 0; table < tables.size(); ++table) {
    for (std::size_t row = 0; row < tables[table].rows.size(); ++row) {
      out +=
          fmt::format("rule {}\n  set p q{} to {}\n", rule_name(table, row), table, "abcd"[tables[table].answer(row)]);
      out += conditions(tables[table], tables[table].rows[row]);
    }
  }
  return out;
}

CaseTable decision_tree(std::uint64_t seed, std::size_t rows, std::size_t columns) {
  Draw draw(seed);
  CaseTable table{mixed_columns(columns, 10'000, 8), {{}}, {}};
  for (const auto& column : table.columns) table.rows.front().push_back(whole(column));
  while (table.rows.size() < rows) {
    const auto leaf = draw.place(table.rows.size());
    const auto column = draw.place(columns);
    auto left = table.rows[leaf], right = left;
    if (!part(table.columns[column], left[column], right[column], draw)) continue;
    table.rows[leaf] = std::move(left);
    table.rows.push_back(std::move(right));
  }
  draw.shuffle(table.rows);
  return table;
}

CaseTable perturbed_tree(std::uint64_t seed, std::size_t rows, std::size_t columns) {
  auto table = decision_tree(seed, rows, columns);
  Draw draw(seed);
  for (std::size_t i = 0; i < rows / 10; ++i) {  // drawn at random, for the rows are shuffled
    std::vector<std::size_t> held;
    for (std::size_t c = 0; c < columns; ++c)
      if (!table.open(c, table.rows[i][c])) held.push_back(c);
    const auto column = draw.pick(held);
    move_edge(table.columns[column], table.rows[i][column], draw);
  }
  draw.shuffle(table.rows);
  return table;
}

CaseTable edited_tree(CaseTable tree, std::uint64_t seed, std::size_t edits) {
  Draw draw(seed);
  std::vector<std::uint32_t> answers;
  for (std::size_t row = 0; row < tree.rows.size(); ++row) answers.push_back(tree.answer(row));
  tree.answers = std::move(answers);
  std::vector<std::size_t> order(tree.rows.size());
  std::iota(order.begin(), order.end(), 0);
  draw.shuffle(order);
  for (std::size_t i = 0, done = 0; i < order.size() && done < edits; ++i) {
    if (done % 2 == 0) {
      done += move_shared_edge(tree, order[i], draw) ? 1 : 0;
      continue;
    }
    auto& answer = tree.answers[order[i]];
    answer = answer == 3 ? 2 : answer + 1;
    ++done;
  }
  return tree;
}

CaseTable mostly_any(std::uint64_t seed, std::size_t rows, std::size_t columns, std::optional<std::uint32_t> percent) {
  Draw draw(seed);
  CaseTable table{mixed_columns(columns, 100, 6), {}, {}};
  std::vector<std::size_t> order;
  for (std::size_t c = 0; c < columns; ++c) order.push_back(c);
  while (table.rows.size() < rows) {
    std::vector<CaseCell> row;
    for (const auto& column : table.columns) row.push_back(whole(column));
    draw.shuffle(order);
    for (std::size_t i = 0; i < 3; ++i) {
      const auto column = order[i];
      if (percent) {
        narrow(table.columns[column], row[column], *percent, draw);
        continue;
      }
      auto other = row[column];
      part(table.columns[column], row[column], other, draw);
      if (draw.chance(50)) row[column] = other;
    }
    table.rows.push_back(std::move(row));
  }
  return table;
}

}  // namespace lacestay::bench
