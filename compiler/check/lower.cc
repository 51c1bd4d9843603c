#include "compiler/check/lower.hpp"

#include <algorithm>
#include <set>

#include "compiler/law/law.hpp"
#include "compiler/tables/places.hpp"

namespace lacestay::compiler {
namespace {

class Lowering {
 public:
  explicit Lowering(Checker& draft) : draft_(draft), tables_(draft.policy.tables) {}

  void run() {
    number_the_edges();
    lay_out_tables();
    for (const auto& rule : draft_.rules) add_rule(rule);
    for (auto& table : tables_.tables) finish(table);
    for (auto& sure : draft_.sures) {
      if (const auto box = box_of(sure.when, {})) sure.sure.when = *box, draft_.policy.sures.push_back(sure.sure);
    }
    for (const auto& each : draft_.nobody)
      if (auto box = box_of(each.has, {})) tables_.shut_out.push_back({std::move(*box), each.line});
  }

 private:
  [[nodiscard]] bool everything_past(const Column& column, const Cut& cut) const {
    if (!column.worked_out) return cut.at <= tables_.asked[column.detail].lowest;
    return reaches(tables_.worked_out[column.detail].lowest, cut);
  }
  [[nodiscard]] bool nothing_past(const Column& column, const Cut& cut) const {
    if (!column.worked_out) return cut.at > tables_.asked[column.detail].highest;
    return !reaches(tables_.worked_out[column.detail].highest, cut);
  }

  // A worked-out detail's members are numbers, the first 0: each lies between two edges.
  static Cut just_before(std::uint32_t member) { return {member, false}; }

  void number_the_edges() {
    std::vector<std::vector<Cut>> cuts(tables_.columns.size());
    const auto collect = [&](const std::vector<DraftTest>& tests) {
      for (const auto& test : tests) {
        const auto& column = tables_.columns[test.column];
        const auto add = [&](const Cut& cut) {
          if (!everything_past(column, cut) && !nothing_past(column, cut)) cuts[test.column].push_back(cut);
        };
        for (const auto& cut : {test.from, test.to})
          if (cut) add(*cut);
        if (!column.worked_out) continue;
        for (const auto member : test.members) add(just_before(member)), add(just_before(member + 1));
      }
    };
    for (const auto& rule : draft_.rules) {
      collect(rule.when);
      for (const auto& row : rule.rows) collect(row.tests);
    }
    for (const auto& sure : draft_.sures) collect(sure.when);
    for (const auto& each : draft_.nobody) collect(each.has);
    for (std::size_t i = 0; i < cuts.size(); ++i) {
      auto& column = tables_.columns[i];
      std::sort(cuts[i].begin(), cuts[i].end());
      cuts[i].erase(std::unique(cuts[i].begin(), cuts[i].end()), cuts[i].end());
      column.cuts = std::move(cuts[i]);
      if (!column.cuts.empty() || column.worked_out || !tables_.asked[column.detail].members)
        column.places = static_cast<std::uint32_t>(column.cuts.size()) + 1;
    }
  }

  // The places a test lets through; empty where none.
  [[nodiscard]] std::vector<PlaceRange> places_of(const DraftTest& test) const {
    const auto& column = tables_.columns[test.column];
    if (!test.members.empty()) {
      Places members;
      for (const auto member : test.members) {
        if (!column.worked_out) {
          append(members, {member, member});
        } else if (!nothing_past(column, just_before(member)) && !everything_past(column, just_before(member + 1))) {
          const auto past = std::upper_bound(column.cuts.begin(), column.cuts.end(), just_before(member));
          const auto place = static_cast<std::uint32_t>(past - column.cuts.begin());
          append(members, {place, place});
        }
      }
      return members;
    }
    if (test.from && nothing_past(column, *test.from)) return {};
    if (test.to && everything_past(column, *test.to)) return {};
    const auto begin = column.cuts.begin();
    const auto first = test.from ? std::upper_bound(begin, column.cuts.end(), *test.from) - begin : 0;
    const auto end = test.to ? std::lower_bound(begin, column.cuts.end(), *test.to) - begin
                             : static_cast<std::ptrdiff_t>(column.places) - 1;
    if (first > end) return {};
    return {{static_cast<std::uint32_t>(first), static_cast<std::uint32_t>(end)}};
  }

