// Planted slips, what sample players touch, and the players found for the rest, on a small policy in full.
#include <algorithm>
#include <catch2/catch.hpp>
#include <iostream>
#include <map>

#include "runtime/rehearse/slip_run.hpp"
#include "runtime/rehearse/slip_text.hpp"
#include "runtime/rehearse/untouched.hpp"
#include "tests/support/golden.hpp"
#include "tests/support/policy/compiled.hpp"
#include "tests/support/shop/small_shop.hpp"

namespace {

using namespace lacestay;
using Fate = runtime::SlipResult::Fate;

const std::string policy_text = R"(policy "Small shop"
edition 1, in force from 1 September 2026
ask age 4 to 90 years, whole
ask weight 12 to 180 kg
ask skill grades new, improving, league

piece stick always
  flex band 20 to 100 flex step 5 flex
piece neck_guard optional

chart flex_chart gives stick flex
  down weight
    under 40 kg:  20 to 40 flex
    the rest:     60 to 80 flex

rule soft
  keep stick flex within 20 to 75 flex
  for skill new, improving

rule young_neck
  need neck_guard
  for age under 18
  safety

rule cold
  caution "Warm up."
  for age at least 60
)";

std::vector<runtime::SamplePlayer> players_of(const runtime::Engine& engine, const std::string& text) {
  grammar::Diagnostics problems;
  auto file = runtime::read_players(engine.policy(), "small.players", text, problems);
  INFO(render(problems.sorted()));
  REQUIRE(problems.empty());
  // Spans of the wishes point into the file's source.
  static std::vector<std::shared_ptr<const grammar::Source>> kept;
  kept.push_back(file.source);
  return file.players;
}

runtime::SlipRun run(const runtime::Engine& engine, const std::vector<runtime::SamplePlayer>& players) {
  return runtime::run_slips(engine, players, [](std::size_t, std::size_t) {});
}

const std::string one_player = R"(players of "small.fitting"
player kim
  age 9, weight 39 kg, skill new
  leaves with stick flex 20 to 40 flex
  leaves with neck_guard needed
)";

TEST_CASE("every small slip of a small policy") {
  const auto engine = tests::engine_of("small.fitting", policy_text);
  std::string said;
  for (const auto& slip : runtime::slips_of(engine->policy()))
    said += std::string(runtime::name_of(slip.kind)) + ": " + slip.says + "\n";
  tests::golden("rehearse/slips.txt", said);
}

TEST_CASE("what becomes of each slip") {
  const auto engine = tests::engine_of("small.fitting", policy_text);
  const auto result = run(*engine, players_of(*engine, one_player));
  std::map<std::string, Fate> fates;
  for (std::size_t i = 0; i < result.slips.size(); ++i) fates[result.slips[i].says] = result.results[i].fate;
  CHECK(fates["'40 kg' becomes '39 kg'"] == Fate::noticed);                            // 39 kg is past that edge
  CHECK(fates["'40 kg' becomes '41 kg'"] == Fate::not_noticed);                        // nobody stands at 40 kg
  CHECK(fates["'20 to 40 flex' becomes '15 flex to 40 flex'"] == Fate::not_compiled);  // below the range
  CHECK(fates["the chart 'chart flex_chart gives stick flex' is lost"] == Fate::not_compiled);
  CHECK(fates["'20 to 75 flex' becomes '15 flex to 75 flex'"] == Fate::not_compiled);
  CHECK(fates["'20 to 75 flex' becomes '20 flex to 80 flex'"] == Fate::not_noticed);
  CHECK(fates["'safety' is lost"] == Fate::changes_nothing);  // nothing outranks it
  CHECK(fates["'age under 18' becomes 'age at most 18'"] == Fate::not_compiled);
  CHECK(fates["the rule 'rule young_neck' is lost"] == Fate::noticed);
  CHECK(result.count(Fate::not_settled) == 0);
}

// ---- the shelf

const std::string shelf_text = R"(policy "Small shop"
edition 1, in force from 1 September 2026
money GBP
ask age 4 to 90 years, whole

