// Numbers as people are shown them, read back: in advices (as text and as JSON), in charts and in comparisons of
// generated policies, each beside what it stands for by the naive evaluator, in a unit that the law gives it.
#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <cmath>
#include <iostream>
#include <regex>
#include <set>

#include "compiler/compare/difference.hpp"
#include "grammar/read/reader.hpp"
#include "runtime/advice/json.hpp"
#include "runtime/advice/text.hpp"
#include "runtime/chart/chart_json.hpp"
#include "runtime/chart/wall_chart.hpp"
#include "runtime/compare/comparison.hpp"
#include "runtime/compare/text.hpp"
#include "runtime/player/player.hpp"
#include "runtime/rehearse/edge_players.hpp"
#include "tests/compiler/proof/asked.hpp"
#include "tests/reference/evaluator.hpp"
#include "tests/reference/kinds.hpp"
#include "tests/reference/players.hpp"
#include "tests/support/gnu_units.hpp"
#include "tests/support/golden.hpp"
#include "tests/support/policy/compiled.hpp"
#include "tests/support/process.hpp"
#include "tests/support/settings.hpp"

namespace {

using namespace lacestay;
using naive::Rational;
using Json = nlohmann::ordered_json;

Rational size_of(const Rational& number) { return number < 0 ? -number : number; }

// A text read back: what it is worth, and how far from that its rounding lets it be.
struct ReadBack {
  Rational at, within;
};

// What was read, and in which units, over all policies.
struct Tally {
  std::size_t numbers = 0, distances = 0, edges = 0, in_texts = 0, rounded = 0;
  std::map<std::string, std::size_t> units;
  std::map<std::string, Rational> quantities;  // with units that GNU units knows
};

// A generated policy as it was written, and what the naive evaluator makes of it.
class Written {
 public:
  Written(const std::vector<naive::TextFile>& files, Tally& tally) : policy_(naive::prepare(files)), tally_(tally) {
    for (std::size_t i = 0; i < policy_.details.size(); ++i) {
      const auto& detail = policy_.details[i];
      index_[detail.name] = i;
      if (is_number(i)) kinds_[i] = naive::kind_of(policy_, i);
    }
    for (const auto& edge : policy_.edges) {
      // Two details that are worked out alike are one number, which goes by the name of either.
      for (std::size_t i = 0; i < policy_.details.size(); ++i)
        if (i == edge.detail || worked_out_alike(policy_.details[i], policy_.details[edge.detail]))
          edges_[i][edge.at].insert(edge.units);
      for (const auto& value : values_beside(edge.detail, edge.at)) edges_[edge.detail][value].insert(edge.units);
    }
  }

  [[nodiscard]] const naive::Policy& policy() const { return policy_; }
  [[nodiscard]] bool knows(const std::string& name) const { return index_.contains(name); }

  void takes_edges_of(const Written& other) {
    for (const auto& [detail, edges] : other.edges_)
      for (const auto& [at, units] : edges)
        edges_[index_.at(other.policy_.details[detail].name)][at].insert(units.begin(), units.end());
  }

  // A detail's value: that of this player.
  void value(const std::string& name, const std::string& text, const naive::Player& player) {
    const auto detail = index_.at(name);
    if (is_member(detail)) return;
    INFO(name << " " << text);
    const auto read = read_back(detail, text);
    const auto stands_for = naive::detail_number(policy_, player, detail);
    CHECK(size_of(stands_for - read.at) <= read.within);
    ++tally_.numbers;
    if (stands_for != read.at) ++tally_.rounded;
  }

