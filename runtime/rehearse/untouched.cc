#include "runtime/rehearse/untouched.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "compiler/proof/seeker.hpp"
#include "compiler/values/names.hpp"
#include "runtime/chart/wall_chart.hpp"
#include "runtime/engine/possible.hpp"
#include "runtime/rehearse/players_text.hpp"

namespace lacestay::runtime {

using compiler::Cell;
using compiler::PlaceRange;
using compiler::Table;

namespace {

constexpr const char* mark = " ○";

using RulePair = std::pair<compiler::RuleId, compiler::RuleId>;

struct Untouched {
  struct Edge {
    TableId table;
    std::uint32_t row;
    compiler::ColumnId column;
    std::uint32_t cut;  // of the column's cuts
  };
  std::vector<std::vector<bool>> rows;          // by table that answers, by row: true where no player touches it
  std::vector<std::vector<RulePair>> outranks;  // by table
  std::vector<Edge> edges;                      // one for each rule, column and cut
  std::size_t untouched_rows = 0, all_rows = 0, untouched_outranks = 0, all_outranks = 0, all_edges = 0;
};

// What one player stands on: by table that answers, the rows that apply; and his place on every column of the policy.
struct Standpoint {
  std::vector<std::vector<std::uint32_t>> rows;
  std::vector<std::uint32_t> places;  // empty where a detail is blank
};

class Touching {
 public:
  explicit Touching(const Engine& engine) : engine_(engine), tables_(engine.policy().tables), reach_(tables_) {
    for (TableId id = 0; id < engine.answers(); ++id) list_edges(id);
  }

  Standpoint standpoint(const Player& player) {
    Standpoint here;
    const auto possible = possible_answers(engine_, player);
    const auto rows_of = [&](TableId id) -> std::vector<std::uint32_t> {
      if (possible[id].classes.size() != 1) return {};
      const auto rows = engine_.rows(id, possible[id].classes.front());
      return {rows.begin(), rows.end()};
    };
    for (TableId id = 0; id < engine_.answers(); ++id) {
      bool told = true;
      if (tables_.tables[id].kind == Table::Kind::property) {
        const auto piece = static_cast<TableId>(tables_.piece_table(tables_.piece_of[tables_.tables[id].target]));
        told = std::all_of(possible[piece].classes.begin(), possible[piece].classes.end(),
                           [&](ClassId found) { return compiler::in_kit(engine_.outcome(piece, found).standing); });
      }
      here.rows.push_back(told ? rows_of(id) : std::vector<std::uint32_t>());
    }
    if (!player.complete()) return here;
    for (const auto& place : reach_.at(readings_of(player))) here.places.push_back(place.first);
    return here;
  }

  void add(const Player& player) { all_.push_back(standpoint(player)); }

  [[nodiscard]] Untouched result() const {
    Untouched left;
    for (TableId id = 0; id < engine_.answers(); ++id) {
      const auto& table = tables_.tables[id];
      left.rows.emplace_back();
      std::set<compiler::RuleId> counted;
      for (std::uint32_t row = 0; row < table.rows.size(); ++row) {
        const bool untouched = !applies(id, row);
        left.rows.back().push_back(untouched);
        if (is_step(table.rows[row]) && !counted.insert(table.rows[row].rule).second) continue;
        ++left.all_rows;
        left.untouched_rows += untouched;
      }
      left.outranks.emplace_back();
      for (const auto& pair : table.outranks)
        if (!meet(id, pair)) left.outranks.back().push_back(pair);
      left.all_outranks += table.outranks.size();
      left.untouched_outranks += left.outranks.back().size();
    }
    left.all_edges = edges_.size();
    for (const auto& [key, ends] : edges_)
      if (std::none_of(ends.begin(), ends.end(),
                       [&](const auto& edge) { return on_side(edge, true) && on_side(edge, false); }))
        left.edges.push_back(ends.front());
    return left;
  }

