// The generator keeps its word, players stand where they should, and the naive evaluator is steady under both.
#include <algorithm>
#include <catch2/catch.hpp>
#include <chrono>
#include <set>

#include "grammar/read/reader.hpp"
#include "tests/reference/generate/generator.hpp"
#include "tests/reference/players.hpp"

using namespace lacestay::naive;
namespace tree = lacestay::grammar;

namespace {

constexpr std::uint64_t policies = 300;

std::string all_text(const Generated& generated) {
  std::string out;
  for (const auto& file : generated.files) out += "--- " + file.name + "\n" + file.text;
  return out;
}

template <typename Form, typename Visit>
void each(const Policy& policy, Visit visit) {
  for (const auto& file : policy.files)
    for (const auto& item : file.items)
      if (const auto* form = std::get_if<Form>(&item.form)) visit(*form, file);
}

// Each edge above the one before, or at it where `under 2` is followed by `at most 2`; `the rest` last, where there
// are edges.
bool rises(const std::vector<tree::Head>& heads) {
  for (std::size_t i = 0; i < heads.size(); ++i) {
    if (!heads[i].edge) continue;
    if (i + 1 == heads.size()) return false;
    const auto& next = heads[i + 1];
    if (!next.edge) return i + 2 == heads.size() && next.kind == tree::Head::Kind::rest;
    const Rational here = number_of(*heads[i].edge), there = number_of(*next.edge);
    const bool just_one = heads[i].kind == tree::Head::Kind::under && next.kind == tree::Head::Kind::at_most;
    if (here > there || (here == there && !just_one)) return false;
  }
  return true;
}

}  // namespace

TEST_CASE("a seed means one policy") {
  for (std::uint64_t seed = 1; seed <= 20; ++seed) CHECK(all_text(generate(seed)) == all_text(generate(seed)));
  CHECK(all_text(generate(1)) != all_text(generate(2)));
}

TEST_CASE("generated policies are whole: they read, rise, keep inside their domains, and give every property a base") {
  for (std::uint64_t seed = 1; seed <= policies; ++seed) {
    const auto generated = generate(seed);
    INFO("seed " << seed << "\n" << all_text(generated));
    const auto policy = prepare(generated.files);
    for (const auto& edge : policy.edges) {
      const auto& detail = policy.details[edge.detail];
      const bool sized = std::any_of(policy.voices.begin(), policy.voices.end(), [&](const Voice& voice) {
        if (!voice.sized) return false;
        const auto& action = *voice.rule->action;
        return policy.detail_of.at(&*action.from) == edge.detail ||
               (action.to && policy.detail_of.at(&*action.to) == edge.detail);
      });
      if (!detail.ask || sized) continue;  // a size's range may reach past the detail it comes from
      const auto& interval = *detail.ask->domain.interval;
      REQUIRE(edge.at >= number_of(interval.from));
      REQUIRE(edge.at <= number_of(interval.to));
    }
    each<tree::Chart>(policy, [&](const tree::Chart& chart, const tree::File&) {
      if (chart.across) REQUIRE(rises(chart.across->heads));
      std::vector<tree::Head> down;
      for (const auto& row : chart.rows) {
        if (chart.down) down.push_back(row.head);
        REQUIRE(row.cells.size() == (chart.across ? chart.across->heads.size() : 1));
      }
      REQUIRE(rises(down));
    });
    for (const auto& piece : policy.pieces)
      for (const auto& property : piece.properties)
        REQUIRE(std::any_of(property.voices.begin(), property.voices.end(), [&](std::size_t index) {
          const auto& voice = policy.voices[index];
          return voice.chart || voice.rule->action->kind == tree::Action::Kind::set || voice.sized;
        }));
  }
}

TEST_CASE("generated safety yields only to safety of its own file") {
  for (std::uint64_t seed = 1; seed <= policies; ++seed) {
    const auto policy = prepare(generate(seed).files);
    std::map<const tree::Clauses*, const tree::File*> file_of;
    each<tree::Rule>(policy, [&](const tree::Rule& rule, const tree::File& file) { file_of[&rule.clauses] = &file; });
    each<tree::Chart>(policy,
                      [&](const tree::Chart& chart, const tree::File& file) { file_of[&chart.clauses] = &file; });
    for (const auto& voice : policy.voices)
      for (std::size_t i = 0; i < policy.voices.size(); ++i) {
        const auto* lower = policy.voices[i].clauses;
        if (voice.outranks[i] && lower->safety) {
          REQUIRE(voice.clauses->safety);
          REQUIRE(file_of.at(voice.clauses) == file_of.at(lower));
        }
      }
  }
}

