// A player's details, by each of the three ways in (a text on the command line, JSON, a players file): what is taken,
// exactly; and of JSON, what is no player.
#include "tests/runtime/player/read_player.hpp"

namespace {

using namespace lacestay::tests;

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

TEST_CASE("lengths and weights are read as people write them, by every way in") {
  for (const auto* text : {"4'6\"", "4' 6\"", "4'6", "4’6”", "4′ 6″", "4'6''", "54\"", "54''", "54 inches",
                           "4 feet 6 inches", "4½ ft", "4 1/2 feet", "4½'", "53 8/8 in", "137.16 cm"}) {
    INFO(text);
    CHECK(by_text({{"height", text}}).ticks("height") == 1'371'600'000);
    CHECK(by_file(fmt::format("  height {}, age 9  # told\n", text)).ticks("height") == 1'371'600'000);
  }
  CHECK(by_json(R"({"height": "4'6\""})").ticks("height") == 1'371'600'000);
  CHECK(by_text({{"foot", "8 3/16 in"}}).ticks("foot") == by_text({{"foot", "8.1875 in"}}).ticks("foot"));
  CHECK(by_text({{"foot", "8⅛ in"}}).ticks("foot") == by_text({{"foot", "8 1/8 inches"}}).ticks("foot"));
  CHECK(by_text({{"weight", "30 kilos"}}).ticks("weight") == by_text({{"weight", "30 kg"}}).ticks("weight"));
  CHECK(by_text({{"load", "10 stone 4 pounds"}}).ticks("load") == by_text({{"load", "144 lb"}}).ticks("load"));
  for (const auto* text : {"4'6\" 2", "4''6", "'6\"", "3/0 in", "3/16/2 in", "1/2"}) CHECK(one("height", text) != "");
}

TEST_CASE("a member is told by its name, or by the words shown for it") {
  const auto policy = lacestay::tests::policy_of("shown.fitting", R"(policy "Shown"
edition 1, in force from 1 September 2026
ask mark choice iso_10256_2 shown as "ISO 10256-2", other
ask size grades small shown as "S", small_to_medium shown as "S/M", x_large
piece helmet always
)");
  const auto read = [&](const std::string& mark, const std::string& size) {
    lacestay::grammar::Diagnostics problems;
    lacestay::runtime::PlayerReader reader(*policy, problems);
    reader.set("mark", mark);
    reader.set("size", size);
    const auto player = reader.take().value();
    auto out = lacestay::render(problems.sorted());
    for (std::size_t i = 0; i < player.readings.size() && problems.empty(); ++i)
      out += policy->details[i].scale.write(*player.readings[i]) + "; ";
    return out;
  };
  for (const auto* mark : {"iso_10256_2", "ISO 10256-2", "iso 10256 2", "Iso_10256-2"})
    for (const auto* size : {"small to medium", "S/M", "s-m"}) CHECK(read(mark, size) == "ISO 10256-2; S/M; ");
  CHECK(read("Other", "X Large") == "other; x_large; ");
  CHECK(read("other", "M") ==
        "player-4: size is one of S, S/M or x_large, not 'M'.\n"
        "  Try: write one of them.\n");
  lacestay::grammar::Diagnostics problems;
  const auto file =
      lacestay::runtime::read_players(*policy, "kim.players", "player kim\n  mark \"ISO 10256-2\", size S\n", problems);
  INFO(lacestay::render(problems.sorted()));
  REQUIRE(file.players.size() == 1);
  CHECK(file.players.front().player.readings == std::vector<std::optional<std::int64_t>>{0, 0});
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
