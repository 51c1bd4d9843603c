// The program, run as a process: what it prints where, and its exit code (0 all well, 1 not so, 2 not understood,
// 3 file trouble), for good words and for bad ones.
#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <regex>
#include <sstream>

#include "tests/support/folder.hpp"
#include "tests/support/golden.hpp"
#include "tests/support/places.hpp"
#include "tests/support/process.hpp"

namespace {

namespace fs = std::filesystem;
using namespace lacestay::tests;
using Json = nlohmann::json;

Ran lacestay(std::vector<std::string> words, const Way& way = {}) {
  words.insert(words.begin(), program());
  return run_program(words, way);
}

bool holds(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

// What every refusal owes: its exit code, nothing on standard output, and these words on standard error.
void refused(const Ran& ran, int code, const std::string& message) {
  CHECK(ran.code == code);
  CHECK(ran.out == "");
  CHECK(ran.err == message);
}

const char* const shop_text = R"(policy "Corner shop"
edition 2, in force from 1 September 2026 to 31 August 2027
money GBP

ask age     4 to 90 years, whole
ask weight  12 to 180 kg
ask skill   grades new, league   may change
ask hand    choice left, right   may be left blank

piece stick always "Stick"
  toe    choice round, square
  curve  choice left, right
piece neck_guard optional "Neck guard"
piece kit_bag optional "Kit bag"

rule usual_toe
  set stick toe to round
  because "Learn on it."
rule board_play
  set stick toe to square
  for skill league, weight over 40 kg
  outranks usual_toe
  because "Digs a puck off the boards."
chart curve_chart gives stick curve
  down hand
    left:   left
    right:  right
rule young_neck
  need neck_guard
  for age under 18
  because "Cuts can kill."
  safety
rule carry
  suggest kit_bag
  for age at least 18
)";

const char* const players_text = R"(players of "shop.fitting"

player kim "Kim, nine"
  age 9 years, weight 30 kg, skill new, hand left
  leaves with stick toe round
  leaves with neck_guard needed
  leaves without kit_bag

player lou
  age 30, weight 80 kg, skill league
  owns neck guard
  leaves with stick toe square
  leaves with kit_bag
)";

const std::string northgate = in_policies("northgate.fitting");
const std::string northgate_3 = in_policies("northgate_edition_3.fitting");

// ---- words -----------------------------------------------------------------------------------------------

TEST_CASE("a bare call says what there is, and what to try first") {
  const auto bare = lacestay({});
  CHECK(bare.code == 0);
  CHECK(bare.err == "");
  for (const auto* command : {"advise", "inspect", "chart", "rehearse", "compare", "quote", "reopen"})
    CHECK(holds(bare.out, fmt::format("\n  {} ", command)));
  CHECK(lacestay({"--help"}).out == bare.out);
  CHECK(lacestay({"help"}).out == bare.out);
  // The command it offers to begin with works, from the checkout.
  const auto offered =
      bare.out.find("lacestay advise policies/northgate.fitting --from policies/saturday.players saturday_beginner");
  CHECK(offered != std::string::npos);
  const auto tried = lacestay({"advise", northgate, "--from", in_policies("saturday.players"), "saturday_beginner"});
  CHECK(tried.code == 0);
  CHECK(tried.err == "");
}

