// A player's details, by each of the three ways in (a text on the command line, JSON, a players file): what is taken,
// exactly; and what is refused, with the whole message.
#include <fmt/format.h>

#include <catch2/catch.hpp>

#include "runtime/player/player.hpp"
#include "runtime/rehearse/rehearsal.hpp"
#include "tests/support/policy/compiled.hpp"

namespace {

using namespace lacestay;

const char* const policy_text = R"(policy "Player test"
edition 1, in force from 1 September 2026
money GBP

ask age        4 to 90 years, whole
ask weight     12 to 180 kg
ask load       1 st to 28 st          shown in st and lb
ask height     90 to 215 cm           shown in ft and in
ask foot       140 to 330 mm          may be left blank
ask sessions   0 to 14, whole         may change
ask turnout    0 to 2
ask budget     0 to 900 GBP
ask birth_day  1 January 1936 to 31 December 2022
ask skill      grades new, improving, league, elite   may change
ask hand       choice left, right     may be left blank

piece helmet always
piece neck_guard optional "Neck guard"
piece kit_bag optional "Kit bag"
)";

const compiler::Policy& policy() {
  static const auto compiled = tests::policy_of("player_test.fitting", policy_text);
  return *compiled;
}

std::size_t detail(const std::string& name) {
  const auto& details = policy().details;
  for (std::size_t i = 0; i < details.size(); ++i)
    if (details[i].name == name) return i;
  FAIL("no detail " << name);
  return 0;
}

// "age 9 years, skill new; owns helmet": what is known of a player, as the policy writes it.
std::string known(const runtime::Player& player) {
  std::string out;
  for (std::size_t i = 0; i < player.readings.size(); ++i) {
    if (!player.readings[i]) continue;
    const auto& text = policy().details[i];
    out += fmt::format("{}{} {}", out.empty() ? "" : ", ", text.name, text.scale.write(*player.readings[i]));
  }
  for (std::size_t i = 0; i < player.owns.size(); ++i)
    out += (i == 0 ? "; owns " : ", ") + policy().pieces[player.owns[i]].name;
  return out;
}

struct Read {
  std::string known, problems;
  std::optional<runtime::Player> player;

  [[nodiscard]] std::int64_t ticks(const char* name) const {
    REQUIRE(player);
    INFO(problems);
    REQUIRE(player->readings[detail(name)]);
    return *player->readings[detail(name)];
  }
};

// Name and text pairs, as on the command line.
Read by_text(const std::vector<std::pair<std::string, std::string>>& details,
             const std::vector<std::string>& owned = {}) {
  grammar::Diagnostics problems;
  runtime::PlayerReader reader(policy(), problems);
  for (const auto& [name, text] : details) reader.set(name, text);
  for (const auto& piece : owned) reader.set_owned(piece);
  Read read;
  read.player = reader.take();
  read.known = known(*read.player);
  read.problems = render(problems.sorted());
  return read;
}

Read by_json(const std::string& json) {
  grammar::Diagnostics problems;
  Read read;
  read.player = runtime::player_from_json(policy(), json, problems);
  read.known = read.player ? known(*read.player) : "nobody";
  read.problems = render(problems.sorted());
  return read;
}

// The lines under `player kim`.
Read by_file(const std::string& lines) {
  grammar::Diagnostics problems;
  const auto file = runtime::read_players(policy(), "kim.players", "player kim\n" + lines, problems);
  Read read;
  read.problems = render(problems.sorted());
  INFO(read.problems);
  REQUIRE(file.players.size() == 1);
  read.player = file.players.front().player;
  read.known = known(*read.player);
  return read;
}

std::string one(const std::string& name, const std::string& text) { return by_text({{name, text}}).problems; }

// ---- what is taken ---------------------------------------------------------------------------------------

