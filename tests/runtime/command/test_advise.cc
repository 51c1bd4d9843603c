// `lacestay advise`, run as a process: players by every way in, and what is printed and written of them.
#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <sstream>

#include "tests/runtime/command/run_in_shop.hpp"
#include "tests/support/folder.hpp"

namespace {

namespace fs = std::filesystem;
using namespace lacestay::tests;
using Json = nlohmann::json;

TEST_CASE("advise: details from the command line") {
  const Folder folder;
  const auto shop = folder.write("shop.fitting", shop_text);
  const auto ran = run_lacestay({"advise", shop, "age=9", "weight=4 st 10 lb", "skill=new", "hand=left", "--owns",
                                 "stick,kit bag", "--on", "1 October 2026"});
  CHECK(ran.code == 0);
  CHECK(ran.err == "");
  CHECK(ran.out.rfind("Corner shop, edition 2, in force from 1 September 2026 to 31 August 2027\nAdvice of 1 October "
                      "2026\n\nPlayer: age 9 years, weight 29.94 kg (4 st 10 lb), skill new, hand left\n",
                      0) == 0);
  CHECK(holds(ran.out, "\nStick: needed (already owned)\n"));
  CHECK(holds(ran.out, "    toe               round\n                      Learn on it.\n"));
  CHECK(holds(ran.out, "\nNeck guard: needed\n                      Cuts can kill.\n"));
  CHECK(holds(ran.out, "by young_neck, shop.fitting\n                      line 29; for safety\n"));
  CHECK_FALSE(holds(ran.out, "not in force on that day"));
  // The same with the options first and joined by '='.
  CHECK(run_lacestay({"advise", "--on=2026-10-01", "--owns=kit_bag,stick", shop, "age=9", "weight=4 st 10 lb",
                      "skill=new", "hand=left"})
            .out == ran.out);
}

TEST_CASE("advise: a day outside the edition is told") {
  const Folder folder;
  const auto shop = folder.write("shop.fitting", shop_text);
  for (const auto& [day, outside] : std::vector<std::pair<std::string, bool>>{
           {"2026-08-31", true}, {"2026-09-01", false}, {"31 August 2027", false}, {"2027-09-01", true}}) {
    INFO(day);
    const auto ran = run_lacestay({"advise", shop, "age=9", "--on", day});
    CHECK(ran.code == 0);
    CHECK(holds(ran.out, "This edition is not in force on that day: ask which edition is.") == outside);
    CHECK(Json::parse(run_lacestay({"advise", shop, "age=9", "--json", "--on", day}).out).at("outside_edition") ==
          outside);
  }
  // Without --on it is today, whichever that is.
  CHECK(run_lacestay({"advise", shop, "age=9"}).code == 0);
}

TEST_CASE("advise --json: the advice for programs") {
  const Folder folder;
  const auto shop = folder.write("shop.fitting", shop_text);
  const auto ran = run_lacestay(
      {"advise", shop, "age=30", "weight=80 kg", "skill=league", "--json", "--owns=neck_guard", "--on=2026-10-01"});
  CHECK(ran.code == 0);
  CHECK(ran.err == "");
  const auto advice = Json::parse(ran.out);
  CHECK(advice.at("policy") == "Corner shop");
  CHECK(advice.at("day") == "1 October 2026");
  CHECK(advice.at("faults") == 0);
  CHECK(advice.at("certain") == false);  // the hand is not known
  CHECK(advice.at("not_known") == Json::array({"hand"}));
  CHECK(advice.at("still_to_ask") == Json::array());
  CHECK(advice.at("take_next") == "hand");
  REQUIRE(advice.at("pieces").size() == 3);
  const auto& stick = advice["pieces"][0];
  CHECK(stick.at("properties").at(0).at("answer").at("answer") == "square");
  CHECK(stick.at("properties").at(1).at("answer").at("answer") == nullptr);
  CHECK(stick.at("properties").at(1).at("answer").at("possible") == Json::array({"left", "right"}));
  CHECK(advice["pieces"][1].at("owned") == true);
  CHECK(advice["pieces"][1].at("presence").at("answer") == "not in this kit");
  CHECK(advice["pieces"][2].at("presence").at("answer") == "suggested");
}

TEST_CASE("advise --player: details from a file or from standard input") {
  const Folder folder;
  const auto shop = folder.write("shop.fitting", shop_text);
  const auto player = R"({"age": 9, "weight": "30 kg", "skill": "new", "hand": "right", "owns": ["kit_bag"]})";
  const auto file = folder.write("kim.json", player);
  const auto ran = run_lacestay({"advise", shop, "--player", file, "--on=2026-10-01", "--json"});
  CHECK(ran.code == 0);
  const auto typed = run_lacestay({"advise", shop, "age=9", "weight=30 kg", "skill=new", "hand=right", "--owns=kit_bag",
                                   "--on=2026-10-01", "--json"});
  CHECK(ran.out == typed.out);
  CHECK(run_lacestay({"advise", shop, "--player", "-", "--on=2026-10-01", "--json"}, {player}).out == typed.out);
  // --owns adds to what the file says.
  const auto more = Json::parse(run_lacestay({"advise", shop, "--player", file, "--owns", "stick", "--json"}).out);
  for (const auto& piece : more.at("pieces")) CHECK(piece.at("owned") == (piece.at("piece") != "neck_guard"));

  refused(run_lacestay(
              {"advise", shop, "--player", folder.write("twice.json", R"({"age": 9, "weight": "30 kg", "age": 10})")}),
          2,
          "player-8: The key \"age\" stands twice.\n  Try: write one object, as in: {\"age\": 9, \"weight\": \"30 "
          "kg\", \"skill\": \"new\"}.\n");
  refused(run_lacestay({"advise", shop, "--player", folder.write("bare.json", R"({"weight": 30})")}), 2,
          "player-5: weight needs its unit; the policy accepts 12 kg to 180 kg.\n  Try: write it as in: 96 kg.\n");
  refused(run_lacestay({"advise", shop, "--player", folder.write("empty.json", "")}), 2,
          "player-8: This is not JSON from character 1 on.\n  Try: write one object, as in: {\"age\": 9, \"weight\": "
          "\"30 kg\", \"skill\": \"new\"}.\n");
  refused(run_lacestay({"advise", shop, "--player", folder.write("latin.json", "{\"hand\": \"caf\xe9\"}")}), 2,
          fmt::format("file-4: {}: The file is not UTF-8 text: byte 14 has the value 233.\n", folder / "latin.json"));
  refused(run_lacestay({"advise", shop, "--player", folder.write("deep.json", std::string(100'000, '['))}), 2,
          "player-8: A player is an object, with details by name.\n  Try: write one object, as in: {\"age\": 9, "
          "\"weight\": \"30 kg\", \"skill\": \"new\"}.\n");
}

TEST_CASE("advise --from: sample players by name, with what they own") {
  const Folder folder;
  const auto shop = folder.write("shop.fitting", shop_text);
  const auto players = folder.write("shop.players", players_text);
  const auto both = run_lacestay({"advise", shop, "--from", players, "kim", "lou", "--on=2026-10-01"});
  CHECK(both.code == 0);
  CHECK(both.err == "");
  CHECK(both.out.rfind("Kim, nine (kim)\n\nCorner shop", 0) == 0);
  CHECK(holds(both.out, "\n\n" + std::string(60, '-') + "\n\nlou\n\nCorner shop"));
  const auto lou =
      Json::parse(run_lacestay({"advise", shop, "--from", players, "lou", "--owns", "stick", "--json"}).out);
  for (const auto& piece : lou.at("pieces")) CHECK(piece.at("owned") == (piece.at("piece") != "kit_bag"));
  refused(run_lacestay({"advise", shop, "--from", players, "lou", "--owns", "stik"}), 2,
          "player-7: The kit holds no piece called 'stik'.\n  Try: write stick.\n");
}

TEST_CASE("advise --many: a line in, a line out, in order, and a bad line stops nobody") {
  const Folder folder;
  const auto shop = folder.write("shop.fitting", shop_text);
  const std::string lines =
      "{\"age\": 9, \"weight\": \"30 kg\", \"skill\": \"new\", \"hand\": \"left\"}\n"
      "{\"age\": 30, \"weight\": \"80 kg\", \"skill\": \"lea\n"
      "\n"
      "{\"age\": 30, \"weight\": \"80 kg\", \"skill\": \"league\", \"hand\": \"left\"}\r\n"
      "{\"age\": 30, \"age\": 31}\n"
      "{\"age\": 300, \"wieght\": \"80 kg\"}\n"
      "{\"hand\": \"caf\xe9\"}\n" +
      std::string("{\"hand\": \"left\0\"}\n", 18) + "{" + std::string((1u << 20) + 5, ' ') + "}\n" +
      "{\"age\": 40}";  // the last without a line end
  const auto file = folder.write("many.jsonl", lines);
  const auto ran = run_lacestay({"advise", shop, "--many", file, "--on=2026-10-01"});
  CHECK(ran.code == 2);
  CHECK(ran.err ==
        "line 2: player-8: This is not JSON from character 45 on.\n"
        "line 5: player-8: The key \"age\" stands twice.\n"
        "line 6: player-2: age is 300 years, but the policy accepts 4 years to 90 years.\n"
        "line 6: player-1: The policy asks nothing called 'wieght'.\n"
        "line 7: file-4: The file is not UTF-8 text: byte 14 has the value 233.\n"
        "line 8: file-3: The file holds a byte of value 0, so it is not a text file.\n"
        "line 9: limits-6: The line is longer than 1 MiB.\n");
  std::vector<Json> answers;
  std::stringstream out(ran.out);
  for (std::string line; std::getline(out, line);) answers.push_back(Json::parse(line));
  REQUIRE(answers.size() == 9);
  const std::vector<int> numbers = {1, 2, 4, 5, 6, 7, 8, 9, 10};  // line 3 is empty
  for (std::size_t i = 0; i < answers.size(); ++i) {
    CHECK(answers[i].at("line") == numbers[i]);
    const bool good = numbers[i] == 1 || numbers[i] == 4 || numbers[i] == 10;
    CHECK(answers[i].contains("advice") == good);
    CHECK(answers[i].contains("problems") != good);
  }
  CHECK(answers[0]["advice"]["pieces"][0]["properties"][0]["answer"]["answer"] == "round");
  CHECK(answers[2]["advice"]["pieces"][0]["properties"][0]["answer"]["answer"] == "square");
  CHECK(answers[8]["advice"]["still_to_ask"] == Json::array({"weight", "skill"}));
  CHECK(answers[4]["problems"].size() == 2);
  CHECK(answers[4]["problems"][1]["hint"] == "write weight");
  // The advice is the one a player gets alone.
  const auto alone =
      run_lacestay({"advise", shop, "age=9", "weight=30 kg", "skill=new", "hand=left", "--on=2026-10-01", "--json"});
  CHECK(answers[0]["advice"] == Json::parse(alone.out));
  const auto piped = run_lacestay({"advise", shop, "--many", "-", "--on=2026-10-01"}, {lines});
  CHECK(piped.code == 2);
  CHECK(piped.out == ran.out);
  CHECK(piped.err == ran.err);

  const auto good = run_lacestay({"advise", shop, "--many", "-"}, {"{\"age\": 9}\n{\"age\": 10}\n"});
  CHECK(good.code == 0);
  CHECK(good.err == "");
  CHECK(std::count(good.out.begin(), good.out.end(), '\n') == 2);
  const auto nobody = run_lacestay({"advise", shop, "--many", folder.write("empty", "")});
  CHECK(nobody.code == 0);
  CHECK(nobody.out == "");
  CHECK(nobody.err == "");
}

TEST_CASE("whoever cannot be is refused with the policy's sentence, alone, in a file and among many; so is a quote") {
  const Folder folder;
  const auto shop =
      folder.write("shop.fitting", std::string(shop_text) +
                                       "nobody has age under 8, weight over 60 kg \"Weigh again, in kilograms.\"\n");
  const std::string told =
      "player-9: Weigh again, in kilograms.\n"
      "  the policy says so here: shop.fitting, line 36, character 1\n"
      "      nobody has age under 8, weight over 60 kg \"Weigh again, in kilograms.\"\n"
      "      ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^\n"
      "  Try: look at age and weight once more; a fitter decides about players who are like that all the same, and "
      "advise --by-hand keeps it on record.\n";
  for (const auto* command : {"advise", "quote"}) {
    INFO(command);
    std::vector<std::string> words = {command, shop, "age=7", "weight=61 kg"};
    if (std::string(command) == "quote") words.insert(words.end(), {"--stock", folder.folder()});
    const auto ran = run_lacestay(words);
    CHECK(ran.code == 2);
    CHECK(ran.out == "");
    CHECK(ran.err == told);
  }
  const auto alone =
      run_lacestay({"advise", shop, "--player", folder.write("kim.json", R"({"age": 7, "weight": "61 kg"})")});
  CHECK(alone.code == 2);
  CHECK(alone.err == told);
  const auto players =
      folder.write("saturday.players", "player kim\n  age 7 years, weight 61 kg\n  leaves with stick\n");
  for (const auto* way : {"advise", "rehearse"}) {
    const auto ran = std::string(way) == "advise" ? run_lacestay({"advise", shop, "--from", players, "kim"})
                                                  : run_lacestay({"rehearse", shop, players});
    CHECK(ran.code == 2);
    CHECK(ran.err.rfind("player-9: Weigh again, in kilograms.\n", 0) == 0);
    CHECK(holds(ran.err, "saturday.players, line 1, character 8\n"));
  }
  const auto many =
      run_lacestay({"advise", shop, "--many", "-"},
                   {"{\"age\": 7, \"weight\": \"61 kg\"}\n{\"age\": 7, \"weight\": \"60 kg\"}\n{\"age\": 7}\n"});
  CHECK(many.code == 2);
  CHECK(many.err == "line 1: player-9: Weigh again, in kilograms.\n");
  CHECK(std::count(many.out.begin(), many.out.end(), '\n') == 3);
  CHECK(Json::parse(many.out.substr(0, many.out.find('\n')))["problems"][0]["message"] == "Weigh again, in kilograms.");
}

TEST_CASE("advise --many: a line cut at any place is told by its number") {
  const Folder folder;
  const auto shop = folder.write("shop.fitting", shop_text);
  const std::string whole = R"({"age": 9, "hand": "left"})";
  std::string lines, expected;
  for (std::size_t length = 1; length < whole.size(); ++length) {
    lines += whole.substr(0, length) + "\n" + whole + "\n";
    expected += fmt::format("line {}: player-8: This is not JSON from character {} on.\n", 2 * length - 1, length + 1);
  }
  const auto ran = run_lacestay({"advise", shop, "--many", "-"}, {lines});
  CHECK(ran.code == 2);
  CHECK(ran.err == expected);
  std::stringstream out(ran.out);
  std::size_t number = 0;
  for (std::string line; std::getline(out, line);) {
    const auto answer = Json::parse(line);
    CHECK(answer.at("line") == ++number);
    CHECK(answer.contains("advice") == (number % 2 == 0));
  }
  CHECK(number == 2 * (whole.size() - 1));
}

TEST_CASE("advise --html: a page is written whole or not at all") {
  const Folder folder;
  const auto shop = folder.write("shop.fitting", shop_text);
  const auto page = folder / "page.html";
  const auto ran = run_lacestay({"advise", shop, "age=9", "--html", page, "--on=2026-10-01"});
  CHECK(ran.code == 0);
  CHECK(ran.out == page + " is written.\n");
  CHECK(ran.err == "");
  const auto written = bytes_of(page);
  CHECK(written.size() > 1'500);
  CHECK(holds(written, "Corner shop"));
  CHECK(holds(written, "</html>"));
  CHECK(folder.names() == std::vector<std::string>{"page.html", "shop.fitting"});

  const auto nowhere = folder / "no/such/folder/page.html";
  refused(run_lacestay({"advise", shop, "age=9", "--html", nowhere}), 3,
          fmt::format("'{}' can't be written: No such file or directory.\n", nowhere));
  const auto a_folder = folder / "taken";
  fs::create_directory(a_folder);
  refused(run_lacestay({"advise", shop, "age=9", "--html", a_folder}), 3,
          fmt::format("'{}' can't be written: it is no plain file.\n", a_folder));
  // A disk that fills up, in little: no file may pass the first block. The page that is there already stays whole.
  for (const auto& target : {page, folder / "new.html"}) {
    const auto full = run_program({"sh", "-c", "trap '' XFSZ; ulimit -f 1; exec \"$0\" \"$@\"", program(), "advise",
                                   shop, "age=30", "--html", target});
    refused(full, 3, fmt::format("'{}' can't be written: File too large.\n", target));
  }
  CHECK(bytes_of(page) == written);
  CHECK(folder.names() == std::vector<std::string>{"page.html", "shop.fitting", "taken"});
  CHECK(fs::is_empty(a_folder));
}

}  // namespace