TEST_CASE("a command or an option that is not there, with the nearest one") {
  refused(lacestay({"advize"}), 2, "There is no command 'advize'; try advise.\nlacestay --help lists the commands.\n");
  refused(lacestay({"rehears", "x"}), 2,
          "There is no command 'rehears'; try rehearse.\nlacestay --help lists the commands.\n");
  refused(lacestay({"zzzzzzzz"}), 2, "There is no command 'zzzzzzzz'.\nlacestay --help lists the commands.\n");

  const Folder folder;
  const auto shop = folder.write("shop.fitting", shop_text);
  refused(lacestay({"advise", shop, "--jsno"}), 2,
          "There is no option --jsno; try --json.\nlacestay advise --help shows its options.\n");
  refused(lacestay({"advise", shop, "--ownes=stick"}), 2,
          "There is no option --ownes; try --owns.\nlacestay advise --help shows its options.\n");
  refused(lacestay({"chart", shop, "--xxxxxxxx"}), 2,
          "There is no option --xxxxxxxx.\nlacestay chart --help shows its options.\n");
  refused(lacestay({"advise", shop, "--json=yes"}), 2, "The option --json takes no value.\n");
  refused(lacestay({"advise", shop, "--on"}), 2, "The option --on wants a value after it.\n");
  refused(lacestay({"advise", shop, "--json", "--json"}), 2, "The option --json is given twice.\n");
  refused(lacestay({"advise", shop, "--on", "yesterday"}), 2,
          "'yesterday' is not a day; write 2026-09-01 or \"1 September 2026\".\n");
  refused(lacestay({"advise"}), 2, "Which policy? Write: lacestay advise POLICY DETAIL=VALUE ...\n");
  refused(lacestay({"chart"}), 2, "Which policy? Write: lacestay chart POLICY\n");
  refused(lacestay({"rehearse", shop}), 2,
          "Which policy, and which players? Write: lacestay rehearse POLICY FILE.players\n");
  refused(lacestay({"advise", shop, "heavy"}), 2, "'heavy' is no detail; write it as in: weight=\"30 kg\"\n");
  refused(lacestay({"chart", shop, "stik"}), 2,
          "The policy has no piece, property, chart or rule called 'stik'; try stick.\n");
  const auto players = folder.write("shop.players", players_text);
  refused(lacestay({"advise", shop, "--from", players}), 2,
          fmt::format("Which player of {}? There are kim, lou.\n", players));
  refused(lacestay({"advise", shop, "--from", players, "jo"}), 2,
          fmt::format("{} has no player called 'jo'; there are kim, lou.\n", players));
  refused(lacestay({"advise", shop, "--from", players, "--many", players}), 2,
          "Players come from one of --player, --from and --many.\n");
  refused(lacestay({"advise", shop, "--player", players, "age=9"}), 2,
          "Details come either from --player or from the command line, not from both.\n");
  refused(lacestay({"advise", shop, "--many", players, "--owns", "stick"}), 2,
          "With --many, everything about a player stands on his line.\n");
  refused(lacestay({"advise", shop, "--from", players, "kim", "lou", "--html", folder / "page.html"}), 2,
          "A page holds one player: name one.\n");
  CHECK(folder.names() == std::vector<std::string>{"shop.fitting", "shop.players"});
}

// ---- advise ----------------------------------------------------------------------------------------------

TEST_CASE("advise: details from the command line") {
  const Folder folder;
  const auto shop = folder.write("shop.fitting", shop_text);
  const auto ran = lacestay({"advise", shop, "age=9", "weight=4 st 10 lb", "skill=new", "hand=left", "--owns",
                             "stick,kit bag", "--on", "1 October 2026"});
  CHECK(ran.code == 0);
  CHECK(ran.err == "");
  CHECK(ran.out.rfind("Corner shop, edition 2, in force from 1 September 2026 to 31 August 2027\nAdvice of 1 October "
                      "2026\n\nPlayer: age 9 years, weight 29.94 kg, skill new, hand left\n",
                      0) == 0);
  CHECK(holds(ran.out, "\nStick: needed (already owned)\n"));
  CHECK(holds(ran.out, "    toe               round\n                      Learn on it.\n"));
  CHECK(holds(ran.out, "\nNeck guard: needed\n                      Cuts can kill.\n"));
  CHECK(holds(ran.out, "by young_neck, shop.fitting\n                      line 29; for safety\n"));
  CHECK_FALSE(holds(ran.out, "not in force on that day"));
  // The same with the options first and joined by '='.
  CHECK(lacestay({"advise", "--on=2026-10-01", "--owns=kit_bag,stick", shop, "age=9", "weight=4 st 10 lb", "skill=new",
                  "hand=left"})
            .out == ran.out);
}

