#include "runtime/chart/wall_chart.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "grammar/text/source.hpp"
#include "runtime/advice/words.hpp"
#include "runtime/base/layout.hpp"
#include "runtime/chart/findings.hpp"

namespace lacestay::runtime {

using compiler::Cell;
using compiler::ColumnId;
using compiler::Policy;
using compiler::Row;
using compiler::RuleId;
using compiler::Table;

namespace {

class Drawing {
 public:
  explicit Drawing(const Policy& policy) : policy_(policy) {}

  WallTable table(compiler::TableId id) {
    const auto& table = policy_.tables.tables[id];
    WallTable drawn{id, title(table), {}, table.outranks};
    std::map<RuleId, std::vector<std::uint32_t>> by_rule;
    std::vector<RuleId> order;
    for (std::uint32_t row = 0; row < table.rows.size(); ++row) {
      auto& rows = by_rule[table.rows[row].rule];
      if (rows.empty()) order.push_back(table.rows[row].rule);
      rows.push_back(row);
    }
    for (const auto rule : order) {
      const auto& rows = by_rule[rule];
      drawn.blocks.push_back(policy_.rules[rule].sized_from ? steps_up(table, rule, rows)
                             : rows.size() > 1              ? grid(table, rule, rows)
                                                            : WallBlock{rule, "", {{line(table, rows.front())}}});
    }
    return drawn;
  }

 private:
  std::string title(const Table& table) const {
    switch (table.kind) {
      case Table::Kind::property: return policy_.name_of(table);
      case Table::Kind::piece: {
        const char* presence[] = {"in every kit", "optional", "for some players"};
        return fmt::format("{} ({})", policy_.name_of(table),
                           presence[static_cast<std::size_t>(policy_.tables.presence[table.target])]);
      }
      case Table::Kind::caution: return "caution";
      case Table::Kind::detail: return policy_.name_of(table) + " (worked out)";
      case Table::Kind::shop_line: break;  // not drawn
    }
    return "";
  }

  std::string cell_text(const Cell& cell) const {
    return policy_.name_of(cell.column) + " " + policy_.write_places(cell.column, cell.places);
  }

  WallCell line(const Table& table, std::uint32_t index) const {
    const auto& row = table.rows[index];
    std::string text = says(policy_, table, row);
    for (std::size_t i = 0; i < row.box.size(); ++i) text += (i == 0 ? " for " : ", ") + cell_text(row.box[i]);
    text += "  [" + policy_.rules[row.rule].name + (row.safety ? ", safety]" : "]");
    return {text, {index}};
  }

  // `size … from` in one line; its rows would be a line for each step. Those of a band's upper end come last.
  WallBlock steps_up(const Table& table, RuleId rule, const std::vector<std::uint32_t>& rows) const {
    const auto column = *policy_.rules[rule].sized_from;
    const auto& property = policy_.properties[table.target];
    const auto& first = table.rows[rows.front()];
    const auto& last = table.rows[rows.back()];
    const auto upper = policy_.rules[rule].sized_to;
    const auto text = upper ? fmt::format("the steps from {} to {}, {}", policy_.name_of(column),
                                          policy_.name_of(*upper), property.write(first.low, last.high))
                            : fmt::format("the next step up from {}, {} to {}", policy_.name_of(column),
                                          property.write(first.low, first.low), property.write(last.low, last.low));
    std::string conditions;
    for (const auto& cell : first.box)
      if (cell.column != column && cell.column != upper)
        conditions += (conditions.empty() ? " for " : ", ") + cell_text(cell);
    return {rule, "", {{{fmt::format("{}{}  [{}]", text, conditions, policy_.rules[rule].name), rows}}}};
  }

  // A chart's rows as a grid: what all rows share stands in its heading, what changes fastest runs across.
  WallBlock grid(const Table& table, RuleId rule, const std::vector<std::uint32_t>& rows) const {
    std::map<ColumnId, std::set<std::vector<compiler::PlaceRange>>> seen;
    for (const auto row : rows)
      for (const auto& cell : table.rows[row].box) seen[cell.column].insert(cell.places);
    std::string shared;
    std::vector<ColumnId> varying;
    for (const auto& [column, places] : seen) {
      if (places.size() > 1)
        varying.push_back(column);
      else
        shared += fmt::format(", for {}", cell_text({column, *places.begin()}));
    }
    const bool safety = table.rows[rows.front()].safety;
    WallBlock block{rule, fmt::format("[{}{}{}]", policy_.rules[rule].name, shared, safety ? ", safety" : ""), {}};
    if (varying.empty() || varying.size() > 2) {
      for (const auto row : rows) block.lines.push_back({line(table, row)});
      return block;
    }
    const auto places_in = [&](std::uint32_t row, ColumnId column) -> std::vector<compiler::PlaceRange> {
      for (const auto& cell : table.rows[row].box)
        if (cell.column == column) return cell.places;
      return {};
    };
    const bool first_across = varying.size() == 2 && places_in(rows[0], varying[0]) != places_in(rows[1], varying[0]);
    const auto down = varying[first_across ? 1 : 0];
    auto& lines = block.lines;
    lines = {{{policy_.name_of(down), {}}}};
    std::map<std::vector<compiler::PlaceRange>, std::size_t> line_of;
    std::map<std::vector<compiler::PlaceRange>, std::size_t> place_of;
    for (const auto row : rows) {
      const auto here = places_in(row, down);
      const auto [at, fresh] = line_of.emplace(here, lines.size());
      if (fresh) lines.push_back({{policy_.write_places(down, here), {}}});
      std::size_t across = 1;
      if (varying.size() == 2) {
        const auto column = varying[first_across ? 0 : 1];
        const auto there = places_in(row, column);
        const auto [known, new_head] = place_of.emplace(there, place_of.size() + 1);
        if (new_head)
          lines[0].push_back(
              {(known->second == 1 ? policy_.name_of(column) + " " : "") + policy_.write_places(column, there), {}});
        across = known->second;
      } else if (lines[0].size() == 1) {
        lines[0].push_back({});
      }
      auto& cells = lines[at->second];
      cells.resize(std::max(cells.size(), across + 1));
      cells[across] = {says(policy_, table, table.rows[row]), {row}};
    }
    return block;
  }

