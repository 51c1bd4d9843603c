// What is refused of a player's details, with the whole message, by whichever way in it came.
#include "tests/runtime/player/read_player.hpp"

namespace {

using namespace lacestay::tests;

TEST_CASE("outside the domain: the detail, what it is, and what the policy accepts") {
  CHECK(one("age", "3") == "player-2: age is 3 years, but the policy accepts 4 years to 90 years.\n" + outside);
  CHECK(one("age", "91") == "player-2: age is 91 years, but the policy accepts 4 years to 90 years.\n" + outside);
  CHECK(one("weight", "11.9 kg") == "player-2: weight is 11.9 kg, but the policy accepts 12 kg to 180 kg.\n" + outside);
  CHECK(one("weight", "30 g") == "player-2: weight is 30 g, but the policy accepts 12 kg to 180 kg.\n" + outside);
  CHECK(one("load", "29 st") == "player-2: load is 29 st, but the policy accepts 1 st to 28 st.\n" + outside);
  CHECK(one("height", "57 cm") == "player-2: height is 57 cm, but the policy accepts 90 cm to 215 cm.\n" + outside);
  CHECK(one("height", "179 mm") == "player-2: height is 179 mm, but the policy accepts 90 cm to 215 cm.\n" + outside);
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
        "player-2: height is 57 cm, but the policy accepts 90 cm to 215 cm.\n"
        "  kim.players, line 2, character 10\n"
        "      age 9, height 57 cm\n"
        "             ^^^^^^^^^^^^\n" +
            outside);
}

TEST_CASE("a value a hair outside is not told as the end itself") {
  CHECK(one("weight", "180.001 kg") ==
        "player-2: weight is 180.001 kg, but the policy accepts 12 kg to 180 kg.\n" + outside);
  CHECK(one("weight", "11.999999 kg") ==
        "player-2: weight is 11.999999 kg, but the policy accepts 12 kg to 180 kg.\n" + outside);
  CHECK(one("load", "28 st 0.01 lb") ==
        "player-2: load is 28 st 0.01 lb, but the policy accepts 1 st to 28 st.\n" + outside);
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
        "player-5: height needs its unit; the policy accepts 90 cm to 215 cm.\n  Try: write it as in: "
        "152.5 cm.\n");
  CHECK(one("budget", "45") ==
        "player-5: budget needs its unit; the policy accepts 0 GBP to 900 GBP.\n  Try: write it as in: 450 GBP.\n");
  CHECK(by_json(R"({"budget": 45})").problems == one("budget", "45"));
  CHECK(by_json(R"({"age": 9, "sessions": 2, "turnout": 1})").problems == "");
}

TEST_CASE("a unit of another kind, another currency, or none where none is due") {
  CHECK(one("weight", "30 cm") ==
        "player-5: weight is a weight; it can't be a length.\n  Try: write it as in: 96 kg.\n");
  CHECK(one("height", "30 kg") ==
        "player-5: height is a length; it can't be a weight.\n  Try: write it as in: 152.5 cm.\n");
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
                           "30 kilograms", "\xff", "30\xC3 kg", "30 kg, 40 kg"})
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

}  // namespace
