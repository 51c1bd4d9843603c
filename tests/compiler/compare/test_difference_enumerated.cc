// The difference against plain enumeration: on pairs of editions so coarse that every player both share can be tried,
// who gets another answer, and which, by the naive evaluator under each edition, is exactly what the statements say.
//
// LACESTAY_WHOLE takes ten times as many pairs; LACESTAY_SEED the one of that seed, with its text.
#include <catch2/catch.hpp>
#include <iostream>

#include "compiler/space/reach.hpp"
#include "runtime/compare/text.hpp"
#include "tests/compiler/compare/pairs.hpp"
#include "tests/compiler/compare/shared_players.hpp"
#include "tests/support/policy/compiled.hpp"
#include "tests/support/settings.hpp"

namespace {

using namespace lacestay;
using compiler::both_sides;
using compiler::Box;
using judges::EditionPair;
using judges::OfSides;
using judges::SharedAnswer;
using judges::Side;

constexpr std::size_t most_players = 4'000;

struct Tally {
  std::size_t pairs = 0, no_pair = 0, too_many = 0, apart = 0, players = 0, answers = 0, changed = 0, statements = 0,
              exceptions = 0, becomes = 0, differing = 0, shut_out = 0, shut_out_lines = 0;
  std::map<std::string, std::pair<std::size_t, std::size_t>> edits;  // pairs, and those where an answer changes
};

using Changed = std::map<std::size_t, std::pair<std::string, std::string>>;  // by player: before, after

class Trial : public judges::PairTrial {
 public:
  Trial(const EditionPair& pair, Tally& tally) : PairTrial(pair), tally_(tally) {}

  void run() {
    const auto count = players_.count(most_players);
    if (!count) {
      ++tally_.too_many;
      return;
    }
    ++tally_.pairs;
    difference_ = compiler::differences(*pair_.editions.earlier.policy, *pair_.editions.later.policy);
    for (const auto side : both_sides) engines_[side] = tests::engine_of(pair_.editions[side].policy);
    tell();
    REQUIRE(difference_.editions->apart() == players_.apart());
    if (players_.apart()) {
      ++tally_.apart;
      REQUIRE(difference_.changes.empty());
      REQUIRE(difference_.same.empty());
      return;
    }
    tally_.players += *count;
    try_all(*count);
    for (const auto side : both_sides) check_shut_out(side);
    std::set<std::string> told;
    for (const auto& answer : difference_.same) {
      const auto name = judges::name_of(difference_, answer);
      INFO(name << " is told to stay as it is");
      REQUIRE(told.insert(name).second);
      REQUIRE(changed_[name].empty());
    }
    for (const auto& change : difference_.changes) {
      const auto name = judges::name_of(difference_, change.answer);
      INFO(name << " is told to change");
      REQUIRE(told.insert(name).second);
      check(change, answers_.at(name), changed_[name]);
    }
    for (const auto& [name, answer] : answers_) {
      INFO(name);
      REQUIRE(told.count(name) == 1);
    }
    REQUIRE(told.size() == answers_.size());
    tally_.answers += told.size();
    for (const auto& edit : pair_.edits) {
      ++tally_.edits[edit].first;
      if (!difference_.changes.empty()) ++tally_.edits[edit].second;
    }
    if (pair_.same_answers) REQUIRE(difference_.changes.empty());
  }

 private:
  // The whole comparison is made: it runs each statement's player through both engines, and throws where they don't
  // differ as said.
  void tell() const {
    const auto comparison = runtime::comparison_of(*engines_.earlier, *engines_.later, difference_);
    const auto text = runtime::text_of(comparison);
    if (tests::one_seed()) std::cout << text;
    if (pair_.same_words) REQUIRE_FALSE(comparison.any());
  }

