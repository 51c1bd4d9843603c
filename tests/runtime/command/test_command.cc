// The program, run as a process: what it prints where, and its exit code (0 all well, 1 not so, 2 not understood,
// 3 file trouble), whatever the command.
#include <fmt/format.h>

#include <filesystem>
#include <nlohmann/json.hpp>
#include <regex>

#include "tests/runtime/command/run_in_shop.hpp"
#include "tests/support/folder.hpp"
#include "tests/support/golden.hpp"

namespace {

namespace fs = std::filesystem;
using namespace lacestay::tests;
using Json = nlohmann::json;

const std::string northgate = in_policies("northgate.fitting");
const std::string northgate_3 = in_policies("northgate_edition_3.fitting");

// ---- words -----------------------------------------------------------------------------------------------

TEST_CASE("a bare call says what there is, and what to try first") {
  const auto bare = run_lacestay({});
  CHECK(bare.code == 0);
  CHECK(bare.err == "");
  for (const auto* command : {"advise", "inspect", "chart", "rehearse", "compare", "quote", "reopen"})
    CHECK(holds(bare.out, fmt::format("\n  {} ", command)));
  CHECK(run_lacestay({"--help"}).out == bare.out);
  CHECK(run_lacestay({"help"}).out == bare.out);
  // The command it offers to begin with works, from the checkout.
  const auto offered =
      bare.out.find("lacestay advise policies/northgate.fitting --from policies/saturday.players saturday_beginner");
  CHECK(offered != std::string::npos);
  const auto tried =
      run_lacestay({"advise", northgate, "--from", in_policies("saturday.players"), "saturday_beginner"});
  CHECK(tried.code == 0);
  CHECK(tried.err == "");
}

TEST_CASE("a command or an option that is not there, with the nearest one") {
  refused(run_lacestay({"advize"}), 2,
          "There is no command 'advize'; try advise.\nlacestay --help lists the commands.\n");
  refused(run_lacestay({"rehears", "x"}), 2,
          "There is no command 'rehears'; try rehearse.\nlacestay --help lists the commands.\n");
  refused(run_lacestay({"zzzzzzzz"}), 2, "There is no command 'zzzzzzzz'.\nlacestay --help lists the commands.\n");

  const Folder folder;
  const auto shop = folder.write("shop.fitting", shop_text);
  refused(run_lacestay({"advise", shop, "--jsno"}), 2,
          "There is no option --jsno; try --json.\nlacestay advise --help shows its options.\n");
  refused(run_lacestay({"advise", shop, "--ownes=stick"}), 2,
          "There is no option --ownes; try --owns.\nlacestay advise --help shows its options.\n");
  refused(run_lacestay({"chart", shop, "--xxxxxxxx"}), 2,
          "There is no option --xxxxxxxx.\nlacestay chart --help shows its options.\n");
  refused(run_lacestay({"advise", shop, "--json=yes"}), 2, "The option --json takes no value.\n");
  refused(run_lacestay({"advise", shop, "--on"}), 2, "The option --on wants a value after it.\n");
  refused(run_lacestay({"advise", shop, "--json", "--json"}), 2, "The option --json is given twice.\n");
  refused(run_lacestay({"advise", shop, "--on", "yesterday"}), 2,
          "'yesterday' is not a day; write 2026-09-01 or \"1 September 2026\".\n");
  refused(run_lacestay({"advise"}), 2, "Which policy? Write: lacestay advise POLICY DETAIL=VALUE ...\n");
  refused(run_lacestay({"chart"}), 2, "Which policy? Write: lacestay chart POLICY\n");
  refused(run_lacestay({"rehearse", shop}), 2,
          "Which policy, and which players? Write: lacestay rehearse POLICY FILE.players\n");
  refused(run_lacestay({"advise", shop, "heavy"}), 2, "'heavy' is no detail; write it as in: weight=\"30 kg\"\n");
  refused(run_lacestay({"chart", shop, "stik"}), 2,
          "The policy has no piece, property, chart or rule called 'stik'; try stick.\n");
  const auto players = folder.write("shop.players", players_text);
  refused(run_lacestay({"advise", shop, "--from", players}), 2,
          fmt::format("Which player of {}? There are kim, lou.\n", players));
  refused(run_lacestay({"advise", shop, "--from", players, "jo"}), 2,
          fmt::format("{} has no player called 'jo'; there are kim, lou.\n", players));
  refused(run_lacestay({"advise", shop, "--from", players, "--many", players}), 2,
          "Players come from one of --player, --from and --many.\n");
  refused(run_lacestay({"advise", shop, "--player", players, "age=9"}), 2,
          "Details come either from --player or from the command line, not from both.\n");
  refused(run_lacestay({"advise", shop, "--many", players, "--owns", "stick"}), 2,
          "With --many, everything about a player stands on his line.\n");
  refused(run_lacestay({"advise", shop, "--from", players, "kim", "lou", "--html", folder / "page.html"}), 2,
          "A page holds one player: name one.\n");
  CHECK(folder.names() == std::vector<std::string>{"shop.fitting", "shop.players"});
}

// ---- chart, inspect, rehearse ----------------------------------------------------------------------------

TEST_CASE("chart: the tables for the wall and for programs") {
  const Folder folder;
  const auto shop = folder.write("shop.fitting", shop_text);
  const auto all = run_lacestay({"chart", shop});
  CHECK(all.code == 0);
  CHECK(all.err == "");
  const auto one = run_lacestay({"chart", shop, "stick curve"});
  CHECK(one.code == 0);
  CHECK(one.out.size() < all.out.size());
  CHECK(holds(one.out, "curve_chart"));
  CHECK_FALSE(holds(one.out, "young_neck"));
  CHECK(run_lacestay({"chart", shop, "stick.curve"}).out == one.out);
  CHECK(run_lacestay({"chart", shop, "curve_chart"}).out == one.out);
  CHECK(holds(run_lacestay({"chart", northgate, "junior: young_neck"}).out, "neck_guard (optional)\n"));
  const auto json = run_lacestay({"chart", shop, "--json"});
  CHECK(json.code == 0);
  CHECK(json.err == "");
  const auto tables = Json::parse(json.out);
  CHECK(tables.at("policy") == "Corner shop");
  CHECK(tables.at("columns").size() == 4);
  CHECK(tables.at("tables").size() == 5);  // two properties, three pieces
  CHECK(tables.at("columns").at(1).at("cuts").at(0).at("text") == "over 40 kg");
  CHECK(run_lacestay({"chart", northgate}).code == 0);
  CHECK(Json::accept(run_lacestay({"chart", northgate, "--json"}).out));
}

TEST_CASE("rehearse: all holds, or what fails and which rule decided it") {
  const Folder folder;
  const auto shop = folder.write("shop.fitting", shop_text);
  const auto good = run_lacestay({"rehearse", shop, folder.write("shop.players", players_text)});
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
  const auto bad = run_lacestay({"rehearse", shop, bad_players});
  CHECK(bad.code == 1);
  CHECK(bad.err == "");
  golden("command/rehearsed_wrong.txt", std::regex_replace(bad.out, std::regex(bad_players), "PLAYERS"));
  const auto json = run_lacestay({"rehearse", shop, bad_players, "--json"});
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
  const auto told = run_lacestay({"rehearse", shop, unclear});
  CHECK(told.code == 2);
  CHECK(told.out == "");
  CHECK(holds(told.err, "player-1: The policy asks nothing called 'wieght'.\n"));
  CHECK(holds(told.err, "players-2: "));
  CHECK(run_lacestay({"rehearse", northgate, in_policies("saturday.players")}).code == 0);
}

TEST_CASE("rehearse --write-edges: a file to keep, which holds at once and is never written over") {
  const Folder folder;
  const auto shop = folder.write("shop.fitting", shop_text);
  const auto path = folder.write("edges.players", players_text);
  const auto kept = run_lacestay({"rehearse", shop, "--write-edges", path});
  CHECK(kept.code == 3);
  CHECK(kept.out == "");
  CHECK(kept.err == fmt::format("'{}' is there already, and is left as it is; name another file.\n", path));
  CHECK(bytes_of(path) == players_text);
  CHECK(run_lacestay({"rehearse", shop, path, "--write-missing", path}).err == kept.err);
  fs::remove(path);
  const auto written = run_lacestay({"rehearse", shop, "--write-edges", path});
  CHECK(written.code == 0);
  CHECK(written.err == "");
  CHECK(holds(written.out, fmt::format("{} is written.\n", path)));
  CHECK(holds(bytes_of(path), "player weight_just_under_40_kg \"Weight just under 40 kg\"\n"));
  CHECK(run_lacestay({"rehearse", shop, path}).code == 0);
}

TEST_CASE("compare --html: a page, and the exit code of a comparison") {
  const Folder folder;
  const auto shop = folder.write("shop.fitting", shop_text);
  const auto page = folder / "page.html";
  const auto same = run_lacestay({"compare", shop, shop, "--html", page});
  CHECK(same.code == 0);
  CHECK(same.out == page + " is written.\n");
  CHECK(holds(bytes_of(page), "No answer changes for any player."));
  CHECK(run_lacestay({"compare", northgate_3, northgate, "--html", page}).code == 1);
  CHECK(holds(bytes_of(page), "<svg "));
  refused(run_lacestay({"compare", shop, shop, "--html", page, "--json"}), 2,
          "A comparison is written either as --json or as --html.\n");
}

TEST_CASE("quote --json and --html: one of them, one player a page, and the exit code of a quote") {
  const Folder folder;
  const auto page = folder / "page.html", policies = in_policies("");
  const auto quote = [&](std::vector<std::string> words) {
    words.insert(words.begin(), {"quote", northgate, "--from", policies + "saturday.players", "saturday_beginner",
                                 "--stock", policies + "stock", "--on=2026-10-03"});
    return run_lacestay(words);
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
    const auto ran = run_lacestay(command);
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
    const auto ran = run_lacestay(command);
    CHECK(ran.code == 1);
    CHECK(ran.out == "");
    CHECK(holds(ran.err, "Nothing answers stick toe where skill league."));
  }
  CHECK(run_lacestay({"inspect", gap}).code == 1);
  CHECK(run_lacestay({"inspect", folder.write("shop.fitting", shop_text)}).code == 0);
  CHECK_FALSE(fs::exists(folder / "x.html"));
}

}  // namespace
