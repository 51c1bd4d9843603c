// Laying a policy's tables out for the engine.
#include <fmt/format.h>

#include <algorithm>
#include <cassert>
#include <map>
#include <unordered_map>

#include "compiler/space/fewer_columns.hpp"
#include "compiler/space/reach.hpp"
#include "compiler/space/row_sets.hpp"
#include "runtime/engine/engine.hpp"

namespace lacestay::runtime {

using compiler::Box;
using compiler::ColumnId;
using compiler::PlaceRange;
using compiler::RowSets;
using compiler::Table;

namespace {

// The most edges one table's diagram may take: 32 MiB of nodes.
constexpr std::size_t largest_diagram = 4u << 20;

}  // namespace

class Engine::Builder {
 public:
  Builder(Engine& engine, std::size_t dense) : engine_(engine), tables_(engine.tables_), dense_(dense) {}

  void run() {
    engine_.answers_ = tables_.first_caution_table() + engine_.policy_->cautions.size();
    find_what_is_needed();
    for (std::size_t i = 0; i < tables_.asked.size(); ++i) {
      std::vector<std::int64_t> edges;
      for (const auto& cut : tables_.columns[i].cuts) edges.push_back(cut.at);
      engine_.rulers_.emplace_back(std::move(edges), tables_.asked[i].lowest, tables_.asked[i].highest);
    }
    for (std::size_t i = 0; i < tables_.worked_out.size(); ++i) engine_.works_.push_back(work_of(i));
    for (const auto& table : tables_.tables) {
      failed_ = &table;
      lay_out(table);
    }
  }

  [[nodiscard]] const Table& failed() const { return *failed_; }

 private:
  // By column a table looks at: each of the policy's places as one of the table's own.
  using Remaps = std::vector<std::pair<ColumnId, std::vector<std::uint32_t>>>;

  // Worked-out details under a column of some table that answers, or by which players are shut out; and the asked
  // details their formulas read.
  void find_what_is_needed() {
    std::vector<ColumnId> columns;
    for (const auto& table : tables_.tables)
      if (table.kind != Table::Kind::detail) columns.insert(columns.end(), table.columns.begin(), table.columns.end());
    for (const auto& each : tables_.shut_out)
      for (const auto& cell : each.box) columns.push_back(cell.column);
    const auto needed = compiler::columns_under(tables_, columns);
    const auto asked = tables_.asked.size();
    std::vector<bool> in_formula(asked);
    for (std::size_t i = 0; i < tables_.worked_out.size(); ++i) {
      if (!needed[asked + i]) continue;
      engine_.worked_out_.push_back(static_cast<std::uint16_t>(i));
      for (const auto& step : tables_.worked_out[i].formula)
        if (step.kind == compiler::FormulaStep::Kind::detail && step.index < asked) in_formula[step.index] = true;
    }
    for (std::uint16_t i = 0; i < asked; ++i)
      if (in_formula[i]) engine_.formula_inputs_.push_back(i);
  }

  Work work_of(std::size_t index) const {
    const auto& detail = tables_.worked_out[index];
    Work work;
    work.scale = detail.plain_number ? compiler::ticks_per_one : 1;
    const auto largest = compiler::multiply(detail.largest_numerator, work.scale);
    work.ticks_fit_64 = largest && *largest < compiler::Int128{1} << 61;
    std::vector<std::int64_t> edges;
    for (const auto& cut : tables_.columns[tables_.asked.size() + index].cuts)
      edges.push_back(2 * cut.at + (cut.after ? 1 : 0));
    const auto lowest = compiler::floor_divide(detail.lowest.numerator, detail.lowest.denominator);
    const auto highest = compiler::ceil_divide(detail.highest.numerator, detail.highest.denominator);
    work.ruler = Ruler(std::move(edges), static_cast<std::int64_t>(2 * lowest), static_cast<std::int64_t>(2 * highest));
    return work;
  }

