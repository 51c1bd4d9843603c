// Laying a policy's tables out for the engine.
#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>
#include <unordered_map>

#include "runtime/engine.hpp"

namespace lacestay::runtime {

using compiler::Box;
using compiler::ColumnId;
using compiler::PlaceRange;
using compiler::Table;

namespace {

// A table whose places multiply to more than this is walked as a diagram. It also keeps classes within 16 bits.
constexpr std::size_t largest_dense = 1u << 16;
// The most edges one table's diagram may take: 32 MiB of nodes.
constexpr std::size_t largest_diagram = 4u << 20;

// Sets of rows, each held once; set 0 is empty.
class RowSets {
 public:
  using Id = std::uint32_t;

  RowSets() { intern({}); }

  Id with(Id set, std::uint32_t row) {
    auto rows = sets_[set];
    rows.insert(std::lower_bound(rows.begin(), rows.end(), row), row);
    return intern(std::move(rows));
  }
  Id both(Id a, Id b) {
    if (a == 0 || b == 0 || a == b) return a == 0 ? b : a;
    std::vector<std::uint32_t> rows;
    std::set_union(sets_[a].begin(), sets_[a].end(), sets_[b].begin(), sets_[b].end(), std::back_inserter(rows));
    return intern(std::move(rows));
  }
  [[nodiscard]] const std::vector<std::vector<std::uint32_t>>& all() const { return sets_; }

 private:
  Id intern(std::vector<std::uint32_t> rows) {
    const auto [known, fresh] = ids_.emplace(std::move(rows), static_cast<Id>(sets_.size()));
    if (fresh) sets_.push_back(known->first);
    return known->second;
  }

  std::map<std::vector<std::uint32_t>, Id> ids_;
  std::vector<std::vector<std::uint32_t>> sets_;
};

}  // namespace

class Engine::Builder {
 public:
  explicit Builder(Engine& engine) : engine_(engine), tables_(engine.policy_->tables) {}

  void run() {
    engine_.answers_ = tables_.first_caution_table() + engine_.policy_->cautions.size();
    std::set<std::uint16_t> inputs;
    for (const auto& detail : tables_.worked_out)
      if (!detail.formula.empty())
        for (const auto& step : detail.formula)
          if (step.kind == compiler::FormulaStep::Kind::detail && !tables_.columns[step.index].worked_out) inputs.insert(step.index);
    engine_.formula_inputs_.assign(inputs.begin(), inputs.end());
    for (std::size_t i = 0; i < tables_.asked.size(); ++i) {
      std::vector<std::int64_t> edges;
      for (const auto& cut : tables_.columns[i].cuts) edges.push_back(cut.at);
      engine_.edges_.push_back(std::move(edges));
    }
    for (const auto& table : tables_.tables) {
      failed_ = &table;
      engine_.lookups_.push_back(lay_out(table));
    }
  }

  [[nodiscard]] const Table& failed() const { return *failed_; }

 private:
  Lookup lay_out(const Table& table) {
    Lookup lookup;
    const auto rows = with_own_places(table, lookup);
    std::size_t cells = 1;
    for (const auto& step : lookup.steps) cells = std::min(cells * step.places, largest_dense + 1);
    RowSets sets;
    lookup.dense = cells <= largest_dense;
    if (lookup.dense) fill_cells(rows, cells, lookup, sets);
    else flatten(table, rows, lookup, sets);
    lookup.rows = sets.all();
    for (const auto& set : lookup.rows) lookup.outcomes.push_back(decide(tables_, table, set));
    return lookup;
  }

  // The table's own places: those of the policy between which no row of this table tells. Returns the rows' boxes
  // with columns numbered as steps and places as the table's own.
  std::vector<Box> with_own_places(const Table& table, Lookup& lookup) {
    std::vector<Box> boxes;
    for (const auto& row : table.rows) boxes.push_back(row.box);
    std::map<ColumnId, std::vector<bool>> begins;  // by place: a row's range begins here, or ended just before
    for (const auto column : table.columns) begins[column].assign(tables_.columns[column].places + 1, false);
    for (const auto& box : boxes)
      for (const auto& cell : box)
        for (const auto& range : cell.places) begins[cell.column][range.first] = begins[cell.column][range.last + 1] = true;
    std::map<ColumnId, std::pair<ColumnId, std::vector<std::uint32_t>>> own;  // column -> its step, its remap
    for (const auto column : table.columns) {
      const auto places = tables_.columns[column].places;
      std::vector<std::uint32_t> remap(places);
      std::uint32_t next = 0;
      for (std::uint32_t place = 0; place < places; ++place) {
        if (place > 0 && begins[column][place]) ++next;
        remap[place] = next;
      }
      const auto step = static_cast<ColumnId>(lookup.steps.size());
      lookup.steps.push_back({column, static_cast<std::uint32_t>(engine_.remaps_.size()), next + 1});
      engine_.remaps_.insert(engine_.remaps_.end(), remap.begin(), remap.end());
      own.emplace(column, std::pair(step, std::move(remap)));
    }
    for (auto& box : boxes) {
      for (auto& cell : box) {
        const auto& [step, remap] = own.at(cell.column);
        for (auto& range : cell.places) range = {remap[range.first], remap[range.last]};
        cell.column = step;
      }
    }
    return boxes;
  }

