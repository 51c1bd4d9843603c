// Players that cannot be: refused in the owner's words by every way in, and in nothing that is told of others.
#include <catch2/catch.hpp>

#include "runtime/advice/text.hpp"
#include "runtime/engine/possible.hpp"
#include "runtime/rehearse/rehearsal.hpp"
#include "tests/support/shop/small_shop.hpp"

namespace {

using namespace lacestay;

const char* const shop = R"(
ask age      4 to 20 years, whole
ask category choice u11, u15, adult   may change
ask height   90 to 215 cm             may be left blank
ask weight   12 to 180 kg             give or take 1 kg
work out build = (weight / 1 kg) / (height / 1 m)
nobody has category adult, age under 15     "Nobody under 15 plays with adults: ask again."
nobody has category u11, age at least 11    "The under-elevens are under eleven."
nobody has build over 90                    "Weighed in pounds, or measured in feet? Once more."
nobody has category u15, weight under 20 kg "Weigh again."
nobody has age under 11, weight at least 20 kg, weight under 25 kg, category u15 "Ask their age class again."
piece stick always
  tier grades light, firm
piece cage optional
chart tier_chart gives stick tier
  down weight
    under 60 kg: light
    the rest:    firm
rule caged
  need cage
  for category u11, u15
rule heavy_children
  caution "Look for a firmer shaft."
  for category u11, weight over 60 kg
)";

const compiler::Policy& policy() {
  static const auto engine = tests::small_shop(shop);
  return engine->policy();
}

// What is told of a player of these details, or "let in".
std::string told(const std::vector<std::pair<std::string, std::string>>& details) {
  grammar::Diagnostics problems;
  runtime::PlayerReader reader(policy(), problems);
  for (const auto& [name, text] : details) reader.set(name, text);
  const auto player = reader.take();
  CHECK(player.has_value() == problems.empty());
  return player ? "let in" : render(problems.sorted());
}

const std::string no_adult =
    "player-9: Nobody under 15 plays with adults: ask again.\n"
    "  the policy says so here: small.fitting, line 10, character 1\n"
    "      nobody has category adult, age under 15     \"Nobody under 15 plays with adults: ask again.\"\n"
    "      " +
    std::string(91, '^') +
    "\n  Try: look at age and category once more; a fitter decides about players who are like that all the same, and "
    "advise --by-hand keeps it on record.\n";

TEST_CASE("a player whom a line shuts out is refused with its sentence, whatever else is left blank") {
  CHECK(told({{"age", "15"}, {"category", "adult"}}) == "let in");
  CHECK(told({{"age", "14"}, {"category", "adult"}}) == no_adult);
  CHECK(told({{"age", "14"}, {"category", "adult"}, {"height", "170 cm"}, {"weight", "50 kg"}}) == no_adult);
  CHECK(told({{"age", "14"}}) == "let in");
  CHECK(told({{"category", "adult"}}) == "let in");
  CHECK(told({}) == "let in");
}

TEST_CASE("a line about a worked-out detail holds for what it comes from") {
  CHECK(told({{"weight", "90 kg"}, {"height", "100 cm"}}) == "let in");
  CHECK(told({{"weight", "90.001 kg"}, {"height", "100 cm"}}).rfind("player-9: Weighed in pounds", 0) == 0);
  // No height there is would do.
  CHECK(told({{"weight", "180 kg"}, {"height", "90 cm"}}).rfind("player-9: Weighed in pounds", 0) == 0);
  CHECK(told({{"weight", "180 kg"}}) == "let in");
}