TEST_CASE("drawn players keep inside their domains, and their texts say exactly the same") {
  for (std::uint64_t seed = 1; seed <= policies; ++seed) {
    const auto policy = prepare(generate(seed).files);
    PlayerSource source(policy, seed);
    for (int i = 0; i < 20; ++i) {
      const auto player = source.draw();
      INFO("seed " << seed << ": " << player.line());
      REQUIRE(read_player(policy, player.texts) == player.exact);
      for (const auto& detail : policy.details) {
        if (!detail.ask || detail.ask->domain.kind != tree::Domain::Kind::amount) continue;
        const auto number =
            detail_number(policy, player.exact, static_cast<std::size_t>(&detail - policy.details.data()));
        REQUIRE(number >= number_of(detail.ask->domain.interval->from));
        REQUIRE(number <= number_of(detail.ask->domain.interval->to));
      }
    }
  }
}

TEST_CASE("neither the order of items nor the order of files makes a difference") {
  Settings settings;
  settings.sheets = false;  // the files are read one by one
  for (std::uint64_t seed = 1; seed <= policies; ++seed) {
    const auto generated = generate(seed, settings);
    tree::Diagnostics diagnostics;
    std::vector<tree::File> turned;
    for (const auto& file : generated.files) {
      turned.insert(turned.begin(),
                    tree::read(std::make_shared<const tree::Source>(file.name, file.text), diagnostics));
      auto& items = turned.front().items;
      std::reverse(items.begin(), items.end());
    }
    const auto policy = prepare(generated.files), other = prepare(std::move(turned));
    PlayerSource source(policy, seed);
    for (int i = 0; i < 20; ++i) {
      const auto player = source.draw();
      INFO("seed " << seed << ": " << player.line());
      REQUIRE(describe(evaluate(policy, player.exact)) == describe(evaluate(other, player.exact)));
    }
  }
}

TEST_CASE("small policies can be tried on every player") {
  Settings settings;
  settings.most_players = 500;
  std::uint64_t tried = 0;
  for (std::uint64_t seed = 1; seed <= 100; ++seed) {
    const auto policy = prepare(generate(seed, settings).files);
    PlayerSource source(policy, seed);
    REQUIRE(source.all());
    REQUIRE(*source.all() <= 500);
    std::set<Player> seen;
    for (std::uint64_t number = 0; number < *source.all(); ++number) {
      const auto player = source.at(number);
      REQUIRE(seen.insert(player.exact).second);
      REQUIRE(evaluate(policy, player.exact).pieces.size() == policy.pieces.size());
    }
    tried += *source.all();
  }
  CHECK(tried > 5000);
}