piece helmet always
  tier  grades entry, club, top
  mark  choice iso, csa
piece tape always
  rolls 1 to 4 step 1
piece bag optional

rule usual_tier
  set helmet tier to club
rule usual_mark
  set helmet mark to iso
rule enough
  set tape rolls to 2
rule old_head
  cap helmet tier at club
  for age at least 60
  safety

protection is helmet, bag
accept helmet with tier as advised, mark as advised, condition new
  if none in stock, one step up in tier
  if none in stock, refer
accept tape with rolls as advised, price at most 5 GBP for age under 40
  if none in stock, one step up in rolls
accept tape with rolls at least advised for age at least 40
tape goes with helmet

make sure tape rolls is at least 2
)";

const tests::Files shelf_stock = {
    {"helmet.csv",
     "item,make,model,price,on hand,tier,mark,condition\n"
     "HE-1,Fennimoor,Anvil,44,1,club,csa,new\n"
     "HE-2,Fennimoor,Copper,50,1,top,iso,new\n"
     "HE-3,Fennimoor,Slate,20,1,entry,iso,new\n"},
    {"tape.csv",
     "item,make,model,price,on hand,rolls,goes with\nTA-1,Sedgeby,Cloth,4,9,3,HE-1 / HE-2\n"
     "TA-2,Sedgeby,Cloth,3,9,3,Slate\n"}};

const std::string shelf_player = R"(players of "small.fitting"
player kim
  age 30 years
  leaves with item "HE-2"
  leaves with item "TA-1"
)";

TEST_CASE("slips in what the shelf lets be handed over: by whom each is noticed") {
  const auto engine = tests::engine_of("small.fitting", shelf_text);
  const auto players = players_of(*engine, shelf_player);
  const runtime::SlipShelf shelf{[](const compiler::Policy& policy) { return tests::stock_of(policy, shelf_stock); },
                                 tests::day_of(2026, 11, 25)};
  const auto said = [&](const runtime::SlipShelf* given) {
    const auto result = runtime::run_slips(
        *engine, players, [](std::size_t, std::size_t) {}, given);
    std::string out;
    for (std::size_t i = 0; i < result.slips.size(); ++i) {
      if (!runtime::on_the_shelf(result.slips[i])) continue;
      static const char* fates[] = {"the compiler refuses", "the proof refuses", "changes nothing", "noticed",
                                    "not noticed",          "not settled"};
      out += std::string(runtime::name_of(result.slips[i].kind)) + ": " + result.slips[i].says + ": " +
             fates[static_cast<int>(result.results[i].fate)] + "\n";
    }
    return out;
  };
  tests::golden("rehearse/slips_on_the_shelf.txt", "With stock\n" + said(&shelf) + "\nWithout\n" + said(nullptr));
}

TEST_CASE("a rule's step is turned, down for up") {
  const auto engine = tests::engine_of("small.fitting", policy_text + R"(
piece gloves always
  size grades small, medium, large
rule usual_size
  set gloves size to medium
rule roomy
  one step up in gloves size
  for age under 14
)");
  std::vector<std::string> told;
  for (const auto& slip : runtime::slips_of(engine->policy()))
    if (slip.kind == runtime::Slip::Kind::step_turned) told.push_back(slip.says);
  CHECK(told == std::vector<std::string>{"'one step up in gloves size' becomes 'one step down in gloves size'"});
}

TEST_CASE("slips in a group: a piece lost from it, and in what is said of it") {
  const auto engine = tests::engine_of("small.fitting", policy_text + R"(
piece gloves always
  tier grades light, medium, heavy
piece shin_guards always
  tier grades light, medium, heavy
group padding is gloves, shin_guards
rule usual_padding
  set padding tier to light
rule heavier
  floor every piece tier at medium
  for age under 14
accept padding with tier as advised
)");
  std::vector<std::string> told;
  for (const auto& slip : runtime::slips_of(engine->policy()))
    if (slip.place.source->place(slip.place.begin).line > 27 && slip.kind != runtime::Slip::Kind::rule_lost &&
        slip.kind != runtime::Slip::Kind::condition_lost && !runtime::on_an_edge(slip))
      told.push_back(slip.says);
  CHECK(told == std::vector<std::string>{"'gloves' is lost", "'shin_guards' is lost", "'light' becomes 'medium'",
                                         "'medium' becomes 'light'", "'medium' becomes 'heavy'",
                                         "'tier as advised' becomes 'tier at least advised'"});
}

