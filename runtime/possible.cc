#include "runtime/possible.hpp"

#include <algorithm>
#include <numeric>
#include <set>

namespace lacestay::runtime {

using compiler::ColumnId;
using compiler::Int128;
using compiler::Interval;
using compiler::Rational;

namespace {

// The most parts a player's blank details are cut into for one table.
constexpr std::size_t most_parts = 20'000;

constexpr Int128 ticks_per_one = 1'000'000'000;

class Search {
 public:
  Search(const Engine& engine, TableId table, const Player& player)
      : engine_(engine), policy_(engine.policy()), table_(policy_.tables.tables[table]), id_(table), scratch_(engine.scratch()) {
    const auto& tables = policy_.tables;
    for (std::size_t i = 0; i < tables.asked.size(); ++i) {
      const auto& domain = tables.asked[i];
      if (player.readings[i]) ranges_.push_back({*player.readings[i], *player.readings[i]});
      else ranges_.push_back({domain.lowest, domain.highest});
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
  struct Range {
    std::int64_t low, high;
  };
  using Part = std::vector<Range>;  // by asked detail

  // The places each column may be in over a part. Of a worked-out column: a range that is sure to hold them all.
  std::vector<std::vector<std::uint32_t>> places_over(const Part& part, bool& settled) {
    const auto& tables = policy_.tables;
    std::vector<std::vector<std::uint32_t>> places(tables.columns.size());
    std::vector<Interval> values(tables.columns.size());
    std::vector<std::int64_t> low(part.size()), high(part.size());
    for (std::size_t i = 0; i < part.size(); ++i) low[i] = part[i].low, high[i] = part[i].high;
    auto at_low = engine_.scratch();
    engine_.place(low, at_low);
    const auto first = at_low.places;
    engine_.place(high, at_low);
    const auto& last = at_low.places;
    const auto fill = [&](std::size_t column, std::uint32_t from, std::uint32_t to) {
      places[column].resize(to - from + 1);
      std::iota(places[column].begin(), places[column].end(), from);
    };
    for (std::size_t i = 0; i < part.size(); ++i) {
      fill(i, first[i], last[i]);
      const Int128 per = policy_.details[i].scale.dimension == compiler::Dimension::number ? ticks_per_one : 1;
      values[i] = {compiler::reduced(part[i].low, per), compiler::reduced(part[i].high, per)};
    }
    for (std::size_t i = 0; i < tables.worked_out.size(); ++i) {
      const auto column = part.size() + i;
      const auto& detail = tables.worked_out[i];
      const auto bounds = detail.formula.empty() ? chart_bounds(detail, places) : compiler::bounds(detail.formula, values);
      const Int128 per = detail.plain_number ? ticks_per_one : 1;
      values[column] = bounds.value_or(Interval{compiler::reduced(detail.lowest.numerator, detail.lowest.denominator * per),
                                                compiler::reduced(detail.highest.numerator, detail.highest.denominator * per)});
      fill(column, place_of(column, values[column].lowest, per), place_of(column, values[column].highest, per));
    }
    settled = true;
    for (const auto column : table_.columns) {
      const bool rests_on_split = tables.columns[column].worked_out || std::find(split_.begin(), split_.end(), column) != split_.end();
      if (rests_on_split && places[column].size() > 1) settled = false;
    }
    return places;
  }

  std::optional<Interval> chart_bounds(const compiler::WorkedOut& detail, const std::vector<std::vector<std::uint32_t>>& places) const {
    std::int64_t low = 0, high = 0;
    bool any = false;
    for (const auto found : engine_.possible(detail.chart, places)) {
      const auto value = engine_.outcome(detail.chart, found).low;
      low = any ? std::min(low, value) : value;
      high = any ? std::max(high, value) : value;
      any = true;
    }
    const Int128 per = detail.plain_number ? ticks_per_one : 1;
    return Interval{compiler::reduced(low, per), compiler::reduced(high, per)};
  }

  // The place of an exact value, given in ones for plain numbers.
  [[nodiscard]] std::uint32_t place_of(std::size_t column, const Rational& value, Int128 per) const {
    const auto& cuts = policy_.tables.columns[column].cuts;
    const auto reached = [&](const compiler::Cut& cut) {
      const auto sign = compare(value, compiler::reduced(cut.at, per)).value_or(0);
      return sign > 0 || (sign == 0 && !cut.after);
    };
    return static_cast<std::uint32_t>(std::partition_point(cuts.begin(), cuts.end(), reached) - cuts.begin());
  }

  bool add(const std::vector<ClassId>& classes) {
    const auto before = found_.size();
    found_.insert(classes.begin(), classes.end());
    return found_.size() != before;
  }
  [[nodiscard]] bool nothing_new(const std::vector<ClassId>& classes) const { return std::includes(found_.begin(), found_.end(), classes.begin(), classes.end()); }

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
    const auto steps = [&](std::size_t i) { return (part[i].high - part[i].low) / policy_.tables.asked[i].grain; };
    for (const auto i : split_)
      if (steps(i) > steps(longest)) longest = i;
    if (steps(longest) == 0) {
      // One point: interval arithmetic was wider than what is reached, and the point has been added.
      return;
    }
    const auto grain = policy_.tables.asked[longest].grain;
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
      const auto grain = policy_.tables.asked[i].grain;
      point[i] = part[i].low + (part[i].high - part[i].low) / 2 / grain * grain;
    }
    engine_.place(point, scratch_);
    for (std::size_t column = 0; column < places.size(); ++column) {
      const bool fixed = policy_.tables.columns[column].worked_out || std::find(split_.begin(), split_.end(), column) != split_.end();
      if (fixed) places[column] = {scratch_.places[column]};
    }
    return engine_.possible(id_, places);
  }