  // Whether a row applies to anybody here; whether two rules do. The steps of a size that is worked out are one row:
  // the owner wrote one line, and no edge between them.
  [[nodiscard]] bool applies(TableId id, std::uint32_t row) const {
    const auto& rows = tables_.tables[id].rows;
    return std::any_of(all_.begin(), all_.end(), [&](const Standpoint& here) {
      return is_step(rows[row]) ? speaks(here, id, rows[row].rule)
                                : std::binary_search(here.rows[id].begin(), here.rows[id].end(), row);
    });
  }
  [[nodiscard]] bool meet(TableId id, const RulePair& pair) const {
    return std::any_of(all_.begin(), all_.end(), [&](const Standpoint& here) {
      return speaks(here, id, pair.first) && speaks(here, id, pair.second);
    });
  }

  // Whether a player meets the row, or would but for lying just past the edge.
  [[nodiscard]] bool on_side(const Untouched::Edge& edge, bool inside) const {
    const auto box = side_of(edge, inside);
    return std::any_of(all_.begin(), all_.end(), [&](const auto& here) {
      return !here.places.empty() && std::all_of(box.begin(), box.end(), [&](const Cell& cell) {
        return compiler::contains(cell.places, here.places[cell.column]);
      });
    });
  }

  // The row's box, or the neighbouring one: its places past the edge, up to where this table's next edge stands.
  [[nodiscard]] compiler::Box side_of(const Untouched::Edge& edge, bool inside) const {
    const auto& table = tables_.tables[edge.table];
    auto box = table.rows[edge.row].box;
    auto& cell = *std::find_if(box.begin(), box.end(), [&](const Cell& each) { return each.column == edge.column; });
    const bool upper = std::any_of(cell.places.begin(), cell.places.end(),
                                   [&](const PlaceRange& range) { return range.last == edge.cut; });
    if (inside) {
      const auto range = std::find_if(cell.places.begin(), cell.places.end(), [&](const PlaceRange& each) {
        return upper ? each.last == edge.cut : each.first == edge.cut + 1;
      });
      cell.places = {*range};
      return box;
    }
    const auto& cuts = own_cuts_.at({edge.table, edge.column});
    const auto here = std::find(cuts.begin(), cuts.end(), edge.cut);
    if (upper) {
      const auto last = here + 1 == cuts.end() ? tables_.columns[edge.column].places - 1 : *(here + 1);
      cell.places = {{edge.cut + 1, last}};
    } else {
      const auto first = here == cuts.begin() ? 0 : *(here - 1) + 1;
      cell.places = {{first, edge.cut}};
    }
    return box;
  }

 private:
  [[nodiscard]] bool is_step(const compiler::Row& row) const {
    return engine_.policy().rules[row.rule].sized_from.has_value();
  }
  [[nodiscard]] bool speaks(const Standpoint& here, TableId id, compiler::RuleId rule) const {
    return std::any_of(here.rows[id].begin(), here.rows[id].end(),
                       [&](std::uint32_t row) { return tables_.tables[id].rows[row].rule == rule; });
  }

  void list_edges(TableId id) {
    const auto& table = tables_.tables[id];
    for (std::uint32_t row = 0; row < table.rows.size(); ++row) {
      for (const auto& cell : table.rows[row].box) {
        const auto& rule = engine_.policy().rules[table.rows[row].rule];
        if (rule.sized_from == cell.column || rule.sized_to == cell.column) continue;
        const auto& column = tables_.columns[cell.column];
        const auto add = [&](std::uint32_t cut) {
          edges_[{id, table.rows[row].rule, cell.column, cut}].push_back({id, row, cell.column, cut});
          auto& own = own_cuts_[{id, cell.column}];
          const auto at = std::lower_bound(own.begin(), own.end(), cut);
          if (at == own.end() || *at != cut) own.insert(at, cut);
        };
        for (const auto& range : cell.places) {
          if (column.cuts.empty()) continue;
          if (range.first > 0) add(range.first - 1);
          if (range.last < column.cuts.size()) add(range.last);
        }
      }
    }
  }

  using EdgeKey = std::tuple<TableId, compiler::RuleId, compiler::ColumnId, std::uint32_t>;
  const Engine& engine_;
  const compiler::Tables& tables_;
  compiler::Reach reach_;
  std::map<EdgeKey, std::vector<Untouched::Edge>> edges_;  // every row that has the edge
  std::map<std::pair<TableId, compiler::ColumnId>, std::vector<std::uint32_t>> own_cuts_;
  std::vector<Standpoint> all_;
};

// Players for what is untouched, each one only where those before him left something.
class Filling {
 public:
  Filling(const Engine& engine, Touching& touching)
      : engine_(engine), policy_(engine.policy()), touching_(touching), seeker_(policy_) {}

