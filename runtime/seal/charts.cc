// Rows of one rule in a loaded table: the compiler makes them of a chart's fields or a size's steps, so that none meets
// another; and where the chart gives a detail they leave nobody out. The engine counts on both.
#include <algorithm>
#include <map>

#include "runtime/seal/holding.hpp"

namespace lacestay::runtime {

using compiler::Box;
using compiler::ColumnId;
using compiler::Int128;
using compiler::Policy;
using compiler::Table;

namespace {

// Steps of work over all tables: some hundred times what the shipped policy takes.
constexpr std::size_t most_work = 30'000'000;

class Apart {
 public:
  explicit Apart(const compiler::Tables& tables) : tables_(tables) {}

  // True where no player is in two of the boxes.
  bool apart(const std::vector<const Box*>& boxes, const std::vector<ColumnId>& columns) {
    return apart(boxes, columns, 0);
  }
  [[nodiscard]] bool tired() const { return work_ > most_work; }

 private:
  // Column by column: between two neighbouring places where a range begins or ends, the same boxes hold.
  bool apart(const std::vector<const Box*>& boxes, const std::vector<ColumnId>& columns, std::size_t at) {
    work_ += boxes.size() + 1;
    if (boxes.size() < 2 || tired()) return true;
    if (at == columns.size()) return false;
    const compiler::Places open{{0, tables_.columns[columns[at]].places - 1}};
    std::map<std::uint32_t, std::vector<std::pair<bool, std::size_t>>> turns;  // by place: a box begins, or ended
    for (std::size_t i = 0; i < boxes.size(); ++i) {
      const auto* places = compiler::places_in(*boxes[i], columns[at]);
      for (const auto& range : places ? *places : open) {
        turns[range.first].emplace_back(true, i);
        turns[range.last + 1].emplace_back(false, i);
      }
    }
    std::vector<bool> holds(boxes.size());
    std::vector<const Box*> held;
    for (const auto& [place, turned] : turns) {
      for (const auto& [begins, i] : turned) holds[i] = begins;
      held.clear();
      for (std::size_t i = 0; i < boxes.size(); ++i)
        if (holds[i]) held.push_back(boxes[i]);
      work_ += boxes.size();
      if (tired()) return true;
      // Where all of them hold throughout, the column tells nothing: no need to look at it twice.
      if (!apart(held, columns, at + 1)) return false;
    }
    return true;
  }

  const compiler::Tables& tables_;
  std::size_t work_ = 0;
};

// Players in a box, as combinations of places of these columns; nothing where that is past counting.
std::optional<Int128> volume(const compiler::Tables& tables, const Box& box, const std::vector<ColumnId>& columns) {
  Int128 all = 1;
  for (const auto column : columns) {
    const auto* places = compiler::places_in(box, column);
    std::int64_t held = places ? 0 : tables.columns[column].places;
    if (places)
      for (const auto& range : *places) held += std::int64_t{range.last} - range.first + 1;
    const auto more = compiler::multiply(all, held);
    if (!more) return std::nullopt;
    all = *more;
  }
  return all;
}

void hold_nobody_left_out(const compiler::Tables& tables, const Table& table, const std::string& of) {
  std::optional<Int128> filled = 0;
  for (const auto& row : table.rows) {
    const auto more = volume(tables, row.box, table.columns);
    filled = more && filled ? compiler::add(*filled, *more) : std::nullopt;
  }
  hold(filled && filled == volume(tables, {}, table.columns), "{} does not give every player a value", of);
}

}  // namespace

void hold_charts(const Policy& policy) {
  const auto& tables = policy.tables;
  Apart apart(tables);
  for (std::size_t id = 0; id < tables.tables.size(); ++id) {
    const auto& table = tables.tables[id];
    const auto of = fmt::format("tables/tables/{}", id);
    const bool detail = table.kind == Table::Kind::detail;
    // The steps of a band's upper end lie apart from one another, not from those of its lower end.
    std::map<std::pair<compiler::RuleId, bool>, std::vector<const Box*>> by_rule;
    for (const auto& row : table.rows)
      by_rule[{detail ? 0 : row.rule, policy.rules[row.rule].is_upper_end(row)}].push_back(&row.box);
    for (const auto& [rule, boxes] : by_rule)
      hold(apart.apart(boxes, table.columns), "{} has two rows of one chart or rule that meet", of);
    hold(!apart.tired(), "tables have too many rows that look at the same");
    if (detail) hold_nobody_left_out(tables, table, of);
  }
}

}  // namespace lacestay::runtime
