#include "runtime/engine/possible.hpp"

#include <algorithm>
#include <numeric>
#include <set>

#include "compiler/space/reach.hpp"

namespace lacestay::runtime {

using compiler::ColumnId;

namespace {

// The most parts a player's blank details are cut into for one table.
constexpr std::size_t most_parts = 20'000;

class Search {
 public:
  Search(const Engine& engine, TableId table, const Player& player)
      : engine_(engine), tables_(engine.tables()), table_(tables_.tables[table]), id_(table), reach_(tables_) {
    const auto& tables = tables_;
    for (std::size_t i = 0; i < tables.asked.size(); ++i) {
      const auto& domain = tables.asked[i];
      if (player.readings[i])
        ranges_.push_back({*player.readings[i], *player.readings[i]});
      else
        ranges_.push_back({domain.lowest, domain.highest});
    }
    std::set<std::uint16_t> inputs;
    for (const auto column : table_.columns)
      if (tables.columns[column].worked_out) {
        const auto& rests_on = tables.worked_out[tables.columns[column].detail].inputs;
        inputs.insert(rests_on.begin(), rests_on.end());
      }
    for (const auto input : inputs)
      if (!player.readings[input]) split_.push_back(input);
  }

  Possible run() {
    visit(ranges_);
    return {{found_.begin(), found_.end()}, exact_};
  }

 private:
  using Part = std::vector<compiler::ValueRange>;  // by asked detail

  // The places each column may be in over a part, and whether those that rest on blank details are settled.
  std::vector<std::vector<std::uint32_t>> places_over(const Part& part, bool& settled) {
    const auto reached = reach_.over(part);
    std::vector<std::vector<std::uint32_t>> places(reached.size());
    settled = true;
    for (const auto column : table_.columns) {
      const auto& range = reached[column];
      places[column].resize(range.last - range.first + 1);
      std::iota(places[column].begin(), places[column].end(), range.first);
      if (rests_on_split(column) && places[column].size() > 1) settled = false;
    }
    return places;
  }

  [[nodiscard]] bool rests_on_split(ColumnId column) const {
    return tables_.columns[column].worked_out || std::find(split_.begin(), split_.end(), column) != split_.end();
  }

  bool add(const std::vector<ClassId>& classes) {
    const auto before = found_.size();
    found_.insert(classes.begin(), classes.end());
    return found_.size() != before;
  }
  [[nodiscard]] bool nothing_new(const std::vector<ClassId>& classes) const {
    return std::includes(found_.begin(), found_.end(), classes.begin(), classes.end());
  }

  void visit(const Part& part) {
    bool settled = false;
    auto places = places_over(part, settled);
    const auto could = engine_.possible(id_, places);
    if (settled || nothing_new(could)) {
      add(could);
      return;
    }
    if (++parts_ > most_parts) {
      add(could);
      exact_ = false;
      return;
    }
    add(at_a_point(part, places));
    if (nothing_new(could)) return;
    // Halve the longest range, in steps of its grain.
    std::size_t longest = split_.front();
    const auto steps = [&](std::size_t i) { return (part[i].high - part[i].low) / tables_.asked[i].grain; };
    for (const auto i : split_)
      if (steps(i) > steps(longest)) longest = i;
    if (steps(longest) == 0) {
      // One point: interval arithmetic was wider than what is reached, and the point has been added.
      return;
    }
    const auto grain = tables_.asked[longest].grain;
    const auto middle = part[longest].low + steps(longest) / 2 * grain;
    auto half = part;
    half[longest].high = middle;
    visit(half);
    half[longest] = {middle + grain, part[longest].high};
    visit(half);
  }

  // What is possible with the blank inputs at the middle of their ranges.
  std::vector<ClassId> at_a_point(const Part& part, std::vector<std::vector<std::uint32_t>> places) {
    std::vector<std::int64_t> point(part.size());
    for (std::size_t i = 0; i < part.size(); ++i) {
      const auto grain = tables_.asked[i].grain;
      point[i] = part[i].low + (part[i].high - part[i].low) / 2 / grain * grain;
    }
    const auto reached = reach_.at(point);
    for (const auto column : table_.columns)
      if (rests_on_split(column)) places[column] = {reached[column].first};
    return engine_.possible(id_, places);
  }

  const Engine& engine_;
  const compiler::Tables& tables_;
  const compiler::Table& table_;
  TableId id_;
  compiler::Reach reach_;
  Part ranges_;
  std::vector<std::uint16_t> split_;  // blank details a worked-out column of the table rests on
  std::set<ClassId> found_;
  std::size_t parts_ = 0;
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
