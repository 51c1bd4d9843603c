#include "runtime/engine/possible.hpp"

#include <algorithm>
#include <cassert>
#include <set>

#include "compiler/space/branch_and_prune.hpp"
#include "compiler/space/reach.hpp"

namespace lacestay::runtime {

using compiler::BranchAndPrune;
using compiler::ColumnId;
using compiler::PlaceRange;

namespace {

// The most parts of a player's blank details that are looked at for one table: 50,000 splits.
constexpr std::size_t most_parts = 100'001;

class Search {
 public:
  Search(const Engine& engine, TableId table, const Player& player)
      : engine_(engine),
        tables_(engine.tables()),
        table_(tables_.tables[table]),
        id_(table),
        player_(player),
        reach_(tables_, table_.columns) {
    assert(player.readings.size() == tables_.asked.size());
    std::vector<bool> worked_from(tables_.asked.size());
    for (const auto column : table_.columns)
      if (tables_.columns[column].worked_out)
        tables_.each_asked_under(column, [&](std::uint16_t input) { worked_from[input] = true; });
    for (const auto column : table_.columns)
      if (tables_.columns[column].worked_out || (worked_from[column] && !player.readings[column]))
        bound_.push_back(column);
  }

  Possible run() {
    BranchAndPrune::Part whole;
    for (std::size_t i = 0; i < tables_.asked.size(); ++i) {
      const auto& domain = tables_.asked[i];
      const auto& reading = player_.readings[i];
      whole.push_back(reading ? compiler::ValueRange{*reading, *reading}
                              : compiler::ValueRange{domain.lowest, domain.highest});
    }
    BranchAndPrune space(tables_, std::move(whole), most_parts);
    const auto look_at = [&](const BranchAndPrune::Part& part) { return look(space, part); };
    space.run(look_at);
    return {{found_.begin(), found_.end()}, exact_};
  }

 private:
  using Places = std::vector<PlaceRange>;  // by column

  BranchAndPrune::Next look(const BranchAndPrune& space, const BranchAndPrune::Part& part) {
    const auto reached = reach_.over(part);
    const Places places(reached.begin(), reached.end());
    const auto could = engine_.possible(id_, places);
    const bool settled = std::all_of(bound_.begin(), bound_.end(),
                                     [&](ColumnId column) { return places[column].first == places[column].last; });
    if (settled || nothing_new(could)) {
      add(could);
      return BranchAndPrune::Prune{};
    }
    if (space.spent()) {
      add(could);
      exact_ = false;
      return BranchAndPrune::Prune{};
    }
    add(at_a_point(part, places));
    if (nothing_new(could)) return BranchAndPrune::Prune{};
    // Splitting what the columns in doubt don't rest on would settle nothing.
    std::vector<std::size_t> doubts;
    for (const auto column : bound_)
      if (places[column].first != places[column].last)
        tables_.each_asked_under(column, [&](std::uint16_t asked) { doubts.push_back(asked); });
    const auto split = space.split(part, doubts, BranchAndPrune::SplitAt::middle);
    // At one point bounds can be wider than what is reached; the point itself has been added.
    if (!split) return BranchAndPrune::Prune{};
    return *split;
  }

  // What is possible with the bound columns as they are in the middle of the part.
  std::vector<ClassId> at_a_point(const BranchAndPrune::Part& part, Places places) {
    std::vector<std::int64_t> point(part.size());
    for (std::size_t i = 0; i < part.size(); ++i) {
      const auto grain = tables_.asked[i].grain;
      point[i] = part[i].low + (part[i].high - part[i].low) / 2 / grain * grain;
    }
    const auto reached = reach_.at(point);
    for (const auto column : bound_) places[column] = reached[column];
    return engine_.possible(id_, places);
  }

  void add(const std::vector<ClassId>& classes) { found_.insert(classes.begin(), classes.end()); }
  [[nodiscard]] bool nothing_new(const std::vector<ClassId>& classes) const {
    return std::includes(found_.begin(), found_.end(), classes.begin(), classes.end());
  }

