#include "runtime/rehearse/edge_players.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <optional>
#include <tuple>

#include "compiler/space/reach.hpp"
#include "grammar/text/letters.hpp"
#include "runtime/rehearse/players_text.hpp"

namespace lacestay::runtime {

using compiler::ColumnId;
using compiler::Readings;
using compiler::Scale;

namespace {

// The most starting players tried for one detail: those that differ most come first.
constexpr std::size_t most_found = 120;

// The players on both sides of an edge, ascending: just under it, at it, just over it. One past the end of a detail, or
// who cannot be, is missing.
using Trio = std::vector<std::pair<std::size_t, Readings>>;  // which of the three, and who

struct Edge {
  std::int64_t at = 0;
  std::vector<std::size_t> slips;
};

class Serving {
 public:
  Serving(const Engine& engine, const SlipRun& run, const std::vector<Readings>& people)
      : engine_(engine), policy_(engine.policy()), run_(run), people_(people), reach_(policy_.tables) {}

  EdgePlayers go() {
    for (ColumnId column = 0; column < policy_.tables.columns.size(); ++column) {
      auto group = group_of(column);
      if (!group.players.empty()) found_.groups.push_back(std::move(group));
    }
    count_noticed();
    return std::move(found_);
  }

 private:
  [[nodiscard]] bool noticeable(std::size_t slip) const {
    return run_.results[slip].fate == SlipResult::Fate::not_noticed && !run_.results[slip].players.empty();
  }

  std::vector<Edge> edges_of(ColumnId column) const {
    std::map<std::int64_t, Edge> by_place;
    for (std::size_t i = 0; i < run_.slips.size(); ++i) {
      if (run_.slips[i].detail != policy_.name_of(column) || !noticeable(i)) continue;
      auto& edge = by_place[run_.slips[i].at];
      edge.at = run_.slips[i].at;
      edge.slips.push_back(i);
    }
    std::vector<Edge> edges;
    for (auto& [at, edge] : by_place) edges.push_back(std::move(edge));
    return edges;
  }

  // The people, then those whose answers some slip on these edges changes.
  std::vector<Readings> bases_of(const std::vector<Edge>& edges) const {
    auto bases = people_;
    const auto most = people_.size() + most_found;
    for (std::size_t turn = 0, more = 1; more != 0 && bases.size() < most; ++turn) {
      more = 0;
      for (const auto& edge : edges)
        for (const auto slip : edge.slips) {
          const auto& players = run_.results[slip].players;
          if (turn >= players.size()) continue;
          ++more;
          if (std::find(bases.begin(), bases.end(), players[turn]) == bases.end()) bases.push_back(players[turn]);
        }
    }
    if (bases.size() > most) bases.resize(most);
    return bases;
  }

  EdgeGroup group_of(ColumnId column) {
    EdgeGroup group{policy_.name_of(column), {}};
    const auto edges = edges_of(column);
    const auto bases = bases_of(edges);
    std::vector<std::vector<Trio>> trios;                        // by base and edge
    std::vector<std::vector<std::vector<std::size_t>>> noticed;  // the slips each notices
    for (const auto& base : bases) {
      trios.emplace_back(), noticed.emplace_back();
      for (const auto& edge : edges) {
        trios.back().push_back(trio(base, column, edge.at));
        noticed.back().push_back(noticed_by(trios.back().back(), edge));
      }
    }
    std::set<std::size_t> left;
    for (const auto& edge : edges) left.insert(edge.slips.begin(), edge.slips.end());
    const auto gain = [&](const std::vector<std::size_t>& slips) {
      return std::count_if(slips.begin(), slips.end(), [&](std::size_t slip) { return left.count(slip) != 0; });
    };
    // The one from whom most is noticed that is not yet, of the people while there is any.
    const auto best_of = [&](std::size_t first, std::size_t last) {
      std::pair<std::ptrdiff_t, std::size_t> best{0, 0};
      for (auto base = first; base < last; ++base) {
        std::ptrdiff_t all = 0;
        for (const auto& slips : noticed[base]) all += gain(slips);
        if (all > best.first) best = {all, base};
      }
      return best;
    };
    std::map<std::size_t, std::size_t> rounds;  // by edge
    for (;;) {
      auto [most, best] = best_of(0, people_.size());
      if (most == 0) std::tie(most, best) = best_of(people_.size(), bases.size());
      if (most == 0) break;
      for (std::size_t e = 0; e < edges.size(); ++e) {
        if (gain(noticed[best][e]) == 0) continue;
        auto players = trios[best][e];
        const auto round = ++rounds[e];
        if (round > 1)
          std::erase_if(players, [&](const auto& each) { return gain(noticed_by({each}, edges[e])) == 0; });
        add(group, column, edges[e], players, answers_of(trios[best][e], noticed[best][e]), round);
        for (const auto slip : noticed[best][e]) left.erase(slip);
      }
    }
    found_.edges += rounds.size();
    return group;
  }