  void try_all(std::size_t count) {
    compiler::Reach reach(difference_.space.tables);
    for (std::size_t number = 0; number < count; ++number) {
      const auto steps = players_.at(number);
      OfSides<naive::Outcome> outcomes;
      can_be_.emplace_back();
      for (const auto side : both_sides) {
        const auto player = players_.player(side, steps);
        outcomes[side] = naive::evaluate(players_.policy(side), player);
        can_be_.back()[side] = naive::can_be(players_.policy(side), player);
      }
      const bool both = can_be_.back().earlier && can_be_.back().later;
      for (const auto& [name, answer] : answers_) {
        if (!both) break;
        const auto before = judges::said(answer, Side::earlier, earlier_, outcomes.earlier),
                   after = judges::said(answer, Side::later, later_, outcomes.later);
        if (before && after && before != after) changed_[name][number] = {*before, *after};
      }
      places_.emplace_back();
      for (const auto& range : reach.at(players_.readings(difference_, steps))) {
        REQUIRE(range.first == range.last);
        places_.back().push_back(range.first);
      }
    }
  }

  // Who can be under the other edition alone, and the lines that say so.
  void check_shut_out(Side side) {
    const auto other = side == Side::earlier ? Side::later : Side::earlier;
    const auto& policy = players_.policy(side);
    using Lines = std::set<std::size_t>;
    std::map<std::size_t, Lines> expected, told;  // by player
    for (std::size_t player = 0; player < can_be_.size(); ++player) {
      if (can_be_[player][side] || !can_be_[player][other]) continue;
      const auto who = players_.player(side, players_.at(player));
      for (std::size_t line = 0; line < policy.nobody.size(); ++line)
        if (naive::holds(policy, who, policy.nobody[line]->has)) expected[player].insert(line);
    }
    for (const auto& each : difference_.shut_out[side]) {
      REQUIRE(each.settled);
      ++tally_.shut_out_lines;
      for (std::size_t player = 0; player < can_be_.size(); ++player) {
        if (!inside(each.who, player)) continue;
        REQUIRE(can_be_[player][other]);
        told[player].insert(each.line);
      }
      REQUIRE(told[number_of(players_.steps(difference_, each.player))].count(each.line) == 1);
    }
    tally_.shut_out += expected.size();
    REQUIRE(told == expected);
  }

  [[nodiscard]] bool inside(const Box& box, std::size_t player) const {
    return std::all_of(box.begin(), box.end(), [&](const compiler::Cell& cell) {
      return std::any_of(cell.places.begin(), cell.places.end(), [&](const compiler::PlaceRange& range) {
        const auto place = places_[player][cell.column];
        return range.first <= place && place <= range.last;
      });
    });
  }
  [[nodiscard]] bool inside(const std::vector<Box>& boxes, std::size_t player) const {
    return std::any_of(boxes.begin(), boxes.end(), [&](const Box& box) { return inside(box, player); });
  }

  void check(const compiler::AnswerChange& change, const SharedAnswer& answer, const Changed& expected) {
    REQUIRE(change.settled);
    REQUIRE(change.left_out == 0);
    REQUIRE_FALSE(change.statements.empty());
    ++tally_.changed;
    tally_.statements += change.statements.size();
    tally_.differing += expected.size();
    Changed told;
    for (const auto& statement : change.statements) {
      INFO("the statement for " << runtime::in_words(difference_.space, statement.who));
      tally_.exceptions += statement.but_not.size();
      tally_.becomes += statement.becomes.size();
      std::vector<std::size_t> left_out(statement.but_not.size());
      for (std::size_t player = 0; player < places_.size(); ++player) {
        if (!can_be_[player].earlier || !can_be_[player].later || !inside(statement.who, player)) continue;
        for (std::size_t i = 0; i < left_out.size(); ++i)
          if (inside(statement.but_not[i], player)) ++left_out[i];
        if (inside(statement.but_not, player)) continue;
        std::size_t ways = 0;
        for (const auto& becomes : statement.becomes) {
          if (!inside(becomes.where, player)) continue;
          ++ways;
          const std::pair says(judges::said(answer, Side::earlier, becomes.before),
                               judges::said(answer, Side::later, becomes.after));
          INFO("player " << player << ": " << says.first << " becomes " << says.second);
          REQUIRE(told.emplace(player, says).second);
        }
        INFO("player " << player << ": " << written(player));
        REQUIRE(ways == 1);
      }
      for (const auto players : left_out) REQUIRE(players > 0);
      for (const auto& becomes : statement.becomes) check_player(change, answer, statement, becomes);
    }
    for (const auto& [player, says] : told) {
      INFO("player " << player << ": " << written(player) << ": " << says.first << " becomes " << says.second);
      REQUIRE(expected.count(player) == 1);
      REQUIRE(expected.at(player) == says);
    }
    for (const auto& [player, says] : expected) {
      INFO("player " << player << ": " << written(player) << ": " << says.first << " becomes " << says.second);
      REQUIRE(told.count(player) == 1);
    }
  }