TEST_CASE("advise: a day outside the edition is told") {
  const Folder folder;
  const auto shop = folder.write("shop.fitting", shop_text);
  for (const auto& [day, outside] : std::vector<std::pair<std::string, bool>>{
           {"2026-08-31", true}, {"2026-09-01", false}, {"31 August 2027", false}, {"2027-09-01", true}}) {
    INFO(day);
    const auto ran = lacestay({"advise", shop, "age=9", "--on", day});
    CHECK(ran.code == 0);
    CHECK(holds(ran.out, "This edition is not in force on that day: ask which edition is.") == outside);
    CHECK(Json::parse(lacestay({"advise", shop, "age=9", "--json", "--on", day}).out).at("outside_edition") == outside);
  }
  // Without --on it is today, whichever that is.
  CHECK(lacestay({"advise", shop, "age=9"}).code == 0);
}

TEST_CASE("advise --json: the advice for programs") {
  const Folder folder;
  const auto shop = folder.write("shop.fitting", shop_text);
  const auto ran = lacestay(
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
  const auto ran = lacestay({"advise", shop, "--player", file, "--on=2026-10-01", "--json"});
  CHECK(ran.code == 0);
  const auto typed = lacestay({"advise", shop, "age=9", "weight=30 kg", "skill=new", "hand=right", "--owns=kit_bag",
                               "--on=2026-10-01", "--json"});
  CHECK(ran.out == typed.out);
  CHECK(lacestay({"advise", shop, "--player", "-", "--on=2026-10-01", "--json"}, {player}).out == typed.out);
  // --owns adds to what the file says.
  const auto more = Json::parse(lacestay({"advise", shop, "--player", file, "--owns", "stick", "--json"}).out);
  for (const auto& piece : more.at("pieces")) CHECK(piece.at("owned") == (piece.at("piece") != "neck_guard"));

  refused(
      lacestay({"advise", shop, "--player", folder.write("twice.json", R"({"age": 9, "weight": "30 kg", "age": 10})")}),
      2,
      "player-8: The key \"age\" stands twice.\n  Try: write one object, as in: {\"age\": 9, \"weight\": \"30 "
      "kg\", \"skill\": \"new\"}.\n");
  refused(lacestay({"advise", shop, "--player", folder.write("bare.json", R"({"weight": 30})")}), 2,
          "player-5: weight needs its unit; the policy accepts 12 kg to 180 kg.\n  Try: write it as in: 96 kg.\n");
  refused(lacestay({"advise", shop, "--player", folder.write("empty.json", "")}), 2,
          "player-8: This is not JSON from character 1 on.\n  Try: write one object, as in: {\"age\": 9, \"weight\": "
          "\"30 kg\", \"skill\": \"new\"}.\n");
  refused(lacestay({"advise", shop, "--player", folder.write("latin.json", "{\"hand\": \"caf\xe9\"}")}), 2,
          fmt::format("file-4: {}: The file is not UTF-8 text: byte 14 has the value 233.\n", folder / "latin.json"));
  refused(lacestay({"advise", shop, "--player", folder.write("deep.json", std::string(100'000, '['))}), 2,
          "player-8: A player is an object, with details by name.\n  Try: write one object, as in: {\"age\": 9, "
          "\"weight\": \"30 kg\", \"skill\": \"new\"}.\n");
}

TEST_CASE("advise --from: sample players by name, with what they own") {
  const Folder folder;
  const auto shop = folder.write("shop.fitting", shop_text);
  const auto players = folder.write("shop.players", players_text);
  const auto both = lacestay({"advise", shop, "--from", players, "kim", "lou", "--on=2026-10-01"});
  CHECK(both.code == 0);
  CHECK(both.err == "");
  CHECK(both.out.rfind("Kim, nine (kim)\n\nCorner shop", 0) == 0);
  CHECK(holds(both.out, "\n\n" + std::string(60, '-') + "\n\nlou\n\nCorner shop"));
  const auto lou = Json::parse(lacestay({"advise", shop, "--from", players, "lou", "--owns", "stick", "--json"}).out);
  for (const auto& piece : lou.at("pieces")) CHECK(piece.at("owned") == (piece.at("piece") != "kit_bag"));
  refused(lacestay({"advise", shop, "--from", players, "lou", "--owns", "stik"}), 2,
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
  const auto ran = lacestay({"advise", shop, "--many", file, "--on=2026-10-01"});
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
      lacestay({"advise", shop, "age=9", "weight=30 kg", "skill=new", "hand=left", "--on=2026-10-01", "--json"});
  CHECK(answers[0]["advice"] == Json::parse(alone.out));
  const auto piped = lacestay({"advise", shop, "--many", "-", "--on=2026-10-01"}, {lines});
  CHECK(piped.code == 2);
  CHECK(piped.out == ran.out);
  CHECK(piped.err == ran.err);

  const auto good = lacestay({"advise", shop, "--many", "-"}, {"{\"age\": 9}\n{\"age\": 10}\n"});
  CHECK(good.code == 0);
  CHECK(good.err == "");
  CHECK(std::count(good.out.begin(), good.out.end(), '\n') == 2);
  const auto nobody = lacestay({"advise", shop, "--many", folder.write("empty", "")});
  CHECK(nobody.code == 0);
  CHECK(nobody.out == "");
  CHECK(nobody.err == "");
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
  const auto ran = lacestay({"advise", shop, "--many", "-"}, {lines});
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
  const auto ran = lacestay({"advise", shop, "age=9", "--html", page, "--on=2026-10-01"});
  CHECK(ran.code == 0);
  CHECK(ran.out == page + " is written.\n");
  CHECK(ran.err == "");
  const auto written = bytes_of(page);
  CHECK(written.size() > 1'500);
  CHECK(holds(written, "Corner shop"));
  CHECK(holds(written, "</html>"));
  CHECK(folder.names() == std::vector<std::string>{"page.html", "shop.fitting"});

  const auto nowhere = folder / "no/such/folder/page.html";
  refused(lacestay({"advise", shop, "age=9", "--html", nowhere}), 3,
          fmt::format("'{}' can't be written: No such file or directory.\n", nowhere));
  const auto a_folder = folder / "taken";
  fs::create_directory(a_folder);
  refused(lacestay({"advise", shop, "age=9", "--html", a_folder}), 3,
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

// ---- chart, inspect, rehearse ----------------------------------------------------------------------------

TEST_CASE("chart: the tables for the wall and for programs") {
  const Folder folder;
  const auto shop = folder.write("shop.fitting", shop_text);
  const auto all = lacestay({"chart", shop});
  CHECK(all.code == 0);
  CHECK(all.err == "");
  const auto one = lacestay({"chart", shop, "stick curve"});
  CHECK(one.code == 0);
  CHECK(one.out.size() < all.out.size());
  CHECK(holds(one.out, "curve_chart"));
  CHECK_FALSE(holds(one.out, "young_neck"));
  CHECK(lacestay({"chart", shop, "stick.curve"}).out == one.out);
  CHECK(lacestay({"chart", shop, "curve_chart"}).out == one.out);
  CHECK(holds(lacestay({"chart", northgate, "junior: young_neck"}).out, "neck_guard (optional)\n"));
  const auto json = lacestay({"chart", shop, "--json"});
  CHECK(json.code == 0);
  CHECK(json.err == "");
  const auto tables = Json::parse(json.out);
  CHECK(tables.at("policy") == "Corner shop");
  CHECK(tables.at("columns").size() == 4);
  CHECK(tables.at("tables").size() == 5);  // two properties, three pieces
  CHECK(tables.at("columns").at(1).at("cuts").at(0).at("text") == "over 40 kg");
  CHECK(lacestay({"chart", northgate}).code == 0);
  CHECK(Json::accept(lacestay({"chart", northgate, "--json"}).out));
}

TEST_CASE("rehearse: all holds, or what fails and which rule decided it") {
  const Folder folder;
  const auto shop = folder.write("shop.fitting", shop_text);
  const auto good = lacestay({"rehearse", shop, folder.write("shop.players", players_text)});
  CHECK(good.code == 0);
  CHECK(good.out == "2 players, 5 lines: all hold.\n");
  CHECK(good.err == "");

  const auto bad_players = folder.write("bad.players", R"(player kim "Kim, nine"
  age 9 years, weight 50 kg, skill league, hand left
  leaves with stick toe round
  leaves with stick curve left
  leaves without neck_guard
player lou
  age 30
  leaves with kit_bag
  leaves with stick curve left
)");
  const auto bad = lacestay({"rehearse", shop, bad_players});
  CHECK(bad.code == 1);
  CHECK(bad.err == "");
  golden("command/rehearsed_wrong.txt", std::regex_replace(bad.out, std::regex(bad_players), "PLAYERS"));
  const auto json = lacestay({"rehearse", shop, bad_players, "--json"});
  CHECK(json.code == 1);
  const auto results = Json::parse(json.out);
  CHECK(results.at("players").at(0).at("failed") == 2);
  CHECK(results.at("players").at(0).at("lines").at(0).at("came") == "square");
  CHECK(
      holds(results.at("players").at(0).at("lines").at(0).at("decided_by").at(0).get<std::string>(), "by board_play"));
  CHECK(results.at("players").at(0).at("lines").at(1).at("holds") == true);

  // A line that can't be understood is no rehearsal.
  const auto unclear =
      folder.write("unclear.players", "player kim\n  age 9, wieght 30 kg\n  leaves with stick too round\n");
  const auto told = lacestay({"rehearse", shop, unclear});
  CHECK(told.code == 2);
  CHECK(told.out == "");
  CHECK(holds(told.err, "player-1: The policy asks nothing called 'wieght'.\n"));
  CHECK(holds(told.err, "players-2: "));
  CHECK(lacestay({"rehearse", northgate, in_policies("saturday.players")}).code == 0);
}

TEST_CASE("rehearse --write-edges: a file to keep, which holds at once and is never written over") {
  const Folder folder;
  const auto shop = folder.write("shop.fitting", shop_text);
  const auto path = folder.write("edges.players", players_text);
  const auto kept = lacestay({"rehearse", shop, "--write-edges", path});
  CHECK(kept.code == 3);
  CHECK(kept.out == "");
  CHECK(kept.err == fmt::format("'{}' is there already, and is left as it is; name another file.\n", path));
  CHECK(bytes_of(path) == players_text);
  CHECK(lacestay({"rehearse", shop, path, "--write-missing", path}).err == kept.err);
  fs::remove(path);
  const auto written = lacestay({"rehearse", shop, "--write-edges", path});
  CHECK(written.code == 0);
  CHECK(written.err == "");
  CHECK(holds(written.out, fmt::format("{} is written.\n", path)));
  CHECK(holds(bytes_of(path), "player weight_just_under_40_kg \"Weight just under 40 kg\"\n"));
  CHECK(lacestay({"rehearse", shop, path}).code == 0);
}

TEST_CASE("compare --html: a page, and the exit code of a comparison") {
  const Folder folder;
  const auto shop = folder.write("shop.fitting", shop_text);
  const auto page = folder / "page.html";
  const auto same = lacestay({"compare", shop, shop, "--html", page});
  CHECK(same.code == 0);
  CHECK(same.out == page + " is written.\n");
  CHECK(holds(bytes_of(page), "No answer changes for any player."));
  CHECK(lacestay({"compare", northgate_3, northgate, "--html", page}).code == 1);
  CHECK(holds(bytes_of(page), "<svg "));
  refused(lacestay({"compare", shop, shop, "--html", page, "--json"}), 2,
          "A comparison is written either as --json or as --html.\n");
}

TEST_CASE("quote --json and --html: one of them, one player a page, and the exit code of a quote") {
  const Folder folder;
  const auto page = folder / "page.html", policies = in_policies("");
  const auto quote = [&](std::vector<std::string> words) {
    words.insert(words.begin(), {"quote", northgate, "--from", policies + "saturday.players", "saturday_beginner",
                                 "--stock", policies + "stock", "--on=2026-10-03"});
    return lacestay(words);
  };
  const auto written = quote({"--html", page});
  CHECK(written.code == 0);
  CHECK(written.out == page + " is written.\n");
  CHECK(holds(bytes_of(page), "<strong>Quote of 3 October 2026</strong>"));
  CHECK(Json::parse(quote({"--json"}).out)["complete"] == true);
  const auto short_of = quote({"--json", "--limit=100 GBP"});
  CHECK(short_of.code == 1);
  CHECK(Json::parse(short_of.out)["limit"]["kept"] == false);
  refused(quote({"--html", page, "--json"}), 2, "A quote is written either as --json or as --html.\n");
  refused(quote({"--html", page, "little_keeper"}), 2, "A page holds one player: name one.\n");
}

TEST_CASE("a policy that is refused gives nothing on standard output, whatever is asked of it") {
  const Folder folder;
  const auto players = folder.write("shop.players", players_text);
  const auto wrong = folder.write("wrong.fitting",
                                  "policy \"Wrong\"\nedition 1, in force from 1 September 2026\nask age 4 to 90 "
                                  "years, whole\npiece stick always\nrule x\n  need stik\n");
  const auto commands = [&](const std::string& policy) {
    return std::vector<std::vector<std::string>>{{"advise", policy, "age=9"},
                                                 {"advise", policy, "age=9", "--json"},
                                                 {"advise", policy, "--many", "-"},
                                                 {"advise", policy, "--html", folder / "x.html"},
                                                 {"chart", policy},
                                                 {"chart", policy, "--json"},
                                                 {"rehearse", policy, players}};
  };
  for (const auto& command : commands(wrong)) {
    const auto ran = lacestay(command);
    CHECK(ran.code == 1);
    CHECK(ran.out == "");
    CHECK(holds(ran.err, "stik"));
    CHECK(holds(ran.err, "  wrong.fitting, line 6, character 8\n"));
    CHECK(holds(ran.err, fmt::format("\n{} gives no advice until this is mended.\n", wrong)));
  }
  // One that compiles, but leaves some player without an answer, is refused to every player.
  const auto gap = folder.write(
      "gap.fitting",
      "policy \"Gap\"\nedition 1, in force from 1 September 2026\nask age 4 to 90 years, whole\nask skill grades new, "
      "league\npiece stick always\n  toe choice round, square\nrule x\n  set stick toe to round\n  for skill new\n");
  for (const auto& command : commands(gap)) {
    const auto ran = lacestay(command);
    CHECK(ran.code == 1);
    CHECK(ran.out == "");
    CHECK(holds(ran.err, "Nothing answers stick toe where skill league."));
  }
  CHECK(lacestay({"inspect", gap}).code == 1);
  CHECK(lacestay({"inspect", folder.write("shop.fitting", shop_text)}).code == 0);
  CHECK_FALSE(fs::exists(folder / "x.html"));
}

// ---- bad input -------------------------------------------------------------------------------------------

TEST_CASE("a policy file that is no text, says nothing or is too long") {
  const Folder folder;
  const auto refusal = [&](const std::string& name, const std::string& text) {
    const auto path = folder.write(name, text);
    for (const auto* command : {"advise", "inspect", "chart"}) {
      const auto ran = lacestay({command, path});
      CHECK(ran.code == 1);
      CHECK(ran.out == "");
      CHECK(lacestay({"advise", path}).err == ran.err);
    }
    return lacestay({"advise", path}).err;
  };
  CHECK(refusal("latin.fitting", "policy \"caf\xe9\"\n")
            .rfind("file-4: The file is not UTF-8 text: byte 12 has the value 233.\n"
                   "  latin.fitting, line 1, character 12\n"
                   "      policy \"caf",
                   0) == 0);
  CHECK(refusal("surrogate.fitting", "policy \"\xED\xA0\x80\"\n")
            .rfind("file-4: The file is not UTF-8 text: byte 9 has the value 237.\n", 0) == 0);
  CHECK(refusal("cut.fitting", "policy \"caf\xC3")
            .rfind("file-4: The file is not UTF-8 text: byte 12 has the value 195.\n", 0) == 0);
  CHECK(refusal("nul.fitting", std::string("policy \"x\0y\"\n", 13))
            .rfind("file-3: The file holds a byte of value 0, so it is not a text file.\n", 0) == 0);
  CHECK(refusal("empty.fitting", "").rfind("file-1: ", 0) == 0);
  CHECK(refusal("blank.fitting", " \n\t\n# nothing\n").rfind("file-1: ", 0) == 0);
  CHECK(refusal("mark.fitting", "\xEF\xBB\xBF").rfind("file-1: ", 0) == 0);
  const std::string line = "# a comment that says nothing, again and again\n";
  std::string long_text = shop_text;
  while (long_text.size() < (5u << 20)) long_text += line;
  CHECK(refusal("long.fitting", long_text).rfind("file-2: ", 0) == 0);
  // Up to the limit it is read.
  long_text.resize(4u << 20);
  CHECK(lacestay({"advise", folder.write("just.fitting", long_text), "age=9"}).code == 0);
}

TEST_CASE("brackets nested past the limit, and without end") {
  const Folder folder;
  const auto nested = [&](std::size_t depth) {
    const auto text = std::string(shop_text) + "work out deep = " + std::string(depth, '(') + "weight" +
                      std::string(depth, ')') + "\n";
    return lacestay({"advise", folder.write("nested.fitting", text), "age=9"});
  };
  CHECK(nested(16).code == 0);
  for (const std::size_t depth : {std::size_t{17}, std::size_t{1'000}, std::size_t{1'000'000}}) {
    INFO(depth);
    const auto ran = nested(depth);
    CHECK(ran.code == 1);
    CHECK(ran.out == "");
    CHECK(ran.err.rfind(
              "limits-1: The formula is nested more than 16 deep here.\n  nested.fitting, line 36, character ", 0) ==
          0);
  }
}

TEST_CASE("a players file that is no text or says nothing is not understood") {
  const Folder folder;
  const auto shop = folder.write("shop.fitting", shop_text);
  const auto told = [&](const std::string& path) {
    const auto ran = lacestay({"rehearse", shop, path});
    const auto from = lacestay({"advise", shop, "--from", path, "kim"});
    CHECK(ran.code == 2);
    CHECK(ran.out == "");
    CHECK(from.code == 2);
    CHECK(from.out == "");
    CHECK(from.err == ran.err);
    return ran.err;
  };
  const auto latin = folder.write("latin.players", "player kim \"caf\xe9\"\n");
  CHECK(told(latin).rfind(fmt::format("file-4: {}: The file is not UTF-8 text: byte 16 has the value 233.\n", latin),
                          0) == 0);
  const auto nul = folder.write("nul.players", std::string("player kim\0\n", 12));
  CHECK(told(nul).rfind(fmt::format("file-3: {}: The file holds a byte of value 0", nul), 0) == 0);
  CHECK(told(folder.write("empty.players", "")).rfind("file-1: ", 0) == 0);
  const auto large = folder.write("large.players", "player kim\n" + std::string(5u << 20, ' '));
  CHECK(told(large).rfind(fmt::format("file-2: {}: ", large), 0) == 0);
  const auto spaces = folder.write("large.json", "{\"age\": 9}" + std::string(5u << 20, ' '));
  const auto json = lacestay({"advise", shop, "--player", spaces});
  CHECK(json.code == 2);
  CHECK(json.err.rfind(fmt::format("file-2: {}: ", spaces), 0) == 0);
  // More on standard input than is ever read: it ends, and says so.
  const auto endless = lacestay({"advise", shop, "--player", "-"}, {std::string(9u << 20, ' ')});
  CHECK(endless.code == 2);
  CHECK(endless.err.rfind("file-2: -: ", 0) == 0);
}

TEST_CASE("files that are missing, or folders") {
  const Folder folder;
  const auto shop = folder.write("shop.fitting", shop_text);
  const auto missing = folder / "missing", itself = folder / ".";
  for (const auto* command : {"advise", "inspect", "chart"}) {
    refused(
        lacestay({command, missing}), 3,
        fmt::format("file-5: '{}' can't be read: there is no such file.\n  Try: check the file's name.\n", missing));
    refused(lacestay({command, itself}), 3,
            fmt::format("file-5: '{}' can't be read: it is a folder.\n  Try: check the file's name.\n", itself));
  }
  for (const auto& words : std::vector<std::vector<std::string>>{
           {"advise", shop, "--player"}, {"advise", shop, "kim", "--from"}, {"rehearse", shop}}) {
    auto with = words;
    with.push_back(missing);
    refused(lacestay(with), 3, fmt::format("'{}' can't be read: there is no such file.\n", missing));
    with.back() = itself;
    refused(lacestay(with), 3, fmt::format("'{}' can't be read: it is a folder.\n", itself));
  }
  const auto many = lacestay({"advise", shop, "--many", missing});
  CHECK(many.code == 3);
  CHECK(many.out == "");
  CHECK(many.err.rfind(fmt::format("'{}' can't be read: ", missing), 0) == 0);
  CHECK(lacestay({"advise", shop, "--many", itself}).code == 3);
  // A part that is missing is the policy's own fault, told at its line.
  const auto part = folder.write(
      "part.fitting", std::string(shop_text) + "along with \"gone.fitting\"\nalong with \"../outside.fitting\"\n");
  const auto ran = lacestay({"advise", part});
  CHECK(ran.code == 1);
  CHECK(ran.out == "");
  CHECK(
      holds(ran.err,
            "parts-1: 'gone.fitting' can't be read: there is no such file.\n  part.fitting, line 36, character 13\n"));
  CHECK(holds(ran.err,
              "parts-2: '../outside.fitting' does not lie in the policy's own folder.\n  part.fitting, line 37, "
              "character 13\n"));
}

TEST_CASE("a file whose name is no UTF-8 is as good as any other") {
  const Folder folder;
  const auto shop = folder.write("caf\xe9.fitting", shop_text);
  const auto players = folder.write("\xe9.players", players_text);
  for (const auto& words : std::vector<std::vector<std::string>>{{"advise", shop, "age=9", "--json"},
                                                                 {"chart", shop, "--json"},
                                                                 {"inspect", shop, "--json"},
                                                                 {"rehearse", shop, players, "--json"}}) {
    const auto ran = lacestay(words);
    INFO(words.front());
    CHECK(ran.code == 0);
    CHECK(Json::accept(ran.out));
  }
  CHECK(lacestay({"advise", shop, "age=9"}).code == 0);
  CHECK(lacestay({"advise", shop, "--many", "-"}, {"{\"age\": 9}\n"}).code == 0);
}

TEST_CASE("an output that is closed early is told, and no crash") {
  const Folder folder;
  const auto shop = folder.write("shop.fitting", shop_text);
  std::string lines;
  for (int i = 0; i < 3'000; ++i) lines += "{\"age\": 9}\n";
  const auto ran = lacestay({"advise", shop, "--many", folder.write("many", lines)}, {"", 10});
  CHECK(ran.code == 3);
  CHECK(ran.out == "{\"line\":1,");
  CHECK(ran.err == "The output could not be written: Broken pipe.\n");
  const auto full = run_program({"sh", "-c", "exec \"$0\" \"$@\" >/dev/full", program(), "advise", shop, "age=9"});
  CHECK(full.code == 3);
  CHECK(full.err == "The output could not be written: No space left on device.\n");
}

}  // namespace