  // ---- players beside an edge
  // A tenth of the unit a detail is measured in, or the least it can differ by where that is more.
  [[nodiscard]] std::int64_t step_of(std::size_t detail) const {
    const auto& scale = policy_.details[detail].scale;
    const auto grain = policy_.tables.asked[detail].grain;
    if (scale.kind != Scale::Kind::amount) return grain;
    const auto tenth = compiler::ticks_per(scale.shown.back(), scale.money_digits) / 10;
    return std::max(grain, tenth / grain * grain);
  }

  Trio trio(const Readings& base, ColumnId column, std::int64_t at) {
    const auto& known = policy_.tables.columns[column];
    auto players =
        known.worked_out ? moved_across(base, column, at) : around(base, known.detail, at, step_of(known.detail));
    auto scratch = engine_.scratch();
    std::erase_if(players, [&](const auto& each) {
      engine_.place(each.second, scratch);
      return !engine_.can_be(scratch);
    });
    return players;
  }

  // With one detail a step under a value, at it, and a step over it.
  [[nodiscard]] Trio around(const Readings& base, std::size_t detail, std::int64_t value, std::int64_t step) const {
    const auto& domain = policy_.tables.asked[detail];
    Trio players;
    for (std::size_t which = 0; which < 3; ++which) {
      auto player = base;
      player[detail] = value + (static_cast<std::int64_t>(which) - 1) * step;
      const bool inside = player[detail] >= domain.lowest && player[detail] <= domain.highest;
      if (inside && (player[detail] - domain.lowest) % domain.grain == 0)
        players.emplace_back(which, std::move(player));
    }
    return players;
  }

  [[nodiscard]] const compiler::Cut* cut_at(ColumnId column, std::int64_t at) const {
    const auto& cuts = policy_.tables.columns[column].cuts;
    const auto cut = std::find_if(cuts.begin(), cuts.end(), [&](const compiler::Cut& each) { return each.at == at; });
    return cut == cuts.end() ? nullptr : &*cut;
  }

  // With one of the details that a worked-out one rests on moved to where that crosses the edge: the one that has to
  // move the least of its range.
  Trio moved_across(const Readings& base, ColumnId column, std::int64_t at) {
    const auto* cut = cut_at(column, at);
    if (!cut) return {};
    const auto place = static_cast<std::uint32_t>(cut - policy_.tables.columns[column].cuts.data());
    const auto past = [&](const Readings& player) { return reach_.at(player)[column].first > place; };
    Trio nearest;
    double least = 2;
    for (const auto input : policy_.tables.worked_out[policy_.tables.columns[column].detail].inputs) {
      const auto& domain = policy_.tables.asked[input];
      if (domain.members) continue;
      for (const auto step : {step_of(input), -step_of(input)}) {
        const auto value = first_past(base, input, step, past);
        if (!value) continue;
        const auto moved =
            std::abs(static_cast<double>(*value - base[input])) / static_cast<double>(domain.highest - domain.lowest);
        if (moved >= least) continue;
        least = moved;
        // Ascending along the worked-out detail: the step that leads over the edge upwards.
        nearest = past(base) ? around(base, input, *value - step, -step) : around(base, input, *value, step);
      }
    }
    return nearest;
  }

  // The first value, in steps from the player's own, past the edge: exponential search, then binary search.
  template <typename Past>
  [[nodiscard]] std::optional<std::int64_t> first_past(Readings player, std::size_t detail, std::int64_t step,
                                                       Past past) const {
    const auto& domain = policy_.tables.asked[detail];
    const auto from = player[detail];
    const auto room = (step > 0 ? domain.highest - from : domain.lowest - from) / step;
    const bool side = past(player);
    const auto crossed = [&](std::int64_t steps) {
      player[detail] = from + steps * step;
      return past(player) != side;
    };
    std::int64_t below = 0, above = std::min<std::int64_t>(1, room);
    while (above < room && !crossed(above)) below = above, above = std::min(above * 2, room);
    if (above <= below || !crossed(above)) return std::nullopt;
    while (above - below > 1) {
      const auto middle = below + (above - below) / 2;
      (crossed(middle) ? above : below) = middle;
    }
    return from + above * step;
  }

  // ---- what they are good for
  std::vector<std::size_t> noticed_by(const Trio& trio, const Edge& edge) const {
    std::vector<std::size_t> noticed;
    for (const auto slip : edge.slips)
      if (std::any_of(trio.begin(), trio.end(),
                      [&](const auto& each) { return !notices(engine_, run_.results[slip], each.second).empty(); }))
        noticed.push_back(slip);
    return noticed;
  }