TEST_CASE("the three ways in give the same player") {
  const auto expected =
      "age 9 years, weight 30 kg, load 4 st 10 lb, height 4 ft 5 in, foot 205.5 mm, sessions 2, turnout 0.25, "
      "budget 120.50 GBP, birth_day 4 May 2017, skill new, hand left; owns helmet, kit_bag";
  const auto text = by_text({{"age", "9"},
                             {"weight", "30 kg"},
                             {"load", "4 st 10 lb"},
                             {"height", "4 ft 5 in"},
                             {"foot", "205.5 mm"},
                             {"sessions", "2"},
                             {"turnout", "0.25"},
                             {"budget", "120.50 GBP"},
                             {"birth_day", "4 May 2017"},
                             {"skill", "new"},
                             {"hand", "left"}},
                            {"kit bag", "helmet"});
  const auto json = by_json(
      R"({"age": 9, "weight": "30 kg", "load": "4 st 10 lb", "height": "4 ft 5 in", "foot": "205.5 mm", "sessions": 2,
          "turnout": 0.25, "budget": "120.50 GBP", "birth_day": "2017-05-04", "skill": "new", "hand": "left",
          "owns": ["kit_bag", "helmet"]})");
  const auto file = by_file(
      "  age 9 years, weight 30 kg, load 4 st 10 lb\n"
      "  height 4 ft 5 in, foot 205.5 mm, sessions 2\n"
      "  turnout 0.25, budget 120.50 GBP\n"
      "  birth_day 4 May 2017, skill new, hand left\n"
      "  owns kit bag, helmet\n");
  for (const auto* read : {&text, &json, &file}) {
    CHECK(read->problems == "");
    CHECK(read->known == expected);
    REQUIRE(read->player);
    CHECK(read->player->complete());
    CHECK(read->player->readings == text.player->readings);
    CHECK(read->player->owns == text.player->owns);
  }
}