  // Who is shown is one of those the statement means, and both engines say what it says.
  void check_player(const compiler::AnswerChange& change, const SharedAnswer& answer,
                    const compiler::Statement& statement, const compiler::Becomes& becomes) const {
    REQUIRE(becomes.settled);
    const auto player = number_of(players_.steps(difference_, becomes.player));
    INFO("shown: player " << player << ": " << written(player));
    REQUIRE((can_be_[player].earlier && can_be_[player].later));
    REQUIRE(inside(statement.who, player));
    REQUIRE_FALSE(inside(statement.but_not, player));
    REQUIRE(inside(becomes.where, player));
    OfSides<std::string> says{"not in kit", "not in kit"};
    for (const auto side : both_sides) {
      if (answer.kind == SharedAnswer::Kind::caution) says[side] = "silent";
      if (!change.answer.target[side]) continue;
      const auto& engine = *engines_[side];
      auto scratch = engine.scratch();
      engine.place(difference_.editions->readings_in(side, becomes.player), scratch);
      const auto table = change.answer.table_in(engine.policy().tables, side);
      says[side] = judges::said(answer, side, engine.outcome(table, engine.look_up(table, scratch.places)));
    }
    REQUIRE(says.earlier == judges::said(answer, Side::earlier, becomes.before));
    REQUIRE(says.later == judges::said(answer, Side::later, becomes.after));
    REQUIRE(says.earlier != says.later);
  }

  [[nodiscard]] std::size_t number_of(const judges::SharedPlayers::Steps& steps) const {
    std::size_t number = 0;
    for (auto i = steps.size(); i-- > 0;)
      number =
          number * static_cast<std::size_t>(players_.details()[i].range.last + 1) + static_cast<std::size_t>(steps[i]);
    return number;
  }
  [[nodiscard]] std::string written(std::size_t player) const {
    return judges::written(difference_.space, players_.readings(difference_, players_.at(player)));
  }

  Tally& tally_;
  OfSides<std::shared_ptr<const runtime::Engine>> engines_;
  std::map<std::string, Changed> changed_;
  std::vector<std::vector<std::uint32_t>> places_;  // by player, by column of the shared space
  std::vector<OfSides<bool>> can_be_;               // by player
};

void run(std::uint64_t pairs, bool same_answers) {
  const tests::Seeds seeds(1, tests::whole() ? pairs * 10 : pairs);
  naive::Settings settings;
  settings.most_players = 300;
  Tally tally;
  tally.no_pair = judges::each_pair(seeds, judges::generator(settings), same_answers,
                                    [&](std::uint64_t, const EditionPair& pair) { Trial(pair, tally).run(); });
  std::cout << tally.pairs << " pairs of editions (" << tally.no_pair << " seeds give none, " << tally.too_many
            << " have too many players, " << tally.apart << " share none), " << tally.players << " players, "
            << tally.answers << " answers, " << tally.changed << " of them changed for " << tally.differing
            << " players, told in " << tally.statements << " statements with " << tally.exceptions << " exceptions and "
            << tally.becomes << " outcomes; " << tally.shut_out << " players can be under one edition alone, told in "
            << tally.shut_out_lines << " lines\n";
  for (const auto& [edit, times] : tally.edits)
    std::cout << "  " << edit << ": " << times.first << ", with a change " << times.second << "\n";
  CHECK(tally.pairs * 10 >= seeds.count() * 8);
}

TEST_CASE("the statements are exactly who gets another answer, by trying every player") { run(800, false); }
TEST_CASE("what changes no answer is told to change none") { run(150, true); }

}  // namespace