  // The answers that change from one of them to the next, and those that change with the slips they notice.
  std::set<TableId> answers_of(const Trio& trio, const std::vector<std::size_t>& slips) const {
    std::set<TableId> answers;
    auto scratch = engine_.scratch(), other = engine_.scratch();
    for (std::size_t i = 0; i + 1 < trio.size(); ++i) {
      engine_.place(trio[i].second, scratch);
      engine_.place(trio[i + 1].second, other);
      for (TableId id = 0; id < engine_.answers(); ++id)
        if (engine_.outcome(id, scratch) != engine_.outcome(id, other)) answers.insert(id);
    }
    for (const auto slip : slips)
      for (const auto& [which, player] : trio)
        for (const auto& answer : notices(engine_, run_.results[slip], player))
          if (answer.target.earlier) answers.insert(answer.table_in(policy_.tables, compiler::Side::earlier));
    return answers;
  }

  void add(EdgeGroup& group, ColumnId column, const Edge& edge, const Trio& trio, const std::set<TableId>& answers,
           std::size_t round) const {
    for (const auto& [which, player] : trio) {
      const auto where = words(column, which, edge.at);
      // One who stands just over one edge may stand at the next.
      const auto known = std::find_if(group.players.begin(), group.players.end(),
                                      [&](const EdgePlayer& each) { return each.player == player; });
      if (known != group.players.end()) {
        known->answers.insert(answers.begin(), answers.end());
        known->text += ", " + where;
        continue;
      }
      auto name = policy_.name_of(column) + "_" + as_name(where);
      if (round > 1) name += fmt::format("_{}", round);
      group.players.push_back({std::move(name), as_words(policy_.name_of(column)) + " " + where, player, answers});
    }
  }

  // "just under 60 kg"
  [[nodiscard]] std::string words(ColumnId column, std::size_t which, std::int64_t at) const {
    static constexpr const char* amounts[] = {"just under", "at", "just over"};
    static constexpr const char* days[] = {"the day before", "on", "the day after"};
    // Not every value of a worked-out detail can be had, so the edge itself lies with the side it belongs to.
    static constexpr const char* before[] = {"just under", "at or just over", "over"};
    static constexpr const char* after[] = {"at or just under", "just over", "over"};
    const auto& scale = policy_.scale_of(column);
    const auto* cut = policy_.tables.columns[column].worked_out ? cut_at(column, at) : nullptr;
    const auto& how = cut ? (cut->after ? after : before) : scale.kind == Scale::Kind::day ? days : amounts;
    return fmt::format("{} {}", how[which], scale.write_edge(at));
  }
  static std::string as_name(std::string words) {
    for (auto& c : words) c = grammar::is_letter(c) || grammar::is_digit(c) ? grammar::lower(c) : '_';
    return words;
  }
  static std::string as_words(std::string name) {
    std::replace(name.begin(), name.end(), '_', ' ');
    name.front() = static_cast<char>(std::toupper(static_cast<unsigned char>(name.front())));
    return name;
  }

  void count_noticed() {
    for (std::size_t slip = 0; slip < run_.slips.size(); ++slip) {
      if (!noticeable(slip)) continue;
      ++found_.all;
      const auto notices_it = [&](const EdgePlayer& each) {
        return !notices(engine_, run_.results[slip], each.player).empty();
      };
      found_.noticed += std::any_of(found_.groups.begin(), found_.groups.end(), [&](const EdgeGroup& group) {
        return std::any_of(group.players.begin(), group.players.end(), notices_it);
      });
    }
  }

  const Engine& engine_;
  const compiler::Policy& policy_;
  const SlipRun& run_;
  const std::vector<Readings>& people_;
  compiler::Reach reach_;
  EdgePlayers found_;
};

}  // namespace

EdgePlayers edge_players(const Engine& engine, const SlipRun& run, const std::vector<Readings>& people) {
  return Serving(engine, run, people).go();
}

std::string text_of(const Engine& engine, const EdgePlayers& found, const std::string& path) {
  auto out = fmt::format(
      "# Players just under, at and just over every edge where an answer changes, with the answers of\n"
      "# {}, edition {}.\n"
      "# Read each one before you keep it: it says what the policy says today.\n\nplayers of \"{}\"\n",
      engine.policy().title, engine.policy().edition, path);
  for (const auto& group : found.groups) {
    out += fmt::format("\n\n# ---- {}\n", group.detail);
    for (const auto& each : group.players)
      out += fmt::format(
          "\n{}", player_text(engine, each.name, each.text, each.player, {each.answers.begin(), each.answers.end()}));
  }
  return out;
}

}  // namespace lacestay::runtime
