// Players beside every edge of a policy: the whole file for a small policy; that it holds and notices on the shipped
// one.
#include <catch2/catch.hpp>
#include <iostream>

#include "compiler/check/compile.hpp"
#include "runtime/rehearse/edge_players.hpp"
#include "runtime/rehearse/players_text.hpp"
#include "runtime/rehearse/rehearsal.hpp"
#include "tests/support/shipped.hpp"

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

std::shared_ptr<const runtime::Engine> engine_of(const std::string& text) {
  const auto none = [](const std::string&) { return Problem{"file-5", "there is none"}; };
  const auto made = compiler::compile("small.fitting", text, none);
  INFO(render(made.diagnostics));
  REQUIRE(made.policy);
  auto engine = runtime::Engine::build(made.policy).value();
  return engine;
}

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
  const auto engine = engine_of(policy_text);
  const auto found = found_for(*engine);
  const auto text = runtime::text_of(*engine, found, "small.fitting");
  CHECK(text == R"(# Players just under, at and just over every edge where an answer changes, with the answers of
# Small shop, edition 1.
# Read each one before you keep it: it says what the policy says today.

players of "small.fitting"


# ---- age

player age_just_under_18_years "Age just under 18 years"
  age 17 years, weight 100 kg, foot_length 250 mm, birth_day 6 June 1986, skill new
  leaves with neck_guard needed

player age_at_18_years "Age at 18 years"
  age 18 years, weight 100 kg, foot_length 250 mm, birth_day 6 June 1986, skill new
  leaves without neck_guard

player age_just_over_18_years "Age just over 18 years"
  age 19 years, weight 100 kg, foot_length 250 mm, birth_day 6 June 1986, skill new
  leaves without neck_guard


# ---- weight

player weight_just_under_40_kg "Weight just under 40 kg"
  age 50 years, weight 39.9 kg, foot_length 250 mm, birth_day 6 June 1986, skill new
  leaves with stick flex 20 to 40 flex

player weight_at_40_kg "Weight at 40 kg"
  age 50 years, weight 40 kg, foot_length 250 mm, birth_day 6 June 1986, skill new
  leaves with stick flex 40 to 60 flex

player weight_just_over_40_kg "Weight just over 40 kg"
  age 50 years, weight 40.1 kg, foot_length 250 mm, birth_day 6 June 1986, skill new
  leaves with stick flex 40 to 60 flex

player weight_just_under_60_kg "Weight just under 60 kg"
  age 50 years, weight 59.9 kg, foot_length 250 mm, birth_day 6 June 1986, skill new
  leaves with stick flex 40 to 60 flex

player weight_at_60_kg "Weight at 60 kg"
  age 50 years, weight 60 kg, foot_length 250 mm, birth_day 6 June 1986, skill new
  leaves with stick flex 60 to 80 flex

player weight_just_over_60_kg "Weight just over 60 kg"
  age 50 years, weight 60.1 kg, foot_length 250 mm, birth_day 6 June 1986, skill new
  leaves with stick flex 60 to 80 flex


# ---- birth_day

player birth_day_the_day_before_1_january_1966 "Birth day the day before 1 January 1966"
  age 50 years, weight 100 kg, foot_length 250 mm, birth_day 31 December 1965, skill new
  leaves with caution "Warm up."

player birth_day_on_1_january_1966 "Birth day on 1 January 1966"
  age 50 years, weight 100 kg, foot_length 250 mm, birth_day 1 January 1966, skill new
  leaves without caution "Warm up."

player birth_day_the_day_after_1_january_1966 "Birth day the day after 1 January 1966"
  age 50 years, weight 100 kg, foot_length 250 mm, birth_day 2 January 1966, skill new
  leaves without caution "Warm up."


# ---- boot_length

player boot_length_at_or_just_under_200_mm "Boot length at or just under 200 mm"
  age 50 years, weight 100 kg, foot_length 195 mm, birth_day 6 June 1986, skill new
  leaves with insoles suggested

player boot_length_just_over_200_mm "Boot length just over 200 mm"
  age 50 years, weight 100 kg, foot_length 195.1 mm, birth_day 6 June 1986, skill new
  leaves without insoles

player boot_length_over_200_mm "Boot length over 200 mm"
  age 50 years, weight 100 kg, foot_length 195.2 mm, birth_day 6 June 1986, skill new
  leaves without insoles
)");
  CHECK(found.edges == 5);
  CHECK(found.noticed == found.all);
  check_holds(*engine, text);
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
  const auto engine = engine_of(policy_text + R"(
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
    const auto text =
        runtime::player_text(*engine, "one", "One", runtime::readings_of(reader.take()), {first, first + 1, first + 2});
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