TEST_CASE("each line that shuts a player out is told, and lines that do so together") {
  const auto both = told({{"age", "12"}, {"category", "u11"}, {"weight", "170 kg"}, {"height", "100 cm"}});
  CHECK(both.find("player-9: The under-elevens are under eleven.") != std::string::npos);
  CHECK(both.find("player-9: Weighed in pounds") != std::string::npos);
  CHECK(both.find("Nobody under 15") == std::string::npos);
  // Of ten years: no u15 of under 20 kg, none from 20 kg to 25 kg. Each line by itself leaves somebody.
  CHECK(told({{"age", "10"}, {"category", "u15"}, {"weight", "24 kg"}}).rfind("player-9: Ask their age class", 0) == 0);
  CHECK(told({{"age", "10"}, {"category", "u15"}, {"weight", "25 kg"}}) == "let in");
  // Ten years old, 22 kg: only the under-elevens are left; eleven years old and under 20 kg: nobody is.
  CHECK(told({{"age", "10"}, {"weight", "22 kg"}}) == "let in");
  const auto nobody_left = told({{"age", "11"}, {"weight", "19 kg"}});
  CHECK(nobody_left.find("player-9: Nobody under 15 plays with adults") != std::string::npos);
  CHECK(nobody_left.find("player-9: The under-elevens are under eleven.") != std::string::npos);
  CHECK(nobody_left.find("player-9: Weigh again.") != std::string::npos);
  CHECK(nobody_left.find("Ask their age class") == std::string::npos);
}

TEST_CASE("a player who cannot be is refused as JSON and in a players file too") {
  grammar::Diagnostics problems;
  CHECK_FALSE(runtime::player_from_json(policy(), R"({"age": 14, "category": "adult"})", problems));
  CHECK(render(problems.sorted()) == no_adult);
  grammar::Diagnostics in_file;
  const auto file = runtime::read_players(policy(), "saturday.players",
                                          "player kim\n  age 14 years, category adult\n  leaves with stick\n"
                                          "player sam\n  age 16 years, category adult\n  leaves with stick\n",
                                          in_file);
  REQUIRE(file.players.size() == 1);
  CHECK(file.players.front().name == "sam");
  const auto text = render(in_file.sorted());
  CHECK(text.rfind("player-9: Nobody under 15 plays with adults: ask again.\n"
                   "  saturday.players, line 1, character 8\n",
                   0) == 0);
}

std::string advised(const std::string& details) {
  const auto engine = tests::small_shop(shop);
  return runtime::text_of(runtime::advise(*engine, tests::player_of(engine->policy(), details), 0));
}

TEST_CASE("answers still possible are those of players that can be") {
  const auto engine = tests::small_shop(shop);
  const auto caution = static_cast<runtime::TableId>(engine->policy().tables.first_caution_table());
  const auto standings = [&](const std::string& details) {
    std::vector<compiler::Standing> all;
    const auto player = tests::player_of(engine->policy(), details);
    for (const auto found : runtime::possible_answers(*engine, caution, player).classes)
      all.push_back(engine->outcome(caution, found).standing);
    return all;
  };
  using compiler::Standing;
  // Of eleven years, nobody is in the under-elevens, so the caution is none of theirs.
  CHECK(standings("age=11, weight=70 kg, height=150 cm") == std::vector{Standing::silent});
  CHECK(standings("age=10, weight=70 kg, height=150 cm").size() == 2);
  // And whoever is under fifteen and over ten is a u15, who wears a cage.
  CHECK(advised("age=12, weight=40 kg, height=150 cm").find("\nCage: needed\n") != std::string::npos);
}

TEST_CASE("no change is suggested to what nobody can be") {
  const auto engine = tests::small_shop(shop);
  const auto& policy = engine->policy();
  const auto explained = [&](const std::string& details, std::size_t table) {
    return runtime::explain(*engine, tests::player_of(policy, details), static_cast<runtime::TableId>(table));
  };
  // With the adults the cage is left out; nobody of 14 is with them, nor with the under-elevens.
  const auto cage = policy.tables.piece_table(1);
  CHECK_FALSE(explained("age=14, category=u15, weight=40 kg, height=150 cm", cage).what_if);
  const auto change = explained("age=15, category=u15, weight=40 kg, height=150 cm", cage).what_if;
  REQUIRE(change);
  CHECK(change->detail + " " + change->value == "category adult");
}

}  // namespace
