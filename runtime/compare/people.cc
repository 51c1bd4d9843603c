#include "runtime/compare/people.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "compiler/tables/places.hpp"
#include "compiler/values/names.hpp"
#include "grammar/text/csv.hpp"
#include "runtime/base/table_words.hpp"
#include "runtime/compare/comparison.hpp"
#include "runtime/compare/matched_outcome.hpp"

namespace lacestay::runtime {

using compiler::both_sides;
using compiler::OfSides;
using compiler::Side;
using compiler::Table;

namespace {

bool bare_number(const std::string& text) {
  return !text.empty() && text.find_first_not_of("0123456789.,½¼¾ ") == text.npos;
}

void read_table(People& people, grammar::Diagnostics& problems) {
  const auto table = grammar::read_csv(*people.source, problems);
  std::vector<Heading> columns;
  for (const auto& cell : table.heading) {
    columns.push_back(read_heading(cell.text));
    auto& name = columns.back().name;
    if (name.empty()) name = cell.text;  // "#", which no detail is called, is passed over as it stands
    if (name != "player") people.columns.push_back(name);
  }
  for (const auto& row : table.rows) {
    People::Person person{fmt::format("line {}", row.line()), {}, ""};
    for (std::size_t i = 0; i < columns.size(); ++i) {
      const auto& [name, unit] = columns[i];
      auto text = row.cells[i].text;
      if (name == "player") {
        if (!text.empty()) person.name = std::move(text);
        continue;
      }
      const bool bare = bare_number(text);
      if (bare || (!text.empty() && text.front() >= '0' && text.front() <= '9')) text = with_point(text).value_or(text);
      if (!unit.empty() && bare) text += " " + unit;
      person.details.emplace_back(name, std::move(text));
    }
    people.people.push_back(std::move(person));
  }
}

void read_lines(People& people) {
  const auto text = people.source->text();
  std::size_t number = 1;
  for (std::size_t begin = 0; begin < text.size(); ++number) {
    const auto end = std::min(text.find('\n', begin), text.size());
    auto line = text.substr(begin, end - begin);
    if (!line.empty() && line.back() == '\r') line.remove_suffix(1);
    if (!line.empty()) people.people.push_back({fmt::format("line {}", number), {}, std::string(line)});
    begin = end + 1;
  }
}

class Comparing {
 public:
  Comparing(const Engine& earlier, const Engine& later, const compiler::Difference& difference)
      : engines_{&earlier, &later}, difference_(difference), scratch_{earlier.scratch(), later.scratch()} {
    // A detail that one edition alone asks is passed over by the other.
    for (const auto side : both_sides) {
      const auto& other = policy(side == Side::earlier ? Side::later : Side::earlier);
      for (const auto& detail : other.details) others_[side].push_back(detail.name);
    }
    for (const auto& change : difference.changes) names_.push_back(name_of(earlier, later, change.answer));
    counts_.resize(names_.size());
    note_members();
  }

  // A column that neither asks, the shop's own notes perhaps, keeps nobody from being compared.
  void pass_over_what_nobody_asks(const People& people, PeopleLines& lines) {
    std::vector<std::string> asked;
    for (const auto side : both_sides)
      for (const auto& detail : policy(side).details) asked.push_back(detail.name);
    for (const auto& name : people.columns) {
      if (name.empty() || std::find(asked.begin(), asked.end(), name) != asked.end()) continue;
      const auto near = compiler::nearest_name(name, asked);
      lines.passed_over.push_back(near.empty() ? name : fmt::format("{} (perhaps {} is meant)", name, near));
      for (const auto side : both_sides) others_[side].push_back(name);
    }
  }

  void add(const People::Person& person, PeopleLines& lines) {
    ++lines.people;
    OfSides<std::optional<Player>> players;
    for (const auto side : both_sides) {
      grammar::Diagnostics problems;
      players[side] = player_for(side, person, problems);
      if (players[side]) continue;
      lines.outside.push_back(fmt::format("{}: {}", person.name, problems.sorted().front().message));
      return;
    }
    ++lines.compared;
    const bool complete = players.earlier->complete() && players.later->complete();
    if (complete)
      for (const auto side : both_sides) engines_[side]->place(readings_of(*players[side]), scratch_[side]);
    PeopleLines::Changed changed{person.name, {}};
    for (std::size_t i = 0; i < names_.size(); ++i) {
      const auto& answer = difference_.changes[i].answer;
      if (!may_change(difference_.changes[i], players)) continue;
      auto becomes = complete ? known(answer) : unknown(answer, *players.earlier, *players.later);
      if (!becomes) continue;
      ++counts_[i];
      becomes->answer = names_[i];
      changed.answers.push_back(std::move(*becomes));
    }
    if (!changed.answers.empty()) lines.changed.push_back(std::move(changed));
  }

  void finish(PeopleLines& lines) const {
    for (std::size_t i = 0; i < names_.size(); ++i)
      if (counts_[i] > 0) lines.by_answer.emplace_back(names_[i], counts_[i]);
    std::stable_sort(lines.by_answer.begin(), lines.by_answer.end(),
                     [](const auto& a, const auto& b) { return a.second > b.second; });
  }

 private:
  const compiler::Policy& policy(Side side) const { return engines_[side]->policy(); }