  const Policy& policy_;
};

bool asked_for(const Policy& policy, const Table& table, const std::vector<std::string>& names) {
  if (table.kind == Table::Kind::shop_line) return false;  // no advice turns on it
  if (names.empty()) return true;
  const auto named = [&](const std::string& name) {
    return std::find(names.begin(), names.end(), name) != names.end();
  };
  if (std::any_of(table.rows.begin(), table.rows.end(),
                  [&](const Row& row) { return named(policy.rules[row.rule].name_as_written()); }))
    return true;
  switch (table.kind) {
    case Table::Kind::property: {
      const auto& property = policy.properties[table.target];
      const auto& piece = policy.pieces[property.piece].name;
      return named(piece) || named(piece + "_" + property.name);
    }
    case Table::Kind::piece: return named(policy.pieces[table.target].name);
    case Table::Kind::caution: return named("cautions");
    case Table::Kind::detail: return named(policy.worked_out[table.target].name);
    case Table::Kind::shop_line: return false;
  }
  return false;
}

std::string aligned(const std::vector<std::vector<std::string>>& lines) {
  std::vector<std::size_t> widths;
  for (const auto& cells : lines)
    for (std::size_t i = 0; i < cells.size(); ++i) {
      widths.resize(std::max(widths.size(), i + 1));
      widths[i] = std::max(widths[i], grammar::characters(cells[i]));
    }
  std::string out;
  for (const auto& cells : lines) {
    std::string line = "      ";
    for (std::size_t i = 0; i < cells.size(); ++i) line += padded(cells[i], widths[i] + 3);
    while (line.back() == ' ') line.pop_back();
    out += line + "\n";
  }
  return out;
}

}  // namespace

std::vector<WallTable> wall_tables(const Policy& policy, const std::vector<std::string>& names) {
  Drawing drawing(policy);
  std::vector<WallTable> drawn;
  for (compiler::TableId id = 0; id < policy.tables.tables.size(); ++id)
    if (asked_for(policy, policy.tables.tables[id], names)) drawn.push_back(drawing.table(id));
  return drawn;
}

std::string text_of(const Policy& policy, const std::vector<WallTable>& tables, const WallMarks& marks) {
  std::string out = fmt::format("{}, edition {}\n", policy.title, policy.edition);
  for (const auto& table : tables) {
    const auto marked = [&](const WallCell& cell) {
      auto text = cell.text;
      if (marks.field && !cell.rows.empty())
        for (const auto& mark : marks.field(table.id, cell.rows)) text += mark;
      return text;
    };
    out += fmt::format("\n{}\n", table.title);
    for (const auto& block : table.blocks) {
      if (!block.heading.empty()) out += fmt::format("    {}\n", block.heading);
      const bool alone =
          std::all_of(block.lines.begin(), block.lines.end(), [](const auto& cells) { return cells.size() == 1; });
      std::vector<std::vector<std::string>> lines;
      for (const auto& cells : block.lines) {
        if (alone) out += wrapped(marked(cells.front()), 6, "    ");
        lines.emplace_back();
        for (const auto& cell : cells) lines.back().push_back(marked(cell));
      }
      if (!alone) out += aligned(lines);
    }
    for (const auto& pair : table.outranks)
      out += fmt::format("    {} outranks {}{}\n", policy.rules[pair.first].name, policy.rules[pair.second].name,
                         marks.outranks ? marks.outranks(table.id, pair) : "");
    if (table.blocks.empty()) out += "    no rule speaks about it\n";
    if (marks.below)
      for (const auto& item : marks.below(table.id)) out += wrapped(item, 6, "   ○");
  }
  return out;
}

std::string text_of_nobody(const Policy& policy) {
  if (policy.tables.shut_out.empty()) return "";
  std::string out = "\nnobody has\n";
  for (const auto& each : policy.tables.shut_out)
    out += wrapped(
        fmt::format("{}: {}", as_conditions(policy, policy.tables, each.box), policy.nobody[each.line].sentence), 6,
        "    ");
  return out;
}

}  // namespace lacestay::runtime
