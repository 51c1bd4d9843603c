// With blanks, a property's answers are those of the players who have its piece: by small policies whose answers are
// written out, and on generated ones by trying every completion with the naive evaluator.
#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <set>
#include <tuple>

#include "runtime/advice/advice.hpp"
#include "runtime/advice/words.hpp"
#include "tests/compiler/proof/asked.hpp"
#include "tests/reference/generate/generator.hpp"
#include "tests/reference/players.hpp"
#include "tests/support/policy/compiled.hpp"
#include "tests/support/settings.hpp"
#include "tests/support/shop/small_shop.hpp"

namespace {

using namespace lacestay;
using runtime::TableId;

// Every answer told, a line each, and what to take next.
std::string told(const std::string& items, const std::string& details) {
  const auto engine = tests::small_shop(items);
  const auto advice = runtime::advise(*engine, tests::player_of(engine->policy(), details), 0);
  std::string out;
  const auto line = [&](const std::string& about, const runtime::Answer& answer) {
    CHECK(answer.exact);
    out += about + ":";
    for (const auto& each : runtime::possible_in_words(engine->policy(), answer)) out += " [" + each + "]";
    out += "\n";
  };
  for (const auto& piece : advice.pieces) {
    line(piece.name, piece.presence);
    for (const auto& property : piece.properties) line(piece.name + " " + property.name, property.answer);
  }
  return out + "next: " + advice.take_next.value_or("-") + "\n";
}

TEST_CASE("a property's answers are those of players who have its piece") {
  struct Case {
    const char *items, *details, *expected;
  };
  const char* const guard = R"(
ask age   4 to 20 years, whole
ask power 0 to 9, whole
piece guard optional
  tier grades g0, g1, g2
rule young
  need guard
  for age under 10
)";
  const std::string by_age = std::string(guard) + R"(
chart tier_chart gives guard tier
  down age
    under 10: g1
    the rest: g2
make sure guard tier is at most g1
)";
  // One detail decides who has it, and nothing of what they get.
  const std::string apart = std::string(guard) + R"(
chart tier_chart gives guard tier
  down power
    under 3:  g0
    under 6:  g1
    the rest: g2
)";
  const std::string beside = apart + R"(
ask hand choice left, right
piece stick always
  curve choice left, right
chart curve_chart gives stick curve
  down hand
    left:  left
    right: right
)";
  // Two rules that can't both hold meet where nobody has it.
  const std::string clash_elsewhere = std::string(guard) + R"(
rule all
  set guard tier to g1
rule old
  set guard tier to g2
  for age at least 12
)";
  // Both tables look at both details, each along its own edges.
  const std::string both = R"(
ask age   4 to 20 years, whole
ask power 0 to 9, whole
piece guard optional
  tier grades g0, g1, g2, g3
rule young_and_strong
  need guard
  for age under 10, power at least 5
rule older
  suggest guard
  for age at least 15, power under 2
chart tier_chart gives guard tier
  across age  under 10,  under 15,  the rest
  down power
    under 2:  g0,  g0,  g3
    under 5:  g0,  g2,  g0
    the rest: g1,  g2,  g0
)";
  // What each rests on is worked out from the same two details: who has it is small, and small gets g0 and g1 alone.
  const std::string worked_out = R"(
ask chest 1 to 12, whole
ask waist 1 to 12, whole
work out total = chest + waist
work out gap   = chest - waist + 12
piece pads optional
  tier grades g0, g1, g2
rule small
  need pads
  for total under 6
chart tier_chart gives pads tier
  down gap
    at most 12: g0
    at most 15: g1
    the rest:   g2
)";
  const std::string declared = R"(
ask age  4 to 20 years, whole
ask days 0 to 6, whole
piece bag for age at least 10, days over 2
  litres 60 to 100 step 10
chart bag_chart gives bag litres
  down days
    under 3:  60
    under 5:  80
    the rest: 100
)";
  const std::string always = R"(
ask age  4 to 20 years, whole
piece bag always
  litres 60 to 100 step 10