  std::string run(const Untouched& left) {
    for (TableId id = 0; id < left.rows.size(); ++id) {
      for (std::uint32_t row = 0; row < left.rows[id].size(); ++row)
        if (!touching_.applies(id, row))
          add(seeker_.whom(id, row), id, "touches " + policy_.rules[policy_.tables.tables[id].rows[row].rule].name);
      for (const auto& pair : left.outranks[id])
        if (!touching_.meet(id, pair))
          add(seeker_.silenced(id, pair.first, pair.second), id,
              fmt::format("{} outranks {}", policy_.rules[pair.first].name, policy_.rules[pair.second].name));
    }
    for (const auto& edge : left.edges)
      for (const bool inside : {true, false})
        if (!touching_.on_side(edge, inside))
          add(seeker_.within(edge.table, touching_.side_of(edge, inside)), edge.table,
              "beside the edge at " + edge_text(policy_, edge));
    return out_;
  }

  static std::string edge_text(const compiler::Policy& policy, const Untouched::Edge& edge) {
    const auto cut = policy.edge_as_meant(edge.column, policy.tables.columns[edge.column].cuts[edge.cut]);
    return policy.name_of(edge.column) + " " + policy.scale_of(edge.column).write_edge(cut.at);
  }

 private:
  void add(const std::optional<compiler::Readings>& found, TableId id, const std::string& why) {
    if (!found) return;
    touching_.add(player_of(*found));
    out_ += fmt::format("\n{}",
                        player_text(engine_, fmt::format("touching_{}", ++added_), without_quotes(why), *found, {id}));
  }

  const Engine& engine_;
  const compiler::Policy& policy_;
  Touching& touching_;
  compiler::Seeker seeker_;
  std::size_t added_ = 0;
  std::string out_;
};

}  // namespace

std::string text_of(const Engine& engine, const std::vector<SamplePlayer>& players) {
  Touching all(engine);
  for (const auto& player : players) all.add(player.player);
  const auto left = all.result();
  const auto& policy = engine.policy();
  std::map<TableId, std::vector<std::string>> edges;
  for (const auto& edge : left.edges)
    edges[edge.table].push_back(fmt::format("{} of {}", Filling::edge_text(policy, edge),
                                            policy.rules[policy.tables.tables[edge.table].rows[edge.row].rule].name));
  WallMarks marks;
  marks.field = [&](TableId id, const std::vector<std::uint32_t>& rows) -> std::vector<std::string> {
    if (id >= left.rows.size()) return {};
    const bool none = std::all_of(rows.begin(), rows.end(), [&](std::uint32_t row) { return left.rows[id][row]; });
    return none ? std::vector<std::string>{mark} : std::vector<std::string>();
  };
  marks.outranks = [&](TableId id, const auto& pair) -> std::string {
    const bool none = id < left.outranks.size() &&
                      std::find(left.outranks[id].begin(), left.outranks[id].end(), pair) != left.outranks[id].end();
    return none ? mark : "";
  };
  marks.below = [&](TableId id) -> std::vector<std::string> {
    const auto found = edges.find(id);
    if (found == edges.end()) return {};
    return {"nobody on both sides of: " + compiler::listed(found->second)};
  };
  auto out = text_of(policy, wall_tables(policy, {}), marks);
  const auto sum = [](std::size_t untouched, std::size_t whole, const char* what) {
    return fmt::format("  {:>5} of {:>5} {}\n", untouched, whole, what);
  };
  out += "\n○ marks what no sample player touches:\n";
  out += sum(left.untouched_rows, left.all_rows, "rows and rules");
  out += sum(left.untouched_outranks, left.all_outranks, "outranks");
  out += sum(left.edges.size(), left.all_edges, "edges (nobody on one of their sides)");
  Filling filling(engine, all);
  const auto players_text = filling.run(left);
  if (!players_text.empty()) out += "\nPlayers who would touch it, with today's answers:\n" + players_text;
  return out;
}

}  // namespace lacestay::runtime