  // "2.5 in over the edge of 90 in", of this player's value.
  void beside_edge(const std::string& name, const std::string& text, const naive::Player& player) {
    static const std::regex at("just at the edge of (.+)"), apart("(.+) (over|under) the edge of (.+)"),
        days(R"((\d+) days? (after|before) (.+))");
    const auto detail = index_.at(name);
    const auto value = naive::detail_number(policy_, player, detail);
    INFO(name << " " << text);
    std::smatch parts;
    if (std::regex_match(text, parts, at)) {
      const auto meant = edges_near(detail, parts[1]);
      CHECK(std::find(meant.begin(), meant.end(), value) != meant.end());
      return;
    }
    ReadBack distance;
    if (std::regex_match(text, parts, days))
      distance = {std::stoll(parts[1]), 0};
    else if (std::regex_match(text, parts, apart) && parts[1] == "next to nothing")
      distance = read_back(detail, nothing_of(detail));
    else if (std::regex_match(text, parts, apart)) {
      distance = read_back(detail, parts[1], {{"mm"}, {"g"}});  // these where it would read as nothing
      CHECK(distance.at != 0);
    } else
      FAIL("an edge in other words");
    const bool above = parts[2] == "over" || parts[2] == "after";
    const auto meant = edges_near(detail, parts[3]);
    CHECK(std::any_of(meant.begin(), meant.end(), [&](const Rational& edge) {
      return size_of((above ? value - edge : edge - value) - distance.at) <= distance.within;
    }));
    ++tally_.distances;
  }

  std::string nothing_of(std::size_t detail) const {
    const auto& units = kinds_.at(detail).units;
    return units.empty() ? "0" : "0 " + *units.begin();
  }

  // "under 5 mm", "5 mm up to and including 1 in", "3 or more"
  void place(const std::string& name, const std::string& text) {
    static const std::vector<std::regex> forms = {
        std::regex("(?:under|before|since|up to and including) (.+)"), std::regex("(.+) or more"),
        std::regex("(?:over )?(.+) up to(?: and including)? (.+)"), std::regex("(?:over )?(.+)")};
    const auto detail = index_.at(name);
    if (is_member(detail) || text == "any") return;
    INFO(name << " " << text);
    for (const auto& form : forms) {
      std::smatch parts;
      if (!std::regex_match(text, parts, form)) continue;
      for (std::size_t i = 1; i < parts.size(); ++i)
        CHECK((!edges_near(detail, parts[i]).empty() || crosses(detail, parts[i])));
      return;
    }
  }

  // "weight 60 kg up to 75 kg or 80 kg or more, skill new or improving"
  void conditions(const std::string& text) {
    static const std::regex between(", | or (?!more)");
    if (text == "every player") return;
    std::string name;
    for (std::sregex_token_iterator each(text.begin(), text.end(), between, -1), end; each != end; ++each) {
      std::string range = *each;
      const auto blank = range.find(' ');
      if (knows(range.substr(0, blank))) name = range.substr(0, blank), range.erase(0, blank + 1);
      // A detail that each edition works out for itself is named with its edition.
      range = std::regex_replace(range, std::regex(R"(^\((?:before|now)\) )"), "");
      place(name, range);
    }
  }

  // Every "looked_at" in a JSON document. Tells what they say, as the text does.
  std::set<std::string> looked_at(const Json& json, const naive::Player& player) {
    std::set<std::string> said;
    if (json.is_object() && json.contains("looked_at"))
      for (const auto& looked : json["looked_at"]) {
        const auto name = looked["detail"].get<std::string>(), text = looked["value"].get<std::string>();
        value(name, text, player);
        if (looked["edge"].is_null()) continue;
        beside_edge(name, looked["edge"], player);
        said.insert(fmt::format("{} {} ({})", name, text, looked["edge"].get<std::string>()));
      }
    for (const auto& each : json)
      if (each.is_structured()) said.merge(looked_at(each, player));
    return said;
  }

