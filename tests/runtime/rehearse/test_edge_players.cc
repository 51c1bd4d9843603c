// Players beside every edge of a policy: the whole file for a small policy; that it holds and notices on the shipped
// one.
#include <catch2/catch.hpp>
#include <iostream>

#include "runtime/rehearse/edge_players.hpp"
#include "runtime/rehearse/players_text.hpp"
#include "runtime/rehearse/rehearsal.hpp"
#include "tests/support/golden.hpp"
#include "tests/support/policy/compiled.hpp"
#include "tests/support/policy/shipped.hpp"

namespace {

using namespace lacestay;

const std::string policy_text = R"(policy "Small shop"
edition 1, in force from 1 September 2026
ask age 4 to 90 years, whole
ask weight 12 to 180 kg
ask foot_length 140 to 330 mm
ask birth_day 1 January 1950 to 31 December 2022
ask skill grades new, improving, league

work out boot_length = foot_length + 5 mm

piece stick always
  flex band 20 to 100 flex step 5 flex
piece neck_guard optional
piece insoles optional

chart flex_chart gives stick flex
  down weight
    under 40 kg:  20 to 40 flex
    under 60 kg:  40 to 60 flex
    the rest:     60 to 80 flex

rule young_neck
  need neck_guard
  for age under 18

rule soft_boots
  suggest insoles
  for boot_length at most 200 mm, skill new

# Nobody's answer turns on it.
rule old_hands
  suggest neck_guard
  for age under 12

rule cold
  caution "Warm up."
  for birth_day before 1 January 1966
)";

runtime::EdgePlayers found_for(const runtime::Engine& engine) {
  return runtime::edge_players(engine, runtime::run_edge_slips(engine, [](std::size_t, std::size_t) {}), {});
}

// What the file says holds, and it is read without a complaint.
void check_holds(const runtime::Engine& engine, const std::string& text) {
  grammar::Diagnostics problems;
  const auto file = runtime::read_players(engine.policy(), "edges.players", text, problems);
  for (const auto& player : file.players) {
    const auto result = runtime::rehearse(engine, player, problems);
    INFO(player.name);
    CHECK(result.failed() == 0);
    CHECK(!result.wishes.empty());
  }
  CHECK(render(problems.sorted()) == "");
}

TEST_CASE("players just under, at and just over each edge that matters") {
  const auto engine = tests::engine_of("small.fitting", policy_text);
  const auto found = found_for(*engine);
  const auto text = runtime::text_of(*engine, found, "small.fitting");
  tests::golden("rehearse/edge_players.txt", text);
  CHECK(found.edges == 5);
  CHECK(found.noticed == found.all);
  check_holds(*engine, text);
}

TEST_CASE("nobody stands at an edge who cannot be") {
  const auto engine = tests::engine_of("small.fitting", policy_text + R"(
nobody has age under 20, weight at least 60 kg    "Weigh again."
nobody has age at least 20, weight under 60 kg    "Weigh again."
nobody has foot_length over 195 mm, skill new     "Measure again."
)");
  const auto found = found_for(*engine);
  // The weights' edge at 60 kg is crossed with the age; of the boots' at 195 mm one side is left.
  check_holds(*engine, runtime::text_of(*engine, found, "small.fitting"));
  std::size_t at_the_boot = 0;
  for (const auto& group : found.groups)
    if (group.detail == "boot_length") at_the_boot = group.players.size();
  CHECK(at_the_boot <= 2);
  CHECK(found.edges >= 2);
}

TEST_CASE("on the shipped policy they hold, and notice every slip on an edge") {
  const auto& engine = tests::shipped();
  const auto found = found_for(engine);
  check_holds(engine, runtime::text_of(engine, found, "northgate.fitting"));
  std::size_t players = 0;
  for (const auto& group : found.groups) players += group.players.size();
  std::cout << players << " players at " << found.edges << " edges notice " << found.noticed << " of " << found.all
            << " slips on edges\n";
  CHECK(found.edges > 80);
  CHECK(found.noticed == found.all);
}

TEST_CASE("a caution that is silent is not told of where another says the same words") {
  const auto engine = tests::engine_of("small.fitting", policy_text + R"(
rule cold_at_eight
  caution "Warm up."
  for age under 8
rule cold_and_small
  caution "Warm up. Twice."
  for age under 6
)");
  const auto first = static_cast<runtime::TableId>(engine->policy().tables.first_caution_table());
  const auto cautions_of = [&](const std::string& age) {
    grammar::Diagnostics problems;
    runtime::PlayerReader reader(engine->policy(), problems);
    for (const auto& [name, text] : {std::pair<std::string, std::string>{"age", age},
                                     {"weight", "30 kg"},
                                     {"foot_length", "200 mm"},
                                     {"birth_day", "1 June 2010"},
                                     {"skill", "new"}})
      reader.set(name, text);
    REQUIRE(problems.empty());
    const auto text = runtime::player_text(*engine, "one", "One", runtime::readings_of(reader.take().value()),
                                           {first, first + 1, first + 2});
    check_holds(*engine, text);
    return text.substr(text.find("  leaves"));
  };
  CHECK(cautions_of("9") ==
        "  leaves without caution \"Warm up.\"\n  leaves without caution \"Warm up.\"\n"
        "  leaves without caution \"Warm up. Twice.\"\n");
  CHECK(cautions_of("7") == "  leaves with caution \"Warm up.\"\n  leaves without caution \"Warm up. Twice.\"\n");
  CHECK(cautions_of("5") == "  leaves with caution \"Warm up.\"\n  leaves with caution \"Warm up. Twice.\"\n");
}

}  // namespace