TEST_CASE("every construct is generated, and every kind of outcome met") {
  std::map<std::string, std::size_t> counts, outcomes;
  std::size_t all = 0;
  for (std::uint64_t seed = 1; seed <= policies; ++seed) {
    const auto generated = generate(seed);
    for (const auto& [construct, count] : generated.counts) counts[construct] += count;
    const auto policy = prepare(generated.files);
    PlayerSource source(policy, seed);
    for (int i = 0; i < 20; ++i)
      for (const auto& [name, piece] : evaluate(policy, source.draw().exact).pieces) {
        ++outcomes["piece " + std::to_string(static_cast<int>(piece.standing))];
        for (const auto& [of, told] : piece.properties) {
          ++all;
          ++outcomes["property " + std::to_string(static_cast<int>(told.kind))];
          if (told.least) ++outcomes["safety floor beside refer"];
          if (told.most) ++outcomes["safety cap beside refer"];
        }
      }
  }
  for (const auto* construct : {"ask whole age",
                                "ask whole count",
                                "ask plain number",
                                "ask day",
                                "ask length",
                                "ask length, whole",
                                "ask weight",
                                "ask grades",
                                "ask choice",
                                "work out",
                                "formula +",
                                "formula -",
                                "formula *",
                                "formula /",
                                "formula / of one kind",
                                "formula larger",
                                "formula smaller",
                                "formula rounded up to",
                                "formula rounded down to",
                                "formula rounded to the nearest",
                                "whole years to a day",
                                "whole years between two details",
                                "chart of a detail",
                                "chart of members",
                                "size with ends",
                                "size of a band",
                                "piece always",
                                "piece for",
                                "piece optional",
                                "property grades",
                                "property choice",
                                "a choice left open",
                                "a choice kept",
                                "property range",
                                "property band",
                                "chart of a property",
                                "chart across",
                                "chart down",
                                "chart across and down",
                                "chart in a spreadsheet",
                                "chart in a spreadsheet, of a detail",
                                "spreadsheet with ;",
                                "spreadsheet with a byte-order mark",
                                "spreadsheet with quotes",
                                "axis of grades",
                                "axis of a choice",
                                "axis of a worked-out detail",
                                "head under",
                                "head at most",
                                "head before",
                                "head of several members",
                                "condition under",
                                "condition at least",
                                "condition over",
                                "condition at most",
                                "condition before a day",
                                "condition since a day",
                                "condition grade at least",
                                "condition grade at most",
                                "condition member",
                                "condition members with or",
                                "condition members with comma",
                                "condition on a worked-out detail",
                                "two conditions on one detail",
                                "rule set",
                                "rule size",
                                "rule keep",
                                "rule floor",
                                "rule cap",
                                "rule need",
                                "rule suggest",
                                "rule omit",
                                "rule refer",
                                "rule caution",
                                "rule refer of a whole piece",
                                "rule refer of several",
                                "rule of several pieces",
                                "rule need of a pack",
                                "rule floor of a pack",
                                "rule cap of a pack",
                                "rule keep of a pack",
                                "rule caution of a pack",
                                "rule or chart with for",
                                "outranks",
                                "outranks, safety over safety",
                                "safety",
                                "part",
                                "pack",
                                "pack with for",
                                "unit kg",
                                "unit lb",
                                "unit st",
                                "unit oz",
                                "unit g",
                                "unit mm",
                                "unit cm",
                                "unit m",
                                "unit in",
                                "unit ft",
                                "unit years",
                                "unit months",
                                "percent",
                                "written ½",
                                "two units in one quantity",
                                "name with a blank",
                                "name with a dot"}) {
    INFO(construct);
    CHECK(counts[construct] > 0);
  }
  for (int standing = 0; standing < 5; ++standing) CHECK(outcomes["piece " + std::to_string(standing)] > 100);
  for (int kind = 0; kind < 4; ++kind) CHECK(outcomes["property " + std::to_string(kind)] * 30 > all);
  CHECK(outcomes["safety floor beside refer"] > 20);
}

TEST_CASE("settings are kept to") {
  Settings plain;
  plain.sixteenths = false, plain.several_files = false;
  for (std::uint64_t seed = 1; seed <= 100; ++seed) {
    const auto generated = generate(seed, plain);
    INFO("seed " << seed << "\n" << all_text(generated));
    CHECK(generated.files.size() == 1);
    // Without sixteenths every weight is a whole number of 10 µg, as a whole pound is.
    const auto policy = prepare(generated.files);
    for (const auto& edge : policy.edges) {
      const auto& detail = policy.details[edge.detail];
      const auto* asked = detail.ask && detail.ask->domain.interval
                              ? std::get_if<tree::Quantity>(&detail.ask->domain.interval->to)
                              : nullptr;
      if (asked && dimension_of(*asked) == Dimension::weight) REQUIRE((edge.at * 100000).is_whole());
    }
  }
}

// Not run unless asked for by its tag: how long it takes is the machine's business.
TEST_CASE("the evaluator's pace", "[.pace]") {
  Settings settings;
  settings.most_details = 4, settings.most_pieces = 2;
  std::chrono::duration<double> spent{};
  std::size_t evaluated = 0;
  for (std::uint64_t seed = 1; seed <= 100; ++seed) {
    const auto policy = prepare(generate(seed, settings).files);
    PlayerSource source(policy, seed);
    std::vector<Player> players;
    for (int i = 0; i < 200; ++i) players.push_back(source.draw().exact);
    const auto from = std::chrono::steady_clock::now();
    for (const auto& player : players) evaluated += evaluate(policy, player).pieces.empty() ? 0 : 1;
    spent += std::chrono::steady_clock::now() - from;
  }
  WARN(static_cast<double>(evaluated) / spent.count() << " players a second");
}
