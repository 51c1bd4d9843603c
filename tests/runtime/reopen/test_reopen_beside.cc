// What stands beside an entry of the daybook, through the command line: what was handed over, a sale, a sale given
// back.
#include <fmt/format.h>

#include <nlohmann/json.hpp>

#include "tests/runtime/reopen/recording_shop.hpp"
#include "tests/support/places.hpp"

namespace {

using namespace lacestay::tests;
using nlohmann::json;

TEST_CASE("what was handed over stands beside it; and the page says what safety rules speak of it") {
  const RecordingShop shop;
  (void)shop.said("advise shop.fitting --daybook d.daybook " + a_child);
  CHECK(
      shop.said("reopen d.daybook 1 --handed-over 'stick flex 50 flex' --by Sam --why 'strong for nine'") ==
      "Entry 2 records beside entry 1: stick flex 50 flex, where stick flex 35 to 45 flex was advised. By Sam: strong "
      "for nine\n");
  CHECK(shop.said("reopen d.daybook 1 --handed-over 'without neck guard' --by Sam --why 'has one <at home>'") ==
        "Entry 3 records beside entry 1: without neck guard, where neck_guard needed was advised. By Sam: has one <at "
        "home>\n"
        "  A SAFETY RULE SPEAKS OF THIS: young_neck: Cuts to the neck are rare and can kill.\n"
        "  THIS IS PROTECTION: never used goods; a trained fitter sees to the fit, the label and the mark,\n"
        "  and what the governing body asks for is still owed.\nThe page says so: print it once more with --html.\n");
  const auto text = shop.said("reopen d.daybook 1");
  CHECK(text.find("Handed over otherwise\n  - stick flex 50 flex, where stick flex 35 to 45 flex was advised. By Sam: "
                  "strong for nine\n") != text.npos);
  CHECK(text.find("    A SAFETY RULE SPEAKS OF THIS: young_neck: Cuts to the neck are rare and can kill.\n") !=
        text.npos);
  CHECK(text.find("the same answer, to the last byte") != text.npos);
  (void)shop.said("reopen d.daybook 1 --html page.html");
  const auto page = shop.read("page.html");
  CHECK(page.find("<h2>Handed over otherwise</h2>") != page.npos);
  CHECK(page.find("has one &lt;at home&gt;<br><strong>A safety rule speaks of this:</strong> young_neck") != page.npos);
  const auto record = json::parse(shop.said("reopen d.daybook 1 --json"))["handed_over"];
  REQUIRE(record.size() == 2);
  CHECK(record[0]["safety_rules"].empty());
  CHECK(record[0]["protection"] == false);
  CHECK(record[1]["safety_rules"].size() == 1);
  CHECK(record[1]["protection"] == true);
  CHECK(without_times(shop.said("reopen d.daybook")) ==
        "     3  TIME handed over otherwise  beside entry 1: without neck guard\n"
        "     2  TIME handed over otherwise  beside entry 1: stick flex 50 flex\n"
        "     1  TIME an advice              2 pieces needed; age 9 years, weight 38 kg\n");
  CHECK(shop.run("reopen d.daybook 1 --handed-over 'skates' --by Sam --why 'x'").err ==
        "Nothing is recorded: 'skates' does not begin with a piece of that policy; there are stick and neck_guard.\n");
  CHECK(shop.run("reopen d.daybook 1 --handed-over 'stick' --by Sam").err ==
        "Say what, by whom and why: --handed-over \"stick flex 50 flex\" --by NAME --why \"...\"\n");
  CHECK(shop.run("reopen d.daybook 2 --handed-over 'stick' --by Sam --why x").code == 2);
}

TEST_CASE("what a fitter says was handed over, held against the advice") {
  const RecordingShop shop;
  const auto policies = in_policies("");
  (void)shop.said("advise " + policies + "northgate.fitting --from " + policies +
                  "saturday.players saturday_beginner --daybook d.daybook");
  const auto record = [&](const std::string& what) {
    const auto ran = shop.run("reopen d.daybook 1 --handed-over \"" + what + "\" --by Sam --why x");
    if (ran.code != 0) return ran.err.substr(0, ran.err.find("; there are"));
    const auto number = ran.out.substr(6, ran.out.find(' ', 6) - 6);
    const auto said = json::parse(shop.said("reopen d.daybook " + number + " --json"))["handed_over"][0];
    std::string rules;
    for (const auto& rule : said["safety_rules"]) {
      const auto text = rule.get<std::string>();
      rules += (rules.empty() ? "" : ", ") + text.substr(0, text.find(": ", text.rfind("junior: ", 0) == 0 ? 8 : 0));
    }
    std::string broken;
    for (const auto& each : said["broken_rules"])
      broken += fmt::format("{}{} ({})", broken.empty() ? "; breaks " : ", ", each["rule"].get<std::string>(),
                            each["asks"].get<std::string>());
    return fmt::format("{}: {}; {}{}{}", said["about"].get<std::string>(), said["advised"].get<std::string>(), rules,
                       said["protection"] == true ? " (protection)" : "", broken);
  };
  struct Case {
    std::string what, recorded;
  };
  const Case cases[] = {
      {"stick flex 50 flex", "stick flex: 35 to 45 flex; "},
      {"Stick, flex: 50", "stick flex: 35 to 45 flex; "},
      {"skates tier club, size 220 mm", "skates: tier entry, size 210 mm; "},
      {"without skates", "skates: needed; "},
      // Protection, whatever is said of it; with every safety rule that speaks of it, also where it decides nothing.
      {"helmet left out", "helmet: needed;  (protection)"},
      {"face_protection kind visor",
       "face_protection kind: cage; beginner_cage, junior: young_face (protection); breaks beginner_cage (at least "
       "cage), junior: young_face (at least shield)"},
      {"face_protection, kind: SHIELD",
       "face_protection kind: cage; beginner_cage, junior: young_face (protection); breaks beginner_cage (at least "
       "cage)"},
      // Where it can't be read which of two it was, or it was as asked, no rule is said to be broken.
      {"face_protection kind visor or shield",
       "face_protection kind: cage; beginner_cage, junior: young_face (protection)"},
      {"face_protection kind cage, painted",
       "face_protection kind: cage; beginner_cage, junior: young_face (protection)"},
      {"Face protection visor", "face_protection: needed; beginner_cage, junior: young_face (protection)"},
      {"without face protection", "face_protection: needed; beginner_cage, junior: young_face (protection)"},
      {"neck_guard mark none", "neck_guard mark: ISO 10256-5;  (protection)"},
      {"neck_guard: own one", "neck_guard: needed; neck_by_birth_day, junior: young_neck (protection)"},
      {"NECK  GUARD, size large", "neck_guard size: youth;  (protection)"},
      // What was advised is nothing to record, and two pieces are two records.
      {"neck_guard needed", "Nothing is recorded: neck_guard needed is what was advised.\n"},
      {"Stick: flex 35 to 45 flex", "Nothing is recorded: stick flex 35 to 45 flex is what was advised.\n"},
      {"stick length 48 in, and no mouthguard",
       "Nothing is recorded: 'stick length 48 in, and no mouthguard' names stick and mouthguard; record each by "
       "itself.\n"},
      {"skate", "Nothing is recorded: 'skate' does not begin with a piece of that policy"},
      {"goalkeeper's skates 240 mm", "goal_skates: not in this kit; "},
      {"no neck guard", "neck_guard: needed; neck_by_birth_day, junior: young_neck (protection)"},
      // What it was instead must be said; and another piece's answer brings that piece's safety rules along.
      {"neck_guard",
       "Nothing is recorded: 'neck_guard' does not say what was different: write what it was, or without "
       "neck_guard.\n"},
      {"helmet without cage", "helmet: needed; beginner_cage, junior: young_face (protection)"},
  };
  for (const auto& each : cases) {
    INFO(each.what);
    CHECK(record(each.what) == each.recorded);
  }
}

TEST_CASE("a rule that what was handed over breaks is named with what it says, and the entry is read again") {
  const RecordingShop shop;
  shop.write("shop.fitting",
             policy_text +
                 "rule soft_child\n  keep stick flex within 20 to 45 flex\n  for age under 12, weight under 40 kg\n"
                 "  because \"A stiff shaft strains a wrist.\"\n  safety\n");
  (void)shop.said("advise shop.fitting --daybook d.daybook " + a_child);
  const auto told = shop.said("reopen d.daybook 1 --handed-over 'stick flex 46 flex' --by Sam --why 'strong for nine'");
  const std::string broken = "  THIS BREAKS A RULE: soft_child says within 20 to 45 flex\n";
  CHECK(told.find(broken) != told.npos);
  CHECK(shop.said("reopen d.daybook 1").find("  " + broken) != std::string::npos);
  // Of what it allows nothing is said.
  CHECK(shop.said("reopen d.daybook 1 --handed-over 'stick flex 20 flex' --by Sam --why light").find("BREAKS") ==
        std::string::npos);
}

TEST_CASE("a sale is on record beside its quote") {
  const RecordingShop shop;
  (void)shop.said("quote shop.fitting --stock stock --daybook d.daybook --take " + a_child);
  CHECK(without_times(shop.said("reopen d.daybook")) ==
        "     2  TIME sold                   sale 1\n"
        "     1  TIME a quote                2 items, 43.90 GBP; age 9 years, weight 38 kg\n");
  CHECK(without_times(shop.said("reopen d.daybook 1")).find("  sold       sale 1, TIME \n") != std::string::npos);
  CHECK(shop.said("reopen d.daybook 2").find("Sale 1 was taken from the stock.\n") != std::string::npos);
  CHECK(shop.said("reopen d.daybook 1 --handed-over 'stick ST-2' --by Sam --why nicer")
            .find("where stick needed (ST-1 in the quote) was advised") != std::string::npos);
}

TEST_CASE("a sale given back is on record beside the quote it was of") {
  const RecordingShop shop;
  (void)shop.said("quote shop.fitting --stock stock --daybook d.daybook --take " + a_child);
  (void)shop.said("quote shop.fitting --stock stock --daybook d.daybook --take " + a_child);
  const std::string give_back = "quote --stock stock --give-back ";
  CHECK(shop.said(give_back + "2 --daybook d.daybook").find("\nEntry 5 of the daybook says so beside entry 3.\n") !=
        std::string::npos);
  CHECK(
      without_times(shop.said("reopen d.daybook")).find("     5  TIME given back             sale 2\n     4  TIME ") ==
      0);
  const auto text = without_times(shop.said("reopen d.daybook 3"));
  CHECK(text.find("  sold       sale 2, TIME \n  given back sale 2, TIME \n") != std::string::npos);
  CHECK(shop.said("reopen d.daybook 1").find("given back") == std::string::npos);
  CHECK(shop.said("reopen d.daybook 5").find("Sale 2 was given back to the stock.\n") != std::string::npos);
  CHECK(json::parse(shop.said("reopen d.daybook 3 --json"))["given_back"].size() == 1);
  CHECK(json::parse(shop.said("reopen d.daybook 5 --json"))["kind"] == "given_back");
  CHECK(shop.said("reopen d.daybook --summary").substr(0, 48) == "Advices 0, quotes 2, sales 2, given back 1\n\nRule");
  CHECK(shop.said("reopen d.daybook --verify").substr(0, 46) == "5 entries hold, from the first to the last.\nTh");
  // From the environment too; and a sale the daybook knows nothing of.
  CHECK(shop.run(give_back + "1", "LACESTAY_DAYBOOK=d.daybook").out.find("Entry 6 of the daybook") !=
        std::string::npos);
  (void)shop.said("quote shop.fitting --stock stock --take " + a_child);
  CHECK(shop.said(give_back + "3 --daybook d.daybook")
            .find("The daybook has no sale 3 of that time, so nothing is put beside one.\n") != std::string::npos);
  (void)shop.said("quote shop.fitting --stock stock --daybook d.daybook --take " + a_child);
  // Where the daybook can't be looked into, nothing is given back.
  const auto stock = shop.read("stock/stick.csv") + shop.read("stock/sales.csv");
  const auto lost = shop.run(give_back + "4 --daybook gone.daybook");
  CHECK(lost.code == 3);
  CHECK(lost.err.find("daybook-1: There is no daybook '") == 0);
  CHECK(shop.read("stock/stick.csv") + shop.read("stock/sales.csv") == stock);
  // Erasing the quote takes what stands beside it along.
  (void)shop.said("reopen d.daybook --forget 3");
  CHECK(shop.said("reopen d.daybook 5").find("was erased on") != std::string::npos);
}

TEST_CASE("where the entry of a sale was altered, nothing is given back") {
  const std::vector<std::string> contents = {
      "3", "[1]", "{\"at\": 3}", "\"x\"", "null", "not JSON", "", "{\"at\":\"x\",\"format\":1,\"sale\":1}"};
  for (const auto& content : contents) {
    const RecordingShop shop;
    (void)shop.said("quote shop.fitting --stock stock --daybook d.daybook --take " + a_child);
    const auto alter = "UPDATE entry SET content = '" + content + "' WHERE kind = 'sold'";
    REQUIRE(run_program({"sqlite3", "d.daybook", alter}, {.folder = shop.folder()}).code == 0);
    const auto before = shop.read("stock/stick.csv") + shop.read("stock/neck_guard.csv") + shop.read("stock/sales.csv");
    const auto ran = shop.run("quote --stock stock --give-back 1 --daybook d.daybook");
    INFO(content);
    CHECK(ran.out == "");
    CHECK(ran.err ==
          "Sale 1 is not given back, as the daybook is not as it was written (entry 2: its content was altered).\n"
          "  Try: look with lacestay reopen d.daybook --verify; without a daybook, the stock is put right all the "
          "same.\n");
    CHECK(ran.code == 1);
    CHECK(shop.read("stock/stick.csv") + shop.read("stock/neck_guard.csv") + shop.read("stock/sales.csv") == before);
    CHECK(shop.run("reopen d.daybook 2").out.find("NOT AS IT WAS WRITTEN: entry 2: its content was altered.") !=
          std::string::npos);
    // The stock alone can be put right.
    CHECK(shop.said("quote --stock stock --give-back 1").find("Sale 1 is given back to the stock:\n") == 0);
  }
}

}  // namespace