  const Engine& engine_;
  const compiler::Tables& tables_;
  const compiler::Table& table_;
  TableId id_;
  const Player& player_;
  compiler::Reach reach_;
  // Columns of the table that can't be chosen freely: worked-out ones, and blank details that one of those rests on.
  std::vector<ColumnId> bound_;
  std::set<ClassId> found_;
  bool exact_ = true;
};

// One value for each place of a detail, and some spread over its range.
std::vector<std::int64_t> values_to_try(const compiler::Tables& tables, std::size_t detail) {
  const auto& domain = tables.asked[detail];
  std::set<std::int64_t> values = {domain.lowest, domain.highest};
  if (domain.members) {
    for (auto value = domain.lowest; value <= domain.highest; ++value) values.insert(value);
    return {values.begin(), values.end()};
  }
  for (const auto& cut : tables.columns[detail].cuts) values.insert(cut.at);
  constexpr std::int64_t spread = 8;
  const auto steps = (domain.highest - domain.lowest) / domain.grain;
  for (std::int64_t i = 1; i < spread; ++i) values.insert(domain.lowest + steps / spread * i * domain.grain);
  return {values.begin(), values.end()};
}

}  // namespace

Possible possible_answers(const Engine& engine, TableId table, const Player& player) {
  return Search(engine, table, player).run();
}

std::vector<Possible> possible_answers(const Engine& engine, const Player& player) {
  std::vector<Possible> all(engine.answers());
  if (!player.complete()) {
    for (TableId table = 0; table < all.size(); ++table) all[table] = possible_answers(engine, table, player);
    return all;
  }
  auto scratch = engine.scratch();
  std::vector<ClassId> classes(all.size());
  engine.answer(readings_of(player), scratch, classes);
  for (std::size_t table = 0; table < all.size(); ++table) all[table].classes = {classes[table]};
  return all;
}

std::size_t different_outcomes(const Engine& engine, TableId table, const std::vector<ClassId>& classes) {
  std::vector<Outcome> distinct;
  for (const auto found : classes) {
    const auto& outcome = engine.outcome(table, found);
    if (std::find(distinct.begin(), distinct.end(), outcome) == distinct.end()) distinct.push_back(outcome);
  }
  return distinct.size();
}

std::optional<NextDetail> next_to_take(const Engine& engine, const Player& player,
                                       const std::vector<Possible>& possible) {
  const auto& policy = engine.policy();
  std::vector<std::size_t> left(possible.size());
  std::vector<std::vector<bool>> on;
  std::size_t total = 0;
  for (std::size_t table = 0; table < possible.size(); ++table) {
    left[table] = different_outcomes(engine, static_cast<TableId>(table), possible[table].classes) - 1;
    total += left[table];
    on.push_back(policy.tables.asked_under(policy.tables.tables[table]));
  }
  std::optional<NextDetail> best;
  for (std::size_t detail = 0; detail < player.readings.size() && total > 0; ++detail) {
    if (player.readings[detail]) continue;
    std::size_t worst = 0;
    bool tells = false;
    for (std::size_t table = 0; table < possible.size(); ++table)
      tells = tells || (on[table][detail] && left[table] > 0);
    if (!tells) continue;
    for (const auto value : values_to_try(engine.tables(), detail)) {
      auto with = player;
      with.readings[detail] = value;
      std::size_t remaining = total;
      for (std::size_t table = 0; table < possible.size(); ++table) {
        if (!on[table][detail] || left[table] == 0) continue;
        const auto now = possible_answers(engine, static_cast<TableId>(table), with);
        remaining = remaining - left[table] + different_outcomes(engine, static_cast<TableId>(table), now.classes) - 1;
      }
      worst = std::max(worst, remaining);
      if (best && worst >= best->left) break;
    }
    if (!best || worst < best->left) best = NextDetail{detail, worst};
  }
  return best;
}

}  // namespace lacestay::runtime