chart bag_chart gives bag litres
  down age
    under 10: 60
    the rest: 100
)";
  const Case cases[] = {
      {by_age.c_str(), "", "guard: [needed] [not in this kit]\nguard tier: [g1]\nnext: age\n"},
      {by_age.c_str(), "age=9", "guard: [needed]\nguard tier: [g1]\nnext: -\n"},
      {by_age.c_str(), "age=10", "guard: [not in this kit]\nnext: -\n"},
      {apart.c_str(), "", "guard: [needed] [not in this kit]\nguard tier: [g0] [g1] [g2]\nnext: power\n"},
      {apart.c_str(), "age=9", "guard: [needed]\nguard tier: [g0] [g1] [g2]\nnext: power\n"},
      // Nothing turns on the power of one who has no guard.
      {apart.c_str(), "age=12", "guard: [not in this kit]\nnext: -\n"},
      {beside.c_str(), "age=12",
       "guard: [not in this kit]\nstick: [needed]\nstick curve: [left] [right]\nnext: hand\n"},
      {beside.c_str(), "age=9",
       "guard: [needed]\nguard tier: [g0] [g1] [g2]\nstick: [needed]\nstick curve: [left] [right]\nnext: power\n"},
      {apart.c_str(), "power=4", "guard: [needed] [not in this kit]\nguard tier: [g1]\nnext: age\n"},
      {clash_elsewhere.c_str(), "", "guard: [needed] [not in this kit]\nguard tier: [g1]\nnext: age\n"},
      {both.c_str(), "", "guard: [needed] [suggested] [not in this kit]\nguard tier: [g3] [g1]\nnext: age\n"},
      {both.c_str(), "age=9", "guard: [needed] [not in this kit]\nguard tier: [g1]\nnext: power\n"},
      {both.c_str(), "power=1", "guard: [suggested] [not in this kit]\nguard tier: [g3]\nnext: age\n"},
      {both.c_str(), "power=3", "guard: [not in this kit]\nnext: -\n"},
      {worked_out.c_str(), "", "pads: [needed] [not in this kit]\npads tier: [g0] [g1]\nnext: chest\n"},
      {worked_out.c_str(), "waist=4", "pads: [needed] [not in this kit]\npads tier: [g0]\nnext: chest\n"},
      {worked_out.c_str(), "waist=5", "pads: [not in this kit]\nnext: -\n"},
      {declared.c_str(), "", "bag: [needed] [not in this kit]\nbag litres: [80] [100]\nnext: days\n"},
      {declared.c_str(), "age=10, days=2", "bag: [not in this kit]\nnext: -\n"},
      {always.c_str(), "", "bag: [needed]\nbag litres: [60] [100]\nnext: age\n"},
  };
  for (const auto& each : cases) {
    INFO(each.items << "\n" << each.details);
    CHECK(told(each.items, each.details) == each.expected);
  }
}

// ---- generated policies

using Told = std::set<std::tuple<int, std::int64_t, std::int64_t>>;

std::tuple<int, std::int64_t, std::int64_t> said(const naive::PropertyOutcome& outcome) {
  const naive::Answer none{-1, -1, ""};
  if (outcome.kind == naive::PropertyOutcome::Kind::refer)
    return {static_cast<int>(outcome.kind), outcome.least.value_or(none).low, outcome.most.value_or(none).high};
  const auto answer = outcome.answer.value_or(none);
  return {static_cast<int>(outcome.kind), answer.low, answer.high};
}
std::tuple<int, std::int64_t, std::int64_t> said(const runtime::Outcome& outcome) {
  using Kind = naive::PropertyOutcome::Kind;
  switch (outcome.standing) {
    case runtime::Standing::answered: return {static_cast<int>(Kind::answer), outcome.low, outcome.high};
    case runtime::Standing::referred: return {static_cast<int>(Kind::refer), outcome.low, outcome.high};
    case runtime::Standing::clash: return {static_cast<int>(Kind::clash), -1, -1};
    default: return {static_cast<int>(Kind::gap), -1, -1};
  }
}

