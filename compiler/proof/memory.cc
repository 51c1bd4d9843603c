#include "compiler/proof/memory.hpp"

#include <algorithm>
#include <set>

#include "compiler/shelf/stages.hpp"

namespace lacestay::compiler {

const std::vector<Finding>* ProofMemory::find(const std::string& key) const {
  const auto known = entries_.find(key);
  if (known == entries_.end()) return nullptr;
  known->second.used = true;
  return &known->second.findings;
}

void ProofMemory::keep(std::string key, const std::vector<Finding>& findings) {
  const bool plain = std::all_of(findings.begin(), findings.end(), [](const Finding& finding) {
    return finding.players.empty() && finding.region.empty();
  });
  if (plain) entries_.insert_or_assign(std::move(key), Entry{findings, true});
}

void ProofMemory::begin() {
  reused = proved = 0;
  for (auto& [key, entry] : entries_) entry.used = false;
}

void ProofMemory::end() {
  std::erase_if(entries_, [](const auto& entry) { return !entry.second.used; });
}

namespace {

class Key {
 public:
  Key(const Policy& policy, const Tables& tables) : policy_(policy), tables_(tables) {}

  std::string run(const Table& table, const std::vector<Box>& claims, std::vector<RuleId>& rules) {
    add(static_cast<std::int64_t>(table.kind));
    const bool property = table.kind == Table::Kind::property;
    const auto& piece = property ? tables_.tables[tables_.piece_table(tables_.piece_of[table.target])] : table;
    if (property) {
      const auto& space = tables_.answers[table.target];
      add(space.ordered), add(space.band), add(space.steps);
    }
    add(static_cast<std::int64_t>(tables_.presence[piece.target]));
    rules_.clear();
    add(table);
    if (property) add(piece);
    for (std::size_t i = 0; i < policy_.sures.size(); ++i) {
      const auto& sure = policy_.sures[i];
      if (sure.target != table.target || sure.of_piece() == property) continue;
      add(static_cast<std::int64_t>(sure.kind)), add(sure.low), add(sure.high), add(sure.detail), add(claims[i]);
      for (const auto member : sure.members) add(member);
      columns_.insert(sure.detail);
      if (sure.of_items()) add_shelf(tables_.piece_of[table.target]);
    }
    for (const auto& each : tables_.shut_out) add(each.box);
    while (!columns_.empty()) {
      const auto column = *columns_.begin();
      columns_.erase(columns_.begin());
      if (!told_.insert(column).second) continue;
      add_definition(column);
    }
    rules = std::move(rules_);
    return std::move(key_);
  }

 private:
  // What a claim on items looks at beside its own table.
  void add_shelf(std::uint32_t piece) {
    for (const auto& stage : stages_of(policy_, piece)) {
      add(std::int64_t{-1}), add(static_cast<std::int64_t>(stage.line));
      for (const auto line : stage.players) {
        add(std::int64_t{-2});
        for (const auto& box : players_of(tables_, line)) add(box);
      }
      for (const auto& asked : stage.asked) {
        add(static_cast<std::int64_t>(asked.relations.size())), add(asked.moved), add(asked.cut_to);
        for (const auto relation : asked.relations) add(static_cast<std::int64_t>(relation));
        add(static_cast<std::int64_t>(asked.members.size()));
        for (const auto member : asked.members) add(member);
      }
    }
    for (std::size_t i = 0; i < tables_.piece_of.size(); ++i)
      if (tables_.piece_of[i] == piece) add(tables_.tables[tables_.property_table(i)]);
  }

  void add(std::int64_t number) { key_.append(reinterpret_cast<const char*>(&number), sizeof number); }
  void add(Int128 number) { add(static_cast<std::int64_t>(number)), add(static_cast<std::int64_t>(number >> 64)); }
  void add(bool flag) { key_ += flag ? '+' : '-'; }
  void add(std::uint32_t number) { add(std::int64_t{number}); }
  void add(std::uint16_t number) { add(std::int64_t{number}); }

  std::uint32_t rank(RuleId rule) {
    const auto known = std::find(rules_.rbegin(), rules_.rend(), rule);  // a rule's rows stand together
    if (known != rules_.rend()) return static_cast<std::uint32_t>(rules_.rend() - known - 1);
    rules_.push_back(rule);
    return static_cast<std::uint32_t>(rules_.size()) - 1;
  }

  // An edge by its value; places are numbered by all of the policy's edges.
  void add_edge(const Column& column, std::size_t cut) {
    if (cut >= column.cuts.size()) return add(std::int64_t{-1});
    add(column.cuts[cut].at), add(column.cuts[cut].after);
  }
  void add(const Box& box) {
    add(static_cast<std::int64_t>(box.size()));
    for (const auto& cell : box) {
      const auto& column = tables_.columns[cell.column];
      columns_.insert(cell.column);
      add(cell.column), add(static_cast<std::int64_t>(cell.places.size()));
      for (const auto& range : cell.places) {
        if (column.cuts.empty()) {
          add(range.first), add(range.last);
          continue;
        }
        add(range.first > 0);
        if (range.first > 0) add_edge(column, range.first - 1);
        add_edge(column, range.last);
      }
    }
  }
  void add(const Table& table) {
    add(static_cast<std::int64_t>(table.rows.size()));
    for (const auto& row : table.rows) {
      add(static_cast<std::int64_t>(row.effect)), add(row.safety), add(row.binds), add(row.low), add(row.high),
          add(rank(row.rule));
      add(row.entry), add(policy_.rules[row.rule].sized_from.has_value());
      add(policy_.rules[row.rule].sized_to.has_value()), add(row.box);
    }
    add(static_cast<std::int64_t>(table.outranks.size()));
    for (const auto& [over, under] : table.outranks) add(rank(over)), add(rank(under));
  }
  void add_definition(ColumnId id) {
    const auto& column = tables_.columns[id];
    add(id);
    if (!column.worked_out) {
      const auto& domain = tables_.asked[column.detail];
      add(domain.members), add(domain.lowest), add(domain.highest), add(domain.grain);
      return;
    }
    const auto& detail = tables_.worked_out[column.detail];
    add(static_cast<std::int64_t>(detail.formula.size()));
    if (detail.formula.empty()) return add(tables_.tables[detail.chart]);
    for (const auto& step : detail.formula) {
      add(static_cast<std::int64_t>(step.kind)), add(step.index), add(step.numerator), add(step.denominator);
      if (step.kind == FormulaStep::Kind::detail) columns_.insert(step.index);
    }
  }

  const Policy& policy_;
  const Tables& tables_;
  std::string key_;
  std::vector<RuleId> rules_;
  std::set<ColumnId> columns_, told_;  // still to be defined, and defined
};

}  // namespace

std::string proof_key(const Policy& policy, const Tables& tables, const Table& table, const std::vector<Box>& claims,
                      std::vector<RuleId>& rules) {
  return Key(policy, tables).run(table, claims, rules);
}

}  // namespace lacestay::compiler
