#include "runtime/wall_chart.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "grammar/source.hpp"
#include "runtime/layout.hpp"

namespace lacestay::runtime {

using compiler::Cell;
using compiler::ColumnId;
using compiler::Effect;
using compiler::Policy;
using compiler::Row;
using compiler::RuleId;
using compiler::Table;

namespace {

class Writer {
 public:
  explicit Writer(const Policy& policy) : policy_(policy) {}

  std::string table(const Table& table) {
    std::string out = title(table) + "\n";
    std::map<RuleId, std::vector<const Row*>> by_rule;
    std::vector<RuleId> order;
    for (const auto& row : table.rows) {
      auto& rows = by_rule[row.rule];
      if (rows.empty()) order.push_back(row.rule);
      rows.push_back(&row);
    }
    for (const auto rule : order) {
      const auto& rows = by_rule[rule];
      out += policy_.rules[rule].sized_from ? steps_up(table, rule, rows)
             : rows.size() > 1              ? grid(table, rule, rows)
                                            : line(table, *rows.front());
    }
    for (const auto& [over, under] : table.outranks)
      out += fmt::format("    {} outranks {}\n", policy_.rules[over].name, policy_.rules[under].name);
    if (order.empty()) out += "    no rule speaks about it\n";
    return out;
  }

 private:
  std::string title(const Table& table) const {
    switch (table.kind) {
      case Table::Kind::property: {
        const auto& property = policy_.properties[table.target];
        return policy_.pieces[property.piece].name + " " + property.name;
      }
      case Table::Kind::piece: {
        const char* presence[] = {"in every kit", "optional", "for some players"};
        return fmt::format("{} ({})", policy_.pieces[table.target].name,
                           presence[static_cast<std::size_t>(policy_.tables.presence[table.target])]);
      }
      case Table::Kind::caution: return "caution";
      case Table::Kind::detail: return policy_.worked_out[table.target].name + " (worked out)";
    }
    return "";
  }

  std::string says(const Table& table, const Row& row) const {
    const auto value = [&] { return policy_.properties[table.target].write(row.low, row.high); };
    switch (row.effect) {
      case Effect::base: return value();
      case Effect::keep: return "keep within " + value();
      case Effect::floor: return "at least " + value();
      case Effect::cap: return "at most " + value();
      case Effect::refer: return "ask the fitter";
      case Effect::present: return "in the kit";
      case Effect::need: return "needed";
      case Effect::suggest: return "suggested";
      case Effect::omit: return "left out";
      case Effect::caution: return policy_.rules[row.rule].caution;
      case Effect::value: return policy_.worked_out[table.target].scale.write(row.low);
    }
    return "";
  }

  std::string cell_text(const Cell& cell) const {
    return policy_.name_of(cell.column) + " " + policy_.write_places(cell.column, cell.places);
  }

  std::string line(const Table& table, const Row& row) const {
    std::string text = says(table, row);
    for (std::size_t i = 0; i < row.box.size(); ++i) text += (i == 0 ? " for " : ", ") + cell_text(row.box[i]);
    text += "  [" + policy_.rules[row.rule].name + (row.safety ? ", safety]" : "]");
    return wrapped(text, 6, "    ");
  }

  // `size … from` in one line; its rows would be a line for each step.
  std::string steps_up(const Table& table, RuleId rule, const std::vector<const Row*>& rows) const {
    const auto column = *policy_.rules[rule].sized_from;
    const auto& property = policy_.properties[table.target];
    std::string text = fmt::format("the next step up from {}, {} to {}", policy_.name_of(column),
                                   property.write(rows.front()->low, rows.front()->low),
                                   property.write(rows.back()->low, rows.back()->low));
    std::string conditions;
    for (const auto& cell : rows.front()->box)
      if (cell.column != column) conditions += (conditions.empty() ? " for " : ", ") + cell_text(cell);
    return wrapped(fmt::format("{}{}  [{}]", text, conditions, policy_.rules[rule].name), 6, "    ");
  }

  // A chart's rows as a grid: what all rows share stands in its heading, what changes fastest runs across.
  std::string grid(const Table& table, RuleId rule, const std::vector<const Row*>& rows) const {
    std::map<ColumnId, std::set<std::vector<compiler::PlaceRange>>> seen;
    for (const auto* row : rows)
      for (const auto& cell : row->box) seen[cell.column].insert(cell.places);
    std::string shared;
    std::vector<ColumnId> varying;
    for (const auto& [column, places] : seen) {
      if (places.size() > 1)
        varying.push_back(column);
      else
        shared += fmt::format(", for {}", cell_text({column, *places.begin()}));
    }
    const auto head =
        fmt::format("    [{}{}{}]\n", policy_.rules[rule].name, shared, rows.front()->safety ? ", safety" : "");
    if (varying.empty() || varying.size() > 2) {
      std::string out = head;
      for (const auto* row : rows) out += line(table, *row);
      return out;
    }
    const auto places_in = [](const Row& row, ColumnId column) -> std::vector<compiler::PlaceRange> {
      for (const auto& cell : row.box)
        if (cell.column == column) return cell.places;
      return {};
    };
    const bool first_across = varying.size() == 2 && places_in(*rows[0], varying[0]) != places_in(*rows[1], varying[0]);
    const auto down = varying[first_across ? 1 : 0];
    std::vector<std::vector<std::string>> lines = {{policy_.name_of(down)}};
    std::map<std::vector<compiler::PlaceRange>, std::size_t> line_of;
    std::map<std::vector<compiler::PlaceRange>, std::size_t> place_of;
    for (const auto* row : rows) {
      const auto here = places_in(*row, down);
      const auto [at, fresh] = line_of.emplace(here, lines.size());
      if (fresh) lines.push_back({policy_.write_places(down, here)});
      std::size_t across = 1;
      if (varying.size() == 2) {
        const auto column = varying[first_across ? 0 : 1];
        const auto there = places_in(*row, column);
        const auto [known, new_head] = place_of.emplace(there, place_of.size() + 1);
        if (new_head)
          lines[0].push_back((known->second == 1 ? policy_.name_of(column) + " " : "") +
                             policy_.write_places(column, there));
        across = known->second;
      } else if (lines[0].size() == 1) {
        lines[0].push_back("");
      }
      auto& cells = lines[at->second];
      cells.resize(std::max(cells.size(), across + 1));
      cells[across] = says(table, *row);
    }
    return head + aligned(lines);
  }

  static std::string aligned(const std::vector<std::vector<std::string>>& lines) {
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

  const Policy& policy_;
};

bool asked_for(const Policy& policy, const Table& table, const std::vector<std::string>& names) {
  if (names.empty()) return true;
  const auto named = [&](const std::string& name) {
    return std::find(names.begin(), names.end(), name) != names.end();
  };
  switch (table.kind) {
    case Table::Kind::property: {
      const auto& property = policy.properties[table.target];
      const auto& piece = policy.pieces[property.piece].name;
      return named(piece) || named(piece + "_" + property.name);
    }
    case Table::Kind::piece: return named(policy.pieces[table.target].name);
    case Table::Kind::caution: return named("cautions");
    case Table::Kind::detail: return named(policy.worked_out[table.target].name);
  }
  return false;
}

}  // namespace

std::string wall_charts(const Policy& policy, const std::vector<std::string>& names) {
  std::string out = fmt::format("{}, edition {}\n", policy.title, policy.edition);
  Writer writer(policy);
  for (const auto& table : policy.tables.tables)
    if (asked_for(policy, table, names)) {
      out += '\n';
      out += writer.table(table);
    }
  return out;
}

}  // namespace lacestay::runtime