struct Sums {
  std::size_t policies = 0, players = 0, properties = 0, nobody = 0;
};

// A policy so small that everybody is tried, with every set of its details blank.
void compare(std::uint64_t seed, Sums& sums) {
  constexpr std::int64_t most_players = 300;
  naive::Settings settings;
  settings.most_players = most_players;
  const auto generated = naive::generate(seed, settings);
  const auto compiled = tests::compile_files(generated.files);
  if (!compiled.policy) return;
  ++sums.policies;
  const auto& policy = *compiled.policy;
  const auto engine = tests::engine_of(compiled.policy);
  const auto prepared = naive::prepare(generated.files);
  const auto asked = judges::asked_ranges(prepared);
  std::vector<std::vector<std::int64_t>> steps = {{}};
  for (const auto& range : asked) {
    std::vector<std::vector<std::int64_t>> longer;
    for (const auto& begun : steps)
      for (std::int64_t step = 0; step <= range.last; ++step) longer.push_back(begun), longer.back().push_back(step);
    steps = std::move(longer);
  }
  std::vector<naive::Outcome> outcomes;
  std::vector<compiler::Readings> readings;
  for (const auto& each : steps) {
    outcomes.push_back(naive::evaluate(prepared, judges::player_of(asked, each)));
    readings.push_back(judges::readings_of(asked, policy, each));
  }
  naive::Draw draw(seed);
  const auto details = policy.details.size();
  for (std::uint32_t blank = 1; blank < 1u << details; ++blank) {
    const auto& known =
        readings[static_cast<std::size_t>(draw.between(0, static_cast<std::int64_t>(steps.size()) - 1))];
    runtime::Player player;
    for (std::size_t i = 0; i < details; ++i)
      player.readings.push_back((blank >> i & 1) != 0 ? std::nullopt : std::optional(known[i]));
    ++sums.players;
    const auto possible = runtime::possible_answers(*engine, player);
    for (TableId id = 0; id < policy.properties.size(); ++id) {
      const auto& piece = policy.pieces[policy.properties[id].piece].name;
      const auto& name = policy.properties[id].name;
      Told expected;
      bool clashes = false;
      for (std::size_t each = 0; each < steps.size(); ++each) {
        bool is_completion = true;
        for (std::size_t i = 0; i < details; ++i)
          is_completion = is_completion && (!player.readings[i] || *player.readings[i] == readings[each][i]);
        if (!is_completion) continue;
        const auto& outcome = outcomes[each].pieces.at(piece);
        clashes = clashes || outcome.standing == naive::Standing::clash;
        if (const auto found = outcome.properties.find(name); found != outcome.properties.end())
          expected.insert(said(found->second));
      }
      // Where needing it and leaving it out clash it may be in the kit, and the naive evaluator tells no property.
      if (clashes) continue;
      Told is;
      for (const auto found : possible[id].classes) is.insert(said(engine->outcome(id, found)));
      INFO("seed " << seed << ", blank " << blank << ", " << piece << " " << name << "\n"
                   << generated.files.front().text);
      REQUIRE(possible[id].exact);
      REQUIRE(possible[id].concerns == !expected.empty());
      REQUIRE(runtime::possible_answers(*engine, id, player).classes == possible[id].classes);
      ++sums.properties;
      if (expected.empty()) {
        ++sums.nobody;
        continue;
      }
      REQUIRE(is == expected);
    }
  }
}

TEST_CASE("on generated policies just what completions with the piece get is possible") {
  const tests::Seeds seeds(1, tests::whole() ? 4'000 : 400);
  Sums sums;
  for (const auto seed : seeds) compare(seed, sums);
  fmt::print("possible: {}: {} policies, {} players, {} properties, of {} of which nobody has the piece\n",
             seeds.told(), sums.policies, sums.players, sums.properties, sums.nobody);
  CHECK(sums.properties > 20 * seeds.count());
  CHECK(sums.nobody > 0);
}

}  // namespace