  void lay_out(const Table& table) {
    Lookup lookup;
    const auto rows = with_own_places(table, lookup);
    const auto& plan = engine_.plans_[lookup.plan];
    RowSets sets(RowSets::most_held - held_);
    if (plan.dense)
      fill_cells(rows, plan, lookup, sets);
    else
      flatten(rows, plan, lookup, sets);
    held_ += sets.held();
    engine_.lookups_.push_back(lookup);
    Classes classes;
    classes.rows = sets.all();
    for (const auto& set : classes.rows) classes.outcomes.push_back(decide(tables_, table, set));
    engine_.classes_.push_back(std::move(classes));
  }

  // The table's own places: those of the policy between which no row of this table tells. Returns the rows' boxes
  // with columns numbered as steps and places as the table's own, and finds or makes the plan that leads there.
  std::vector<Box> with_own_places(const Table& table, Lookup& lookup) {
    std::vector<Box> boxes;
    for (const auto& row : table.rows) boxes.push_back(row.box);
    std::map<ColumnId, std::vector<bool>> begins;  // by place: a row's range begins here, or ended just before
    for (const auto column : table.columns) begins[column].assign(tables_.columns[column].places + 1, false);
    for (const auto& box : boxes)
      for (const auto& cell : box)
        for (const auto& range : cell.places)
          begins[cell.column][range.first] = begins[cell.column][range.last + 1] = true;
    Remaps remaps;
    for (const auto column : table.columns) {
      std::vector<std::uint32_t> remap(tables_.columns[column].places);
      for (std::uint32_t place = 1; place < remap.size(); ++place)
        remap[place] = remap[place - 1] + (begins[column][place] ? 1 : 0);
      remaps.emplace_back(column, std::move(remap));
    }
    for (auto& box : boxes) {
      for (auto& cell : box) {
        const auto own =
            std::find_if(remaps.begin(), remaps.end(), [&](const auto& each) { return each.first == cell.column; });
        for (auto& range : cell.places) range = {own->second[range.first], own->second[range.last]};
        cell.column = static_cast<ColumnId>(own - remaps.begin());
      }
    }
    const auto [known, fresh] = plan_of_.emplace(std::move(remaps), static_cast<std::uint32_t>(engine_.plans_.size()));
    if (fresh) add_plan(known->first);
    lookup.plan = known->second;
    return boxes;
  }

  void add_plan(const Remaps& remaps) {
    Plan plan;
    plan.first_step = static_cast<std::uint32_t>(engine_.steps_.size());
    std::size_t cells = 1;
    for (const auto& [column, remap] : remaps)
      cells = std::min<std::size_t>(cells * (remap.back() + 1), largest_dense + 1);
    plan.dense = cells <= dense_;
    std::uint32_t stride = plan.dense ? static_cast<std::uint32_t>(cells) : 1;
    for (const auto& [column, remap] : remaps) {
      if (plan.dense) stride /= remap.back() + 1;
      engine_.steps_.push_back({column, static_cast<std::uint32_t>(engine_.remaps_.size()), remap.back() + 1, stride});
      for (const auto place : remap) engine_.remaps_.push_back(place * stride);
    }
    plan.end_step = static_cast<std::uint32_t>(engine_.steps_.size());
    engine_.plans_.push_back(plan);
  }

