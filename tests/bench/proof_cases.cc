#include "tests/bench/proof_cases.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <bit>

#include "tests/naive/draw.hpp"

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

}  // namespace

bool CaseTable::open(std::size_t column, const CaseCell& cell) const {
  const auto all = whole(columns[column]);
  return cell.low == all.low && cell.high == all.high && cell.members == all.members;
}

std::string CaseTable::text() const {
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
  out += "piece p always\n  q grades a, b, c, d\n";
  for (std::size_t i = 0; i < rows.size(); ++i) {
    out += fmt::format("rule r{}\n  set p q to {}\n", i, "abcd"[i % 4]);
    std::string conditions;
    const auto add = [&](const std::string& condition) {
      conditions += (conditions.empty() ? "  for " : ", ") + condition;
    };
    for (std::size_t c = 0; c < columns.size(); ++c) {
      const auto& cell = rows[i][c];
      if (open(c, cell)) continue;
      if (columns[c].numeric) {
        if (cell.low > 0) add(fmt::format("d{} at least {}", c, cell.low));
        if (cell.high + 1 < columns[c].values) add(fmt::format("d{} at most {}", c, cell.high));
        continue;
      }
      std::string members;
      for (std::uint32_t member = 0; member < columns[c].values; ++member)
        if ((cell.members >> member & 1) != 0) members += fmt::format("{}m{}", members.empty() ? "" : ", ", member);
      add(fmt::format("d{} {}", c, members));
    }
    out += conditions.empty() ? "" : conditions + "\n";
  }
  return out;
}

CaseTable perturbed_tree(std::uint64_t seed, std::size_t rows, std::size_t columns) {
  Draw draw(seed);
  CaseTable table{mixed_columns(columns, 10'000, 8), {{}}};
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
  for (std::size_t i = 0; i < rows / 10; ++i) {
    std::vector<std::size_t> held;
    for (std::size_t c = 0; c < columns; ++c)
      if (!table.open(c, table.rows[i][c])) held.push_back(c);
    const auto column = draw.pick(held);
    move_edge(table.columns[column], table.rows[i][column], draw);
  }
  draw.shuffle(table.rows);
  return table;
}

CaseTable mostly_any(std::uint64_t seed, std::size_t rows, std::size_t columns) {
  Draw draw(seed);
  CaseTable table{mixed_columns(columns, 100, 6), {}};
  std::vector<std::size_t> order;
  for (std::size_t c = 0; c < columns; ++c) order.push_back(c);
  while (table.rows.size() < rows) {
    std::vector<CaseCell> row;
    for (const auto& column : table.columns) row.push_back(whole(column));
    draw.shuffle(order);
    for (std::size_t i = 0; i < 3; ++i) {
      const auto column = order[i];
      auto other = row[column];
      part(table.columns[column], row[column], other, draw);
      if (draw.chance(50)) row[column] = other;
    }
    table.rows.push_back(std::move(row));
  }
  return table;
}

}  // namespace lacestay::bench