 private:
  [[nodiscard]] bool is_member(std::size_t detail) const { return !policy_.details[detail].members.empty(); }
  [[nodiscard]] bool is_number(std::size_t detail) const {
    const auto* ask = policy_.details[detail].ask;
    return !is_member(detail) && !(ask && std::holds_alternative<grammar::Date>(ask->domain.interval->to));
  }
  // Where a detail has only some values, an edge may as well be told by the first of them from it on: of what is asked
  // in whole units `over 10 kg` begins at 11 kg.
  [[nodiscard]] std::vector<Rational> values_beside(std::size_t detail, const Rational& edge) const {
    const auto& known = policy_.details[detail];
    const auto multiples = [&](const Rational& step) {
      return std::vector<Rational>{step * (edge / step).ceiling(), step * ((edge / step).floor() + 1)};
    };
    if (known.ask && known.ask->domain.whole) {
      const auto& last = std::get<grammar::Quantity>(known.ask->domain.interval->to).parts.back();
      return multiples(last.unit ? naive::worth(*last.unit) : Rational(1));
    }
    if (known.formula && known.formula->kind >= grammar::Expression::Kind::round_up)
      return multiples(naive::worth(known.formula->quantity));
    std::set<Rational> cells;
    if (known.chart)
      for (const auto& row : known.chart->rows)
        for (const auto& cell : row.cells) cells.insert(known.given(cell));
    std::vector<Rational> beside;
    for (const auto& found : {cells.lower_bound(edge), cells.upper_bound(edge)})
      if (found != cells.end()) beside.push_back(*found);
    return beside;
  }

  // By the program's own reader; it must be of the detail's kind, in its units, or an edge in those it is written in.
  ReadBack read_back(std::size_t detail, std::string text, const std::set<std::set<std::string>>& or_in = {}) {
    const bool negative = text.front() == '-';
    const grammar::Source source("shown", negative ? text.substr(1) : text);
    const auto value = grammar::read_value(source);
    REQUIRE(value);
    if (!is_number(detail)) {
      REQUIRE(std::holds_alternative<grammar::Date>(*value));
      return {naive::number_of(*value), 0};
    }
    REQUIRE(std::holds_alternative<grammar::Quantity>(*value));
    const auto& quantity = std::get<grammar::Quantity>(*value);
    const auto& kind = kinds_.at(detail);
    CHECK(naive::dimension_of(quantity) == kind.dimension);
    const auto in = [&](const std::set<std::string>& units) {
      return std::all_of(quantity.parts.begin(), quantity.parts.end(), [&](const auto& part) {
        const auto unit = naive::unit_word(part);
        return unit.empty() ? units.empty() : units.contains(unit);
      });
    };
    CHECK((in(kind.units) || std::any_of(or_in.begin(), or_in.end(), in)));
    for (const auto& part : quantity.parts) ++tally_.units[naive::unit_word(part)];
    const auto& last = quantity.parts.back();
    if (last.unit && kind.dimension != naive::Dimension::flex && kind.dimension != naive::Dimension::number)
      tally_.quantities.emplace(source.text(), naive::worth(quantity));
    return {negative ? -naive::worth(quantity) : naive::worth(quantity), rounding(kind, last, negative)};
  }