  // Each cell starts in the empty class; each row moves the cells of its box to the class that has it too.
  void fill_cells(const std::vector<Box>& boxes, const Plan& plan, Lookup& lookup, RowSets& sets) {
    const auto steps = engine_.steps_of(plan);
    const std::size_t cells = steps.empty() ? 1 : std::size_t{steps.front().stride} * steps.front().places;
    std::vector<RowSets::Id> classes(cells, 0);
    for (std::uint32_t row = 0; row < boxes.size(); ++row) {
      std::unordered_map<RowSets::Id, RowSets::Id> moved;
      const auto& box = boxes[row];
      const auto paint = [&](auto&& self, std::size_t step, std::size_t at, std::uint32_t index) -> void {
        if (step == steps.size()) {
          const auto [known, fresh] = moved.emplace(classes[index], 0);
          if (fresh) known->second = sets.with(classes[index], row);
          classes[index] = known->second;
          return;
        }
        const bool held = at < box.size() && box[at].column == step;
        const PlaceRange open{0, steps[step].places - 1};
        const auto ranges = held ? std::span(box[at].places) : std::span<const PlaceRange>(&open, 1);
        for (const auto& range : ranges)
          for (auto place = range.first; place <= range.last; ++place)
            self(self, step + 1, at + (held ? 1 : 0), index + place * steps[step].stride);
      };
      paint(paint, 0, 0, 0);
    }
    lookup.start = static_cast<std::uint32_t>(engine_.cells_.size());
    for (const auto held : classes) engine_.cells_.push_back(static_cast<std::uint16_t>(held));
  }

  void flatten(const std::vector<Box>& boxes, const Plan& plan, Lookup& lookup, RowSets& sets) {
    std::vector<std::uint32_t> places;
    for (const auto& step : engine_.steps_of(plan)) places.push_back(step.places);
    compiler::Diagrams diagrams(places, largest_diagram);
    auto& walk = engine_.walk_;
    const auto root = sets.diagram(diagrams, boxes);
    std::unordered_map<compiler::Diagrams::Node, std::uint32_t> laid;
    const auto lay = [&](auto&& self, compiler::Diagrams::Node node) -> std::uint32_t {
      if (diagrams.is_terminal(node)) return terminal_mark | diagrams.value(node);
      if (const auto known = laid.find(node); known != laid.end()) return known->second;
      const auto at = static_cast<std::uint32_t>(walk.size());
      const auto count = places[diagrams.column(node)];
      if (walk.size() + count > 4 * largest_diagram) throw compiler::Diagrams::OverBudget{};
      walk.resize(at + 1 + count);
      walk[at] = diagrams.column(node);
      laid.emplace(node, at);
      std::uint32_t place = 0;
      for (const auto& edge : diagrams.edges(node)) {
        const auto to = self(self, edge.to);
        for (; place <= edge.last; ++place) walk[at + 1 + place] = to;
      }
      return at;
    };
    lookup.start = lay(lay, root);
  }

  static constexpr std::uint32_t terminal_mark = 0x80000000u;

  Engine& engine_;
  const compiler::Tables& tables_;
  std::size_t dense_;
  std::map<Remaps, std::uint32_t> plan_of_;
  const Table* failed_ = nullptr;
  std::size_t held_ = 0;  // rows of all tables' classes
};

Result<std::shared_ptr<const Engine>> Engine::build(std::shared_ptr<const compiler::Policy> policy, std::size_t dense) {
  assert(policy);
  const std::shared_ptr<Engine> engine(new Engine);
  engine->policy_ = std::move(policy);
  engine->tables_ = compiler::with_fewer_columns(engine->policy_->tables);
  Builder builder(*engine, dense);
  const auto name = [&] {
    const auto kind = builder.failed().kind;
    const bool answers = kind == Table::Kind::property || kind == Table::Kind::piece;
    return answers ? engine->policy_->name_of(builder.failed()) : std::string("a chart");
  };
  const auto too_large = [](std::string message) {
    return Problem{"limits-5", std::move(message), "let fewer details decide it, or split the piece in two"};
  };
  try {
    builder.run();
    return engine;
  } catch (const RowSets::TooMany&) {
    return too_large(
        fmt::format("Too many rules about {} hold for one player at once to be laid out in a table.", name()));
  } catch (const compiler::Diagrams::OverBudget&) {
    return too_large(
        fmt::format("The rules about {} look at too many details at once ({} of them) to be laid out in a table.",
                    name(), builder.failed().columns.size()));
  }
}

}  // namespace lacestay::runtime