  // All tests together; nothing where they can't all be met.
  [[nodiscard]] std::optional<Box> box_of(const std::vector<DraftTest>& when,
                                          const std::vector<DraftTest>& more) const {
    Box box;
    for (const auto* tests : {&when, &more}) {
      for (const auto& test : *tests) {
        const auto places = places_of(test);
        const auto cell =
            std::find_if(box.begin(), box.end(), [&](const Cell& known) { return known.column == test.column; });
        if (cell == box.end())
          box.push_back({test.column, places});
        else
          cell->places = shared_places(cell->places, places);
      }
    }
    if (is_empty(box)) return std::nullopt;
    std::sort(box.begin(), box.end(), [](const Cell& a, const Cell& b) { return a.column < b.column; });
    return box;
  }

  void lay_out_tables() {
    const auto add = [&](Table::Kind kind, std::size_t count) {
      for (std::size_t i = 0; i < count; ++i) {
        Table table;
        table.kind = kind;
        table.target = static_cast<std::uint32_t>(i);
        tables_.tables.push_back(std::move(table));
      }
    };
    add(Table::Kind::property, tables_.answers.size());
    add(Table::Kind::piece, tables_.presence.size());
    add(Table::Kind::caution, draft_.policy.cautions.size());
    for (std::size_t i = 0; i < tables_.worked_out.size(); ++i) {
      if (!tables_.worked_out[i].formula.empty()) continue;
      tables_.worked_out[i].chart = static_cast<TableId>(tables_.tables.size());
      add(Table::Kind::detail, 1);
      tables_.tables.back().target = static_cast<std::uint32_t>(i);
    }
    add(Table::Kind::shop_line, draft_.shop_lines);
  }

  Table& table_for(Effect effect, std::uint32_t target) {
    switch (kind_of_table(effect)) {
      case Table::Kind::property: return tables_.tables[tables_.property_table(target)];
      case Table::Kind::piece: return tables_.tables[tables_.piece_table(target)];
      case Table::Kind::caution: return tables_.tables[tables_.first_caution_table() + target];
      case Table::Kind::detail: return tables_.tables[tables_.worked_out[target].chart];
      case Table::Kind::shop_line: return tables_.tables[draft_.shop_line_table(target)];
    }
    return tables_.tables.front();
  }

  void add_rule(const DraftRule& rule) {
    for (const auto target : rule.targets) {
      auto& table = table_for(rule.effect, target);
      const bool binds = binds_items(rule.effect, rule.safety, draft_.files[rule.file].pack);
      for (const auto& row : rule.rows) {
        auto box = box_of(rule.when, row.tests);
        if (!box) continue;
        // What binds items is the answer that both ends come to, not each by itself.
        table.rows.push_back({std::move(*box), row.upper_end ? Effect::keep : rule.effect, rule.safety, row.low,
                              row.high, rule.id, row.entry, binds && !row.upper_end});
      }
    }
  }

  void finish(Table& table) const {
    std::set<ColumnId> columns;
    std::set<RuleId> rules;
    for (const auto& row : table.rows) {
      rules.insert(row.rule);
      for (const auto& cell : row.box) columns.insert(cell.column);
    }
    table.columns.assign(columns.begin(), columns.end());
    for (const auto& pair : draft_.outranks)
      if (rules.count(pair.first) != 0 && rules.count(pair.second) != 0) table.outranks.push_back(pair);
  }

  Checker& draft_;
  Tables& tables_;
};

}  // namespace

void lower(Checker& draft) { Lowering(draft).run(); }

}  // namespace lacestay::compiler