  // Half of the last place there can be: hundredths of a unit or a coin, of a plain number the fourth, of the smaller
  // of two units tenths. Below nothing, two units are shown as the larger.
  static Rational rounding(const naive::Kind& kind, const grammar::Amount& last, bool negative) {
    const auto one = [&](const std::string& word) {
      for (const auto& each : grammar::unit_spellings())
        if (each.text == word) return naive::worth(each.unit);
      return Rational(1);
    };
    if (kind.units.size() == 2 && !negative) {
      auto small = one(*kind.units.begin());
      for (const auto& unit : kind.units) small = std::min(small, one(unit));
      return small / 20;
    }
    return last.bare() ? Rational::of(1, 20'000) : one(naive::unit_word(last)) / 200;
  }

  // Whether a worked-out detail that rests on this one alone passes one of its edges there: comparisons say it so.
  bool crosses(std::size_t detail, const std::string& text) {
    const auto read = read_back(detail, text);
    const auto& name = policy_.details[detail].name;
    const auto at = [&](std::size_t other, const Rational& value) {
      const auto day = naive::Exact(naive::day_at(value));
      return naive::detail_number(policy_, {{name, is_number(detail) ? naive::Exact(value) : day}}, other);
    };
    return std::any_of(edges_.begin(), edges_.end(), [&](const auto& known) {
      try {
        // The edge is as far off as it was rounded, and what crosses lies just below it.
        const auto one = is_number(detail) ? read.within + grain_of(detail) : Rational(1);
        const auto [low, high] = std::minmax({at(known.first, read.at - one), at(known.first, read.at + one)});
        return std::any_of(known.second.begin(), known.second.end(), [&, low = low, high = high](const auto& edge) {
          return low <= edge.first && edge.first <= high;
        });
      } catch (const naive::Unready&) {
        return false;  // it rests on others too
      }
    });
  }

  static bool worked_out_alike(const naive::Detail& one, const naive::Detail& other) {
    return one.formula && other.formula && one.formula->span.text() == other.formula->span.text();
  }

  // From one value the detail can have to the next: a whole unit where it is asked so.
  [[nodiscard]] Rational grain_of(std::size_t detail) const {
    for (const auto& range : asked_)
      if (range.detail == detail) return range.tick;
    return {};
  }

  // The policy's edges on a detail that this text may stand for.
  std::vector<Rational> edges_near(std::size_t detail, const std::string& text) {
    std::set<std::set<std::string>> written;
    for (const auto& [at, units] : edges_[detail]) written.insert(units.begin(), units.end());
    const auto read = read_back(detail, text, written);
    std::vector<Rational> near;
    for (const auto& [at, units] : edges_[detail])
      if (size_of(at - read.at) <= read.within) near.push_back(at);
    ++tally_.edges;
    return near;
  }

  naive::Policy policy_;
  std::vector<judges::AskedRange> asked_ = judges::asked_ranges(policy_);
  Tally& tally_;
  std::map<std::string, std::size_t> index_;
  std::map<std::size_t, naive::Kind> kinds_;
  std::map<std::size_t, std::map<Rational, std::set<std::set<std::string>>>>
      edges_;  // and the units each is written in
};

// A number times a unit, on the faces that a shop reads.
const std::string shop = R"(policy "Small shop"
edition 1, in force from 1 September 2026
money GBP
ask weight 12 to 180 kg        may be left blank
ask age    4 to 90 years, whole
work out reach = weight / 1 lb * 1 in
work out spend = 0.35 GBP * (weight / 1 kg) + 3.50 GBP
work out wait  = age / 7
work out bend  = weight / 1 kg * 1 flex
piece stick always
  length 40 to 70 in step 1 in
  flex 10 to 180 flex step 5 flex
piece tape optional
chart length_chart gives stick length
  across spend  under 20 GBP, under 33.33 GBP, the rest
  down reach
    under 60 in:     46 in, 48 in, 50 in
    at most 100 in:  52 in, 54 in, 56 in
    the rest:        58 in, 60 in, 62 in
  because "A long reach wants a long shaft."
rule bend_under_the_player
  size stick flex from bend
  because "A shaft that bends under the player's own weight loads the shot."
rule spare_tape
  suggest tape
  for wait at least 1 year
rule costly
  caution "Ask before you spend so much."
  for spend over 33.33 GBP
)";

std::string advised(const runtime::Engine& engine, const std::map<std::string, std::string>& details) {
  grammar::Diagnostics problems;
  runtime::PlayerReader reader(engine.policy(), problems);
  for (const auto& [name, text] : details) reader.set(name, text);
  const auto advice = runtime::advise(engine, reader.take().value(), engine.policy().in_force_from);
  CHECK(problems.empty());
  return runtime::text_of(advice);
}

TEST_CASE("a number times a unit is that unit wherever it is shown") {
  const auto engine = tests::engine_of("small.fitting", shop);
  tests::golden("shown/chart.txt", runtime::text_of(engine->policy(), runtime::wall_tables(engine->policy(), {})));
  tests::golden("shown/advice.txt", advised(*engine, {{"weight", "42 kg"}, {"age", "9"}}));
  tests::golden("shown/advice_at_edges.txt", advised(*engine, {{"weight", "100 lb"}, {"age", "7"}}));
  tests::golden("shown/advice_with_a_blank.txt", advised(*engine, {{"age", "9"}}));
  const auto at_edges =
      runtime::edge_players(*engine, runtime::run_edge_slips(*engine, [](std::size_t, std::size_t) {}), {});
  tests::golden("shown/edge_players.txt", runtime::text_of(*engine, at_edges, "small.fitting"));
}

TEST_CASE("an edge moved is told in the unit of what is worked out") {
  const auto before = tests::engine_of("small.fitting", shop);
  const auto after = tests::engine_of(
      "small.fitting", std::regex_replace(std::regex_replace(shop, std::regex("at most 100 in"), "at most 101.5 in"),
                                          std::regex("over 33.33 GBP"), "over 40.50 GBP"));
  const auto difference = compiler::differences(before->policy(), after->policy());
  tests::golden("shown/comparison.txt", runtime::text_of(runtime::comparison_of(*before, *after, difference)));
}

naive::Settings with_kinds() {
  naive::Settings settings;
  settings.kinds = true;
  settings.most_worked_out = 5;
  return settings;
}

// Broken lines joined again.
std::string on_one_line(const std::string& text) { return std::regex_replace(text, std::regex(R"(\s+)"), " "); }

// What was looked at beside an edge, as the text says it, is what the JSON says.
void check_text(const std::string& text, const std::set<std::string>& said, Tally& tally) {
  static const std::regex beside(R"(\([^()]* the edge of [^()]*\))");
  const auto joined = on_one_line(text);
  for (std::sregex_iterator each(joined.begin(), joined.end(), beside), end; each != end; ++each) {
    INFO(each->str());
    const auto before = std::string_view(joined).substr(0, static_cast<std::size_t>(each->position() + each->length()));
    CHECK(std::any_of(said.begin(), said.end(), [&](const auto& one) { return before.ends_with(" " + one); }));
    ++tally.in_texts;
  }
}

void check_advices(Written& written, const runtime::Engine& engine, std::uint64_t seed, std::size_t players,
                   Tally& tally) {
  naive::PlayerSource source(written.policy(), seed);
  for (std::size_t i = 0; i < players; ++i) {
    const auto drawn = source.draw();
    INFO(drawn.line());
    grammar::Diagnostics problems;
    runtime::PlayerReader reader(engine.policy(), problems);
    for (const auto& [name, text] : drawn.texts) reader.set(name, text);
    auto player = reader.take().value();
    player.told_in.clear();  // in the text as in the JSON: the policy's units
    const auto advice = runtime::advise(engine, player, engine.policy().in_force_from);
    REQUIRE(problems.empty());
    for (const auto& [name, text] : advice.details) written.value(name, text, drawn.exact);
    const auto said = written.looked_at(runtime::json_of(advice), drawn.exact);
    check_text(runtime::text_of(advice), said, tally);
  }
}

void check_chart(Written& written, const compiler::Policy& policy) {
  const auto json = runtime::chart_json(policy);
  for (const auto& column : json["columns"]) {
    for (const auto& cut : column["cuts"]) written.place(column["detail"], cut["text"]);
    for (const auto& place : column["places"]) written.place(column["detail"], place);
  }
}

void check_comparison(Written& before, Written& after, const runtime::Engine& earlier, const runtime::Engine& later) {
  const auto difference = compiler::differences(earlier.policy(), later.policy());
  const auto comparison = runtime::comparison_of(earlier, later, difference);
  before.takes_edges_of(after);  // an edge of either edition may bound a statement
  const auto conditions = [&](const std::string& text) {
    INFO(text);
    before.conditions(text);
  };
  for (const auto& change : comparison.changes)
    for (const auto& statement : change.statements) {
      conditions(statement.who);
      for (const auto& who : statement.but_not) conditions(who);
      for (const auto& becomes : statement.becomes) {
        for (const auto& where : becomes.where) conditions(where);
        if (becomes.complete.empty()) continue;
        const std::map<std::string, std::string> texts(becomes.complete.begin(), becomes.complete.end());
        const auto player = naive::read_player(before.policy(), texts);
        for (const auto& part : becomes.why_before) before.looked_at(runtime::json_of(part), player);
        for (const auto& part : becomes.why_after) after.looked_at(runtime::json_of(part), player);
      }
    }
}

TEST_CASE("every number that is shown says what it stands for") {
  Tally tally;
  std::size_t policies = 0;
  for (const auto seed : tests::Seeds(1, tests::whole() ? 3'000 : 600)) {
    const auto generated = naive::generate(seed, with_kinds());
    const auto compiled = tests::compile_files(generated.files);
    if (!compiled.policy) continue;  // a formula past 128 bits
    std::string text;
    for (const auto& file : generated.files) text += fmt::format("---- {}\n{}\n", file.name, file.text);
    INFO("seed " << seed << "\n" << text);
    ++policies;
    Written written(generated.files, tally);
    const auto engine = tests::engine_of(compiled.policy);
    check_advices(written, *engine, seed, 12, tally);
    check_chart(written, *compiled.policy);
  }
  std::cout << fmt::format(
      "{} policies: {} numbers ({} of them rounded), {} edges and {} distances to them, {} of those in texts\n",
      policies, tally.numbers, tally.rounded, tally.edges, tally.distances, tally.in_texts);
  for (const auto& [unit, times] : tally.units) std::cout << fmt::format("  {:8}{:8}\n", unit, times);
  if (!tests::one_seed())
    for (const auto* unit :
         {"", "mm", "cm", "in", "ft", "kg", "g", "lb", "oz", "st", "years", "months", "flex", "GBP"}) {
      INFO(unit);
      CHECK(tally.units[unit] >= 20);
    }

  if (!tests::installed("units")) return tests::skipped("the program 'units' is not installed (Debian package units)");
  std::vector<std::pair<std::string, std::string>> asked;
  std::vector<Rational> ours;
  for (const auto& [shown, worth] : tally.quantities) {
    const bool length = shown.find('m') != std::string::npos || shown.find("in") != std::string::npos ||
                        shown.find("ft") != std::string::npos;
    const bool age = shown.find("year") != std::string::npos || shown.find("month") != std::string::npos;
    asked.emplace_back(tests::spelled_for_gnu_units(shown), age ? "year" : length ? "mm" : "g");
    ours.push_back(worth);
  }
  const auto theirs = tests::by_gnu_units(asked);
  for (std::size_t i = 0; i < ours.size(); ++i) {
    INFO(asked[i].first << " is " << theirs[i] << " " << asked[i].second << " to GNU units");
    const auto number = static_cast<double>(ours[i].top()) / static_cast<double>(ours[i].bottom());
    CHECK(std::abs(theirs[i] - number) <= 1e-12 * number);
  }
}

TEST_CASE("every number in a comparison of two editions says what it stands for") {
  Tally tally;
  std::size_t pairs = 0;
  for (const auto seed : tests::Seeds(1, tests::whole() ? 600 : 60)) {
    auto settings = with_kinds();
    const auto one = naive::generate(seed, settings);
    settings.kit_seed = seed + 10'000;
    const auto other = naive::generate(seed, settings);
    const auto first = tests::compile_files(one.files), second = tests::compile_files(other.files);
    if (!first.policy || !second.policy) continue;
    INFO("seed " << seed << "\n" << one.files.front().text << "----\n" << other.files.front().text);
    ++pairs;
    Written before(one.files, tally), after(other.files, tally);
    check_comparison(before, after, *tests::engine_of(first.policy), *tests::engine_of(second.policy));
  }
  std::cout << fmt::format("{} pairs: {} numbers, {} edges and {} distances to them\n", pairs, tally.numbers,
                           tally.edges, tally.distances);
}

}  // namespace