TEST_CASE("a quantity is the same in every unit, exactly, by every way in") {
  constexpr std::int64_t fourteen_stone = 889'041'045'200'000;  // 14 · 14 · 453.59237 g, in 10^-10 g
  for (const auto* text : {"14 st", "196 lb", "88.90410452 kg", "88904.10452 g", "3136 oz", "13 st 14 lb",
                           "195 lb 16 oz", " 14 st ", "14ST", "88.904104520000 kg"}) {
    INFO(text);
    CHECK(by_text({{"weight", text}}).ticks("weight") == fourteen_stone);
    CHECK(by_json(fmt::format(R"({{"weight": "{}"}})", text)).ticks("weight") == fourteen_stone);
    CHECK(by_file(fmt::format("  weight {}\n", text)).ticks("weight") == fourteen_stone);
  }
  CHECK(by_text({{"weight", "88.904104520001 kg"}}).ticks("weight") == fourteen_stone + 10);
  for (const auto* text : {"5 ft 9 in", "175.26 cm", "1752.6 mm", "1.7526 m", "69 in", "5¾ ft"}) {
    INFO(text);
    CHECK(by_text({{"height", text}}).ticks("height") == 1'752'600'000);
  }
  CHECK(by_text({{"foot", "12½ in"}}).ticks("foot") == 317'500'000);
  CHECK(by_json(R"({"foot": "12½ in"})").ticks("foot") == 317'500'000);
  CHECK(by_text({{"age", "108 months"}}).ticks("age") == by_text({{"age", "9"}}).ticks("age"));
  CHECK(by_json(R"({"age": 9.0})").ticks("age") == by_text({{"age", "9 years"}}).ticks("age"));
  // In binary floating point 0.3 is not 0.3; digits are read as digits.
  CHECK(by_json(R"({"turnout": 0.3})").ticks("turnout") == 300'000'000);
  CHECK(by_json(R"({"turnout": 0.333333333})").ticks("turnout") == 333'333'333);
  CHECK(by_json(R"({"turnout": 1.999999999})").ticks("turnout") == 1'999'999'999);
  CHECK(by_text({{"turnout", "30%"}}).ticks("turnout") == 300'000'000);
  CHECK(by_json(R"({"sessions": -0})").ticks("sessions") == 0);
}

TEST_CASE("capitals, blanks and dots in names make no difference, and blanks around them none") {
  CHECK(by_text({{"Birth Day", "2017-05-04"}, {" AGE ", "9"}, {"skill", "Improving"}, {"hand", " left "}},
                {"Neck Guard", " helmet"})
            .known == "age 9 years, birth_day 4 May 2017, skill improving, hand left; owns helmet, neck_guard");
  CHECK(by_json(R"({"Birth.Day": "4 May 2017", "owns": ["neck.guard"]})").known ==
        "birth_day 4 May 2017; owns neck_guard");
}

TEST_CASE("blank is blank by every way in") {
  for (const auto& read : {by_text({{"foot", ""}, {"age", "9"}}), by_json(R"({"foot": null, "age": 9})"),
                           by_json(R"({"foot": "", "age": 9})"), by_file("  foot blank, age 9\n")}) {
    CHECK(read.problems == "");
    CHECK(read.known == "age 9 years");
    REQUIRE(read.player);
    CHECK_FALSE(read.player->complete());
  }
  CHECK(by_json("{}").known == "");
  CHECK(by_json("{}").problems == "");
  CHECK(by_json(" {\"age\" : 9 }\n").known == "age 9 years");
}

TEST_CASE("a piece owned twice is owned") {
  CHECK(by_json(R"({"owns": ["helmet", "kit bag", "Helmet"]})").known == "; owns helmet, kit_bag");
  CHECK(by_json(R"({"owns": []})").known == "");
  CHECK(by_file("  owns helmet\n  owns helmet, neck guard\n").known == "; owns helmet, neck_guard");
}

TEST_CASE("the ends of a domain belong to it") {
  CHECK(by_text({{"age", "4"},
                 {"weight", "12 kg"},
                 {"load", "28 st"},
                 {"sessions", "14"},
                 {"turnout", "0"},
                 {"birth_day", "1936-01-01"}})
            .problems == "");
  CHECK(by_text({{"age", "90"},
                 {"weight", "180 kg"},
                 {"load", "1 st"},
                 {"sessions", "0"},
                 {"turnout", "2"},
                 {"birth_day", "31 December 2022"}})
            .problems == "");
}

// ---- what is refused -------------------------------------------------------------------------------------

const std::string outside =
    "  Try: measure again and check the unit; a fitter decides about players outside the range.\n";

TEST_CASE("outside the domain: the detail, what it is, and what the policy accepts") {
  CHECK(one("age", "3") == "player-2: age is 3 years, but the policy accepts 4 years to 90 years.\n" + outside);
  CHECK(one("age", "91") == "player-2: age is 91 years, but the policy accepts 4 years to 90 years.\n" + outside);
  CHECK(one("weight", "11.9 kg") == "player-2: weight is 11.9 kg, but the policy accepts 12 kg to 180 kg.\n" + outside);
  CHECK(one("weight", "30 g") == "player-2: weight is 0.03 kg, but the policy accepts 12 kg to 180 kg.\n" + outside);
  CHECK(one("load", "29 st") == "player-2: load is 29 st, but the policy accepts 1 st to 28 st.\n" + outside);
  CHECK(one("height", "57 cm") ==
        "player-2: height is 1 ft 10.4 in, but the policy accepts 2 ft 11.4 in to 7 ft 0.6 in.\n" + outside);
  CHECK(one("height", "179 mm") ==
        "player-2: height is 7 in, but the policy accepts 2 ft 11.4 in to 7 ft 0.6 in.\n" + outside);
  CHECK(one("sessions", "15") == "player-2: sessions is 15, but the policy accepts 0 to 14.\n" + outside);
  CHECK(one("turnout", "2.5") == "player-2: turnout is 2.5, but the policy accepts 0 to 2.\n" + outside);
  CHECK(one("budget", "900.50 GBP") ==
        "player-2: budget is 900.50 GBP, but the policy accepts 0 GBP to 900 GBP.\n" + outside);
  CHECK(one("birth_day", "2023-01-01") ==
        "player-2: birth_day is 1 January 2023, but the policy accepts 1 January 1936 to 31 December 2022.\n" +
            outside);
  CHECK(by_json(R"({"age": 900})").problems ==
        "player-2: age is 900 years, but the policy accepts 4 years to 90 years.\n" + outside);
  CHECK(by_file("  age 9, height 57 cm\n").problems ==
        "player-2: height is 1 ft 10.4 in, but the policy accepts 2 ft 11.4 in to 7 ft 0.6 in.\n"
        "  kim.players, line 2, character 10\n"
        "      age 9, height 57 cm\n"
        "             ^^^^^^^^^^^^\n" +
            outside);
}

TEST_CASE("a value a hair outside is not told as the end itself") {
  CHECK(one("weight", "180.001 kg") ==
        "player-2: weight is just over 180 kg, but the policy accepts 12 kg to 180 kg.\n" + outside);
  CHECK(one("weight", "11.999999 kg") ==
        "player-2: weight is just under 12 kg, but the policy accepts 12 kg to 180 kg.\n" + outside);
  CHECK(one("load", "28 st 0.01 lb") ==
        "player-2: load is just over 28 st, but the policy accepts 1 st to 28 st.\n" + outside);
}

TEST_CASE("a bare number is a count or whole years, never a measure") {
  const std::string bare =
      "player-5: weight needs its unit; the policy accepts 12 kg to 180 kg.\n  Try: write it as in: 96 kg.\n";
  CHECK(one("weight", "30") == bare);
  CHECK(by_json(R"({"weight": 30})").problems == bare);
  CHECK(by_json(R"({"weight": 30.5})").problems == bare);
  CHECK(by_json(R"({"weight": "30"})").problems == bare);
  CHECK(by_file("  weight 30\n").problems ==
        "player-5: weight needs its unit; the policy accepts 12 kg to 180 kg.\n"
        "  kim.players, line 2, character 3\n"
        "      weight 30\n"
        "      ^^^^^^^^^\n"
        "  Try: write it as in: 96 kg.\n");
  CHECK(one("height", "175") ==
        "player-5: height needs its unit; the policy accepts 2 ft 11.4 in to 7 ft 0.6 in.\n  Try: write it as in: 5 "
        "ft.\n");
  CHECK(one("budget", "45") ==
        "player-5: budget needs its unit; the policy accepts 0 GBP to 900 GBP.\n  Try: write it as in: 450 GBP.\n");
  CHECK(by_json(R"({"budget": 45})").problems == one("budget", "45"));
  CHECK(by_json(R"({"age": 9, "sessions": 2, "turnout": 1})").problems == "");
}

TEST_CASE("a unit of another kind, another currency, or none where none is due") {
  CHECK(one("weight", "30 cm") ==
        "player-5: weight is a weight; it can't be a length.\n  Try: write it as in: 96 kg.\n");
  CHECK(one("height", "30 kg") ==
        "player-5: height is a length; it can't be a weight.\n  Try: write it as in: 5 ft.\n");
  CHECK(one("age", "9 kg") == "player-5: age is an age; it can't be a weight.\n  Try: write it as in: 47 years.\n");
  CHECK(one("sessions", "3 kg") ==
        "player-5: sessions is a plain number; it can't be a weight.\n  Try: write it as in: 7.\n");
  CHECK(one("weight", "30 GBP") ==
        "player-5: weight is a weight; it can't be a sum of money.\n  Try: write it as in: 96 kg.\n");
  CHECK(one("budget", "45.50 EUR") ==
        "player-5: budget is a sum of money; it can't be in another currency.\n  Try: write it as in: 450 GBP.\n");
  CHECK(one("age", "2014-05-03") ==
        "player-5: age is no day; the policy accepts 4 years to 90 years.\n  Try: write it as in: 47 years.\n");
  CHECK(one("birth_day", "14") ==
        "player-5: birth_day is a day; the policy accepts 1 January 1936 to 31 December 2022.\n  Try: write it as in: "
        "2 July 1979.\n");
  CHECK(by_json(R"({"birth_day": 2014})").problems == one("birth_day", "14"));
}

TEST_CASE("whole where whole is asked, and no finer than a tick anywhere") {
  const std::string whole_years = "player-3: age is asked in whole years.\n  Try: give it as a whole number.\n";
  CHECK(one("age", "9½") == whole_years);
  CHECK(one("age", "109 months") == whole_years);
  CHECK(one("age", "9 years 1 month") == whole_years);
  CHECK(by_json(R"({"age": 9.5})").problems == whole_years);
  CHECK(one("sessions", "2.5") == "player-3: sessions is asked in whole numbers.\n  Try: give it as a whole number.\n");
  CHECK(by_json(R"({"sessions": 2.5})").problems == one("sessions", "2.5"));
  CHECK(one("weight", "30.00000000000001 kg") ==
        "player-5: weight is finer than the language measures.\n  Try: round it to what can be measured.\n");
  CHECK(one("budget", "45.505 GBP") ==
        "player-5: budget is finer than the language measures.\n  Try: round it to what can be measured.\n");
  CHECK(by_json(R"({"turnout": 0.3333333333333333})").problems ==
        "player-5: turnout is finer than the language measures.\n  Try: round it to what can be measured.\n");
  CHECK(one("weight", "99999999999999999 st") ==
        "player-5: weight is past the largest quantity the language keeps; the policy accepts 12 kg to 180 kg.\n  Try: "
        "check the digits and the unit.\n");
}

TEST_CASE("what is no quantity and no day is told as it was written") {
  const auto neither = [](const char* text) {
    return fmt::format(
        "player-5: weight is '{}', which is neither a quantity nor a day the language reads.\n  Try: the policy "
        "accepts 12 kg to 180 kg.\n",
        text);
  };
  for (const auto* text : {"thirty", "-55.6 kg", "3e1 kg", "30 kg or so", "30,5 kg", "30 kg 4", "about 30 kg",
                           "30 kilos", "\xff", "30\xC3 kg", "30 kg, 40 kg"})
    CHECK(one("weight", text) == neither(text));
  CHECK(one("birth_day", "30 February 2014") ==
        "player-5: birth_day is '30 February 2014', which is neither a quantity nor a day the language reads.\n  Try: "
        "the policy accepts 1 January 1936 to 31 December 2022.\n");
  CHECK(one("birth_day", "29 February 2014") ==
        "player-5: birth_day is '29 February 2014', which is neither a quantity nor a day the language reads.\n  Try: "
        "the policy accepts 1 January 1936 to 31 December 2022.\n");
  CHECK(one("birth_day", "29 February 2012") == "");
}

TEST_CASE("members: one of them, with the nearest where one is near") {
  CHECK(one("skill", "begginer") ==
        "player-4: skill is one of new, improving, league or elite, not 'begginer'.\n  Try: write one of them.\n");
  CHECK(one("skill", "Leauge") ==
        "player-4: skill is one of new, improving, league or elite, not 'Leauge'.\n  Try: write league.\n");
  CHECK(one("hand", "rigth") == "player-4: hand is one of left or right, not 'rigth'.\n  Try: write right.\n");
  CHECK(
      one("skill", "new, improving") ==
      "player-4: skill is one of new, improving, league or elite, not 'new, improving'.\n  Try: write one of them.\n");
  CHECK(by_json(R"({"skill": 1})").problems ==
        "player-5: skill is one of new, improving, league or elite.\n  Try: write it as in: new.\n");
  CHECK(by_file("  skill nwe\n").problems ==
        "player-4: skill is one of new, improving, league or elite, not 'nwe'.\n"
        "  kim.players, line 2, character 3\n"
        "      skill nwe\n"
        "      ^^^^^^^^^\n"
        "  Try: write new.\n");
}

TEST_CASE("a detail or a piece the policy does not have, with the nearest where one is near") {
  const std::string wieght = "player-1: The policy asks nothing called 'wieght'.\n  Try: write weight.\n";
  CHECK(one("wieght", "30 kg") == wieght);
  CHECK(one("wieght", "") == wieght);
  CHECK(by_json(R"({"wieght": "30 kg"})").problems == wieght);
  CHECK(by_json(R"({"wieght": 30})").problems == wieght);
  CHECK(by_json(R"({"wieght": null})").problems == wieght);
  CHECK(by_json(R"({"wieght": true})").problems == wieght);
  CHECK(by_json(R"({"zzzzz": "30 kg"})").problems ==
        "player-1: The policy asks nothing called 'zzzzz'.\n"
        "  Try: the details are age, weight, load, height, foot, sessions, turnout, budget, birth_day, skill and "
        "hand.\n");
  CHECK(by_file("  wieght 30 kg\n  hieght blank\n").problems ==
        "player-1: The policy asks nothing called 'wieght'.\n"
        "  kim.players, line 2, character 3\n"
        "      wieght 30 kg\n"
        "      ^^^^^^\n"
        "  Try: write weight.\n"
        "\n"
        "player-1: The policy asks nothing called 'hieght'.\n"
        "  kim.players, line 3, character 3\n"
        "      hieght blank\n"
        "      ^^^^^^^^^^^^\n"
        "  Try: write height.\n");
  CHECK(by_text({}, {"helmt"}).problems == "player-7: The kit holds no piece called 'helmt'.\n  Try: write helmet.\n");
  CHECK(by_json(R"({"owns": ["skates"]})").problems ==
        "player-7: The kit holds no piece called 'skates'.\n  Try: the pieces are helmet, neck_guard and kit_bag.\n");
  CHECK(by_file("  owns helmet, neck gaurd\n").problems ==
        "player-7: The kit holds no piece called 'neck_gaurd'.\n"
        "  kim.players, line 2, character 16\n"
        "      owns helmet, neck gaurd\n"
        "                   ^^^^^^^^^^\n"
        "  Try: write neck_guard.\n");
}

TEST_CASE("a detail that stands twice is refused, and the rest is read") {
  CHECK(by_text({{"age", "9"}, {"Age", "9"}}).problems ==
        "player-6: age is given twice.\n  Try: keep one of the two.\n");
  CHECK(by_json(R"({"age": 9, "Age": 9})").problems == "player-6: age is given twice.\n  Try: keep one of the two.\n");
  const auto file = by_file("  foot 30 cm, age 9\n  foot 29 cm, sessions 3\n");
  CHECK(file.problems ==
        "player-6: foot is given twice.\n"
        "  kim.players, line 3, character 3\n"
        "      foot 29 cm, sessions 3\n"
        "      ^^^^^^^^^^\n"
        "  Try: keep one of the two.\n");
  CHECK(file.known == "age 9 years, foot 300 mm, sessions 3");
}

TEST_CASE("a players file: a reading without a value, and one of the wrong kind") {
  CHECK(by_file("  hand\n").problems ==
        "player-5: What is hand? The policy accepts one of left or right.\n"
        "  kim.players, line 2, character 3\n"
        "      hand\n"
        "      ^^^^\n"
        "  Try: write it after the detail's name, or write blank.\n");
  CHECK(by_file("  weight heavy\n").problems ==
        "player-5: weight is 12 kg to 180 kg.\n"
        "  kim.players, line 2, character 3\n"
        "      weight heavy\n"
        "      ^^^^^^^^^^^^\n"
        "  Try: write it with its number and unit.\n");
}

// ---- JSON ------------------------------------------------------------------------------------------------

std::string not_an_object(const std::string& message) {
  return "player-8: " + message +
         "\n  Try: write one object, as in: {\"age\": 9, \"weight\": \"30 kg\", \"skill\": \"new\"}.\n";
}

TEST_CASE("JSON: numbers are plain decimals") {
  const auto plain = [](const char* detail, const char* digits, const char* accepts) {
    return fmt::format(
        "player-5: {} is {}, which is not a plain decimal of at most 17 digits.\n  Try: the policy accepts {}.\n",
        detail, digits, accepts);
  };
  CHECK(by_json(R"({"age": 9e0})").problems == plain("age", "9e0", "4 years to 90 years"));
  CHECK(by_json(R"({"age": 9E0})").problems == plain("age", "9E0", "4 years to 90 years"));
  CHECK(by_json(R"({"age": 0.9e1})").problems == plain("age", "0.9e1", "4 years to 90 years"));
  CHECK(by_json(R"({"age": -9})").problems == plain("age", "-9", "4 years to 90 years"));
  CHECK(by_json(R"({"sessions": -1})").problems == plain("sessions", "-1", "0 to 14"));
  CHECK(by_json(R"({"turnout": 12345678901234567890})").problems == plain("turnout", "12345678901234567890", "0 to 2"));
  CHECK(by_json(R"({"turnout": 123456789012345678901234567890})").problems ==
        plain("turnout", "123456789012345678901234567890", "0 to 2"));
  CHECK(by_json(R"({"turnout": 1e999})").problems == plain("turnout", "1e999", "0 to 2"));
}

TEST_CASE("JSON: a truth is no detail") {
  CHECK(by_json(R"({"skill": true})").problems ==
        "player-5: skill is true, but the policy accepts one of new, improving, league or elite.\n  Try: write it as a "
        "text, in quotes.\n");
  CHECK(by_json(R"({"weight": false})").problems ==
        "player-5: weight is false, but the policy accepts 12 kg to 180 kg.\n  Try: write it as a text, in quotes.\n");
}

TEST_CASE("JSON: a key stands once") {
  CHECK(by_json(R"({"age": 9, "age": 9})").problems == not_an_object("The key \"age\" stands twice."));
  CHECK(by_json(R"({"weight": null, "weight": "30 kg"})").problems ==
        not_an_object("The key \"weight\" stands twice."));
  CHECK(by_json(R"({"owns": ["helmet"], "owns": []})").problems == not_an_object("The key \"owns\" stands twice."));
}

TEST_CASE("JSON: one flat object") {
  const auto no_object = not_an_object("A player is an object, with details by name.");
  for (const auto* json : {"[]", "[{\"age\": 9}]", "9", "\"age\"", "null", "true", "1e999"}) {
    INFO(json);
    CHECK(by_json(json).problems == no_object);
  }
  const auto nested = not_an_object("A player is one object, with details by name; no object stands inside it.");
  CHECK(by_json(R"({"age": {"years": 9}})").problems == nested);
  CHECK(by_json(R"({"owns": [{}]})").problems == nested);
  CHECK(by_json(R"({"age": [9]})").problems == not_an_object("\"age\" can't be a list."));
  CHECK(by_json(R"({"owns": [["helmet"]]})").problems == not_an_object("\"owns\" can't be a list."));
  CHECK(by_json(R"({"owns": "helmet"})").problems == not_an_object("\"owns\" is a list of pieces, not a text."));
  CHECK(by_json(R"({"owns": [1]})").problems == not_an_object("\"owns\" is a list of pieces, not a number."));
  CHECK(by_json(R"({"owns": [true]})").problems == not_an_object("\"owns\" is a list of pieces, not true or false."));
  CHECK(by_json(R"({"owns": null})").problems == not_an_object("\"owns\" is a list of pieces, not nothing."));
}

TEST_CASE("JSON: where a text stops being JSON is told, in characters") {
  const auto from = [](int place) {
    return not_an_object(fmt::format("This is not JSON from character {} on.", place));
  };
  CHECK(by_json("").problems == from(1));
  CHECK(by_json("   ").problems == from(4));
  CHECK(by_json("{'age': 9}").problems == from(2));
  CHECK(by_json(R"({"age": 9)").problems == from(10));
  CHECK(by_json(R"({"age": 9,)").problems == from(11));
  CHECK(by_json(R"({"age": 9,})").problems == from(11));
  CHECK(by_json(R"({"age": 9} x)").problems == from(12));
  CHECK(by_json(R"({"age": 9} {"age": 10})").problems == from(12));
  CHECK(by_json(R"({"age": NaN})").problems == from(9));
  CHECK(by_json(R"({"age": +9})").problems == from(9));
  CHECK(by_json(R"({"weight": "30 kg)").problems == from(18));
  CHECK(by_json(R"({"é": +9})").problems == from(7));  // é is one character, though two bytes
  CHECK(by_json("{\"weight\": \"30\xff kg\"}").problems == from(15));
  CHECK(by_json(R"({"weight": "\ud800"})").problems == from(19));
  CHECK(by_json("\xEF\xBB\xBF{\"age\": 9}").problems == "");  // a byte-order mark is no matter
}

TEST_CASE("JSON: cut anywhere, it is refused and never half taken") {
  const std::string whole = R"({"age": 9, "weight": "30 kg", "skill": "new", "owns": ["helmet", "kit bag"]})";
  REQUIRE(by_json(whole).known == "age 9 years, weight 30 kg, skill new; owns helmet, kit_bag");
  for (std::size_t length = 0; length < whole.size(); ++length) {
    const auto read = by_json(whole.substr(0, length));
    INFO(whole.substr(0, length));
    CHECK(read.known == "nobody");
    CHECK(read.problems == not_an_object(fmt::format("This is not JSON from character {} on.", length + 1)));
  }
}

TEST_CASE("JSON: several problems are all told, and then nobody is advised") {
  const auto read = by_json(R"({"age": 3, "weight": 30, "skill": "new", "owns": ["helmt"]})");
  CHECK(read.known == "nobody");
  CHECK(read.problems ==
        "player-2: age is 3 years, but the policy accepts 4 years to 90 years.\n" + outside +
            "\nplayer-5: weight needs its unit; the policy accepts 12 kg to 180 kg.\n  Try: write it as in: 96 kg.\n"
            "\nplayer-7: The kit holds no piece called 'helmt'.\n  Try: write helmet.\n");
}

}  // namespace