  const Engine& engine_;
  const compiler::Policy& policy_;
  const compiler::Table& table_;
  TableId id_;
  Engine::Scratch scratch_;
  Part ranges_;
  std::vector<std::uint16_t> split_;  // blank details a worked-out column of the table rests on
  std::set<ClassId> found_;
  std::size_t parts_ = 0;
  bool exact_ = true;
};

// The asked details a table's answer depends on, straight or through worked-out ones.
std::vector<bool> depends_on(const compiler::Policy& policy, const compiler::Table& table) {
  std::vector<bool> on(policy.details.size());
  for (const auto column : table.columns) {
    const auto& known = policy.tables.columns[column];
    if (!known.worked_out) on[known.detail] = true;
    else
      for (const auto input : policy.tables.worked_out[known.detail].inputs) on[input] = true;
  }
  return on;
}

// One value for each place of a detail, and some spread over its range.
std::vector<std::int64_t> values_to_try(const compiler::Policy& policy, std::size_t detail) {
  const auto& domain = policy.tables.asked[detail];
  std::set<std::int64_t> values = {domain.lowest, domain.highest};
  if (domain.members) {
    for (auto value = domain.lowest; value <= domain.highest; ++value) values.insert(value);
    return {values.begin(), values.end()};
  }
  for (const auto& cut : policy.tables.columns[detail].cuts) values.insert(cut.at);
  constexpr std::int64_t spread = 8;
  const auto steps = (domain.highest - domain.lowest) / domain.grain;
  for (std::int64_t i = 1; i < spread; ++i) values.insert(domain.lowest + steps / spread * i * domain.grain);
  return {values.begin(), values.end()};
}

}  // namespace

Possible possible_answers(const Engine& engine, TableId table, const Player& player) { return Search(engine, table, player).run(); }

std::size_t different_outcomes(const Engine& engine, TableId table, const std::vector<ClassId>& classes) {
  std::vector<Outcome> distinct;
  for (const auto found : classes) {
    const auto& outcome = engine.outcome(table, found);
    if (std::find(distinct.begin(), distinct.end(), outcome) == distinct.end()) distinct.push_back(outcome);
  }
  return distinct.size();
}

std::optional<NextDetail> next_to_take(const Engine& engine, const Player& player, const std::vector<Possible>& possible) {
  const auto& policy = engine.policy();
  std::vector<std::size_t> left(possible.size());
  std::vector<std::vector<bool>> on;
  std::size_t total = 0;
  for (std::size_t table = 0; table < possible.size(); ++table) {
    left[table] = different_outcomes(engine, static_cast<TableId>(table), possible[table].classes) - 1;
    total += left[table];
    on.push_back(depends_on(policy, policy.tables.tables[table]));
  }
  std::optional<NextDetail> best;
  for (std::size_t detail = 0; detail < player.readings.size() && total > 0; ++detail) {
    if (player.readings[detail]) continue;
    std::size_t worst = 0;
    bool tells = false;
    for (std::size_t table = 0; table < possible.size(); ++table) tells = tells || (on[table][detail] && left[table] > 0);
    if (!tells) continue;
    for (const auto value : values_to_try(policy, detail)) {
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