  // Each cell starts in the empty class; each row moves the cells of its box to the class that has it too.
  void fill_cells(const std::vector<Box>& boxes, std::size_t cells, Lookup& lookup, RowSets& sets) {
    std::vector<std::uint32_t> strides(lookup.steps.size(), 1);
    for (std::size_t i = lookup.steps.size(); i-- > 1;) strides[i - 1] = strides[i] * lookup.steps[i].places;
    for (std::size_t i = 0; i < lookup.steps.size(); ++i) {
      const auto& step = lookup.steps[i];
      for (std::uint32_t place = 0; place < tables_.columns[step.column].places; ++place) engine_.remaps_[step.remap + place] *= strides[i];
    }
    std::vector<RowSets::Id> classes(cells, 0);
    for (std::uint32_t row = 0; row < boxes.size(); ++row) {
      std::unordered_map<RowSets::Id, RowSets::Id> moved;
      const auto& box = boxes[row];
      const auto paint = [&](auto&& self, std::size_t step, std::size_t at, std::uint32_t index) -> void {
        if (step == lookup.steps.size()) {
          const auto [known, fresh] = moved.emplace(classes[index], 0);
          if (fresh) known->second = sets.with(classes[index], row);
          classes[index] = known->second;
          return;
        }
        const bool held = at < box.size() && box[at].column == step;
        const PlaceRange open{0, lookup.steps[step].places - 1};
        const auto ranges = held ? std::span(box[at].places) : std::span<const PlaceRange>(&open, 1);
        for (const auto& range : ranges)
          for (auto place = range.first; place <= range.last; ++place) self(self, step + 1, at + (held ? 1 : 0), index + place * strides[step]);
      };
      paint(paint, 0, 0, 0);
    }
    lookup.cells.assign(classes.begin(), classes.end());
  }

  void flatten(const Table& table, const std::vector<Box>& boxes, Lookup& lookup, RowSets& sets) {
    std::vector<std::uint32_t> places;
    for (const auto& step : lookup.steps) places.push_back(step.places);
    compiler::Diagrams diagrams(places, largest_diagram);
    const auto join = [&](std::uint32_t a, std::uint32_t b) { return sets.both(a, b); };
    const auto all = [&](auto&& self, std::uint32_t first, std::uint32_t last) -> compiler::Diagrams::Node {
      if (last - first == 1) return diagrams.box(boxes[first], diagrams.terminal(sets.with(0, first)), diagrams.terminal(0));
      const auto middle = first + (last - first) / 2;
      const auto left = self(self, first, middle), right = self(self, middle, last);
      return diagrams.merge(left, right, join);
    };
    const auto root = all(all, 0, static_cast<std::uint32_t>(table.rows.size()));
    std::unordered_map<compiler::Diagrams::Node, std::uint32_t> laid;
    const auto lay = [&](auto&& self, compiler::Diagrams::Node node) -> std::uint32_t {
      if (diagrams.is_terminal(node)) return terminal_mark | diagrams.value(node);
      if (const auto known = laid.find(node); known != laid.end()) return known->second;
      const auto at = static_cast<std::uint32_t>(lookup.walk.size());
      const auto count = places[diagrams.column(node)];
      if (lookup.walk.size() + count > 4 * largest_diagram) throw compiler::Diagrams::OverBudget{};
      lookup.walk.resize(at + 1 + count);
      lookup.walk[at] = diagrams.column(node);
      laid.emplace(node, at);
      std::uint32_t place = 0;
      for (const auto& edge : diagrams.edges(node)) {
        const auto to = self(self, edge.to);
        for (; place <= edge.last; ++place) lookup.walk[at + 1 + place] = to;
      }
      return at;
    };
    lookup.root = lay(lay, root);
  }

  static constexpr std::uint32_t terminal_mark = 0x80000000u;

  Engine& engine_;
  const compiler::Tables& tables_;
  const Table* failed_ = nullptr;
};

std::shared_ptr<const Engine> Engine::build(std::shared_ptr<const compiler::Policy> policy, std::string& why) {
  auto engine = std::make_shared<Engine>();
  engine->policy_ = std::move(policy);
  Builder builder(*engine);
  try {
    builder.run();
    return engine;
  } catch (const compiler::Diagrams::OverBudget&) {
    const auto& table = builder.failed();
    const auto& known = *engine->policy_;
    const auto name = table.kind == Table::Kind::property ? known.pieces[known.properties[table.target].piece].name + " " + known.properties[table.target].name
                      : table.kind == Table::Kind::piece  ? known.pieces[table.target].name
                                                          : std::string("a chart");
    why = fmt::format("The rules about {} look at too many details at once ({} of them) to be laid out in a table.", name, table.columns.size());
    return nullptr;
  }
}

}  // namespace lacestay::runtime