  std::optional<Player> player_for(Side side, const People::Person& person, grammar::Diagnostics& problems) const {
    if (!person.json.empty()) return player_from_json(policy(side), person.json, problems, others_[side]);
    PlayerReader reader(policy(side), problems);
    reader.pass_over(others_[side]);
    for (const auto& [name, text] : person.details) reader.set(name, text);
    return problems.empty() ? reader.take() : std::nullopt;
  }

  // The edition a shared detail is read from, and its number there.
  [[nodiscard]] std::pair<Side, std::uint16_t> read_from(std::size_t shared) const {
    const auto& earlier = difference_.editions->detail_in(Side::earlier)[shared];
    if (earlier) return {Side::earlier, *earlier};
    return {Side::later, *difference_.editions->detail_in(Side::later)[shared]};
  }

  void note_members() {
    const auto& asked = difference_.space.tables.asked;
    shared_member_.resize(asked.size());
    for (std::size_t i = 0; i < asked.size(); ++i) {
      if (!asked[i].members) continue;
      const auto [side, own] = read_from(i);
      compiler::Readings player;
      for (const auto& domain : asked) player.push_back(domain.lowest);
      for (player[i] = 0; player[i] <= asked[i].highest; ++player[i])
        shared_member_[i][difference_.editions->readings_in(side, player)[own]] = player[i];
    }
  }

  // False where no statement speaks of anybody this may be: most people lie outside all that changes.
  [[nodiscard]] bool may_change(const compiler::AnswerChange& change,
                                const OfSides<std::optional<Player>>& players) const {
    if (!change.settled || change.left_out > 0) return true;
    const auto& tables = difference_.space.tables;
    const auto meets = [&](const compiler::Cell& cell) {
      const auto& column = tables.columns[cell.column];
      if (column.worked_out) return true;
      const auto [side, own] = read_from(column.detail);
      const auto& reading = players[side]->readings[own];
      if (!reading) return true;
      const auto value = tables.asked[column.detail].members ? shared_member_[column.detail].at(*reading) : *reading;
      return compiler::contains(cell.places, compiler::place_of(tables, column.detail, value));
    };
    return std::any_of(change.statements.begin(), change.statements.end(), [&](const compiler::Statement& statement) {
      return std::all_of(statement.who.begin(), statement.who.end(), meets);
    });
  }

  // The change of an answer for the player that both scratches hold, all details known.
  std::optional<PeopleLines::Becomes> known(const compiler::MatchedAnswer& answer) const {
    const auto before = outcome_of(*engines_.earlier, answer, Side::earlier, scratch_.earlier);
    const auto after = outcome_of(*engines_.later, answer, Side::later, scratch_.later);
    if (!before || !after || answer.same(*before, *after)) return std::nullopt;
    return PeopleLines::Becomes{"", text_of(policy(Side::earlier), answer, Side::earlier, *before),
                                text_of(policy(Side::later), answer, Side::later, *after)};
  }

  // What changes among the answers still possible.
  std::optional<PeopleLines::Becomes> unknown(const compiler::MatchedAnswer& answer, const Player& earlier,
                                              const Player& later) const {
    const auto before = possible_outcomes(*engines_.earlier, answer, Side::earlier, earlier);
    const auto after = possible_outcomes(*engines_.later, answer, Side::later, later);
    if (before.empty() || after.empty()) return std::nullopt;
    const bool nothing_goes = std::all_of(before.begin(), before.end(), [&](const Outcome& was) {
      return std::any_of(after.begin(), after.end(), [&](const Outcome& is) { return answer.same(was, is); });
    });
    const bool nothing_comes = std::all_of(after.begin(), after.end(), [&](const Outcome& is) {
      return std::any_of(before.begin(), before.end(), [&](const Outcome& was) { return answer.same(was, is); });
    });
    if (nothing_goes && nothing_comes) return std::nullopt;
    const auto in_words = [&](Side side, const std::vector<Outcome>& outcomes) {
      std::set<std::string> texts;
      for (const auto& outcome : outcomes) texts.insert(text_of(policy(side), answer, side, outcome));
      return compiler::listed({texts.begin(), texts.end()}, "or");
    };
    return PeopleLines::Becomes{"", in_words(Side::earlier, before), in_words(Side::later, after)};
  }

  OfSides<const Engine*> engines_;
  const compiler::Difference& difference_;
  OfSides<Engine::Scratch> scratch_;
  OfSides<std::vector<std::string>> others_;
  std::vector<std::string> names_;
  std::vector<std::size_t> counts_;
  std::vector<std::map<std::int64_t, std::int64_t>> shared_member_;  // by shared detail: its member by the edition's
};

}  // namespace

People read_people(std::string name, std::string text, grammar::Diagnostics& problems) {
  People people;
  people.source = std::make_shared<grammar::Source>(std::move(name), std::move(text));
  const auto first = people.source->text().find_first_not_of(" \t\r\n\xEF\xBB\xBF");
  if (first != std::string_view::npos && people.source->text()[first] == '{')
    read_lines(people);
  else
    read_table(people, problems);
  return people;
}

PeopleLines compare_people(const Engine& earlier, const Engine& later, const compiler::Difference& difference,
                           const People& people) {
  PeopleLines lines;
  Comparing comparing(earlier, later, difference);
  comparing.pass_over_what_nobody_asks(people, lines);
  for (const auto& person : people.people) comparing.add(person, lines);
  comparing.finish(lines);
  return lines;
}

}  // namespace lacestay::runtime