TEST_CASE("slips on the shelf are told apart from those an answer shows") {
  const auto engine = tests::engine_of("small.fitting", shelf_text);
  const auto result = run(*engine, players_of(*engine, shelf_player));
  const auto noticing = runtime::players_noticing(*engine, result.unnoticed());
  const auto told = runtime::text_of(*engine, result, noticing);
  CHECK(told.find("\nNot noticed on the shelf: no answer changes, but what may be handed over for it.\n\n"
                  "small.fitting, line 22: 'safety' is lost\n") != told.npos);
  CHECK(told.find("\nWith --stock FOLDER the items that players leave with are looked at too.\n") != told.npos);
  const auto record = runtime::json_of(*engine, result);
  for (const auto& slip : record["slips"])
    if (slip["on_the_shelf"] == true) CHECK(slip["player"].is_null());
}

// The players written for what went unnoticed, put beside the others, notice every slip that can be noticed.
void check_all_noticed(const runtime::Engine& engine, const std::vector<runtime::SamplePlayer>& players) {
  const auto before = run(engine, players);
  const auto text =
      runtime::missing_players(engine, before, runtime::players_noticing(engine, before.unnoticed()), "small.fitting");
  auto more = players_of(engine, text);
  for (const auto& player : more) {
    grammar::Diagnostics problems;
    INFO(player.name);
    CHECK(runtime::rehearse(engine, player, problems).failed() == 0);
  }
  std::cout << before.slips.size() << " slips: " << before.count(Fate::not_compiled) << " the compiler refuses, "
            << before.count(Fate::refused) << " the proof, " << before.count(Fate::changes_nothing)
            << " change nothing; " << players.size() << " sample players notice " << before.count(Fate::noticed)
            << " of " << before.count(Fate::noticed) + before.count(Fate::not_noticed) << ", " << more.size()
            << " added players all\n";
  more.insert(more.begin(), players.begin(), players.end());
  const auto after = run(engine, more);
  CHECK(after.count(Fate::not_noticed) == 0);
  CHECK(after.count(Fate::noticed) == before.count(Fate::noticed) + before.count(Fate::not_noticed));
  CHECK(before.count(Fate::not_settled) == 0);
}

TEST_CASE("added players notice every slip there is to notice") {
  const auto engine = tests::engine_of("small.fitting", policy_text);
  check_all_noticed(*engine, players_of(*engine, one_player));
}

TEST_CASE("added players are such as can be, though what two slips need would be nobody together") {
  const auto engine = tests::engine_of(
      "small.fitting", policy_text + std::string("nobody has age at least 50, weight under 100 kg \"Weigh again.\"\n"));
  check_all_noticed(*engine, players_of(*engine, one_player));
}

TEST_CASE("what nobody touches is marked on the charts, and somebody is found for it") {
  const auto engine = tests::engine_of("small.fitting", policy_text);
  tests::golden("rehearse/untouched.txt", runtime::text_of(*engine, players_of(*engine, one_player)));
}

TEST_CASE("a size worked out step by step is one row, without edges of its own") {
  const auto engine = tests::engine_of("small.fitting", R"(policy "Small shop"
edition 1, in force from 1 September 2026
ask age   4 to 90 years, whole
ask foot  140 to 330 mm
piece skates always
  size  140 to 330 mm step 5 mm
rule boots
  size skates size from foot
  for age under 60
rule elders
  refer skates size
  for age at least 60
)");
  const auto told = runtime::text_of(*engine, players_of(*engine, R"(players of "small.fitting"

player elder
  age 70 years, foot 270 mm
)"));
  tests::golden("rehearse/untouched_size.txt", told.substr(told.find("○ marks")));
}

}  // namespace
