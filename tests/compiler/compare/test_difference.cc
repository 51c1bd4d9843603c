// The whole text of `lacestay compare` on small pairs of editions: one shop's policy, edited on one side or on both.
//
// A case is a file in tests/golden/compare: what each edition has in place of the shop's own text, and what is told.
#include <catch2/catch.hpp>

#include "runtime/compare/html.hpp"
#include "runtime/compare/json.hpp"
#include "runtime/compare/text.hpp"
#include "tests/support/folder.hpp"
#include "tests/support/golden.hpp"
#include "tests/support/places.hpp"
#include "tests/support/policy/compiled.hpp"

namespace {

using namespace lacestay;

std::shared_ptr<const runtime::Engine> edition(const std::string& name, const std::string& edits) {
  static const auto shop = tests::bytes_of(tests::in_checkout("tests/golden/compare/shop.fitting"));
  return tests::engine_of(name, tests::edited(shop, edits));
}

std::string told(const std::string& before, const std::string& now) {
  const auto earlier = edition("before.fitting", before), later = edition("now.fitting", now);
  const auto difference = compiler::differences(earlier->policy(), later->policy());
  auto comparison = runtime::comparison_of(*earlier, *later, difference);
  comparison.earlier.file = "before.fitting";
  comparison.later.file = "now.fitting";
  return runtime::text_of(comparison);
}

TEST_CASE("two editions compared, as a shop reads it") {
  const auto cases = tests::golden_cases("compare");
  CHECK(cases.size() >= 40);
  for (const auto& each : cases) {
    INFO(each.about);
    each.check("told", told(each.section("before"), each.section("now")));
  }
}

TEST_CASE("one step up on a longer scale leads elsewhere, though every row stays as it is") {
  const auto with_step = [](const std::string& step) {
    return tests::engine_of("scale.fitting",
                            "policy \"Scale\"\nedition 1, in force from 1 September 2026\n"
                            "ask age 4 to 90 years, whole\npiece skates always\n"
                            "  size 140 to 340 mm step " +
                                step +
                                "\n"
                                "rule usual\n  set skates size to 200 mm\n"
                                "rule roomy\n  one step up in skates size\n  for age under 13\n");
  };
  const auto before = with_step("5 mm"), now = with_step("10 mm");
  const auto difference = compiler::differences(before->policy(), now->policy());
  const auto text = runtime::text_of(runtime::comparison_of(*before, *now, difference));
  INFO(text);
  CHECK(text.find("205 mm") != text.npos);
  CHECK(text.find("210 mm") != text.npos);
}

TEST_CASE("who can be under one edition alone, for programs, as a page, and of people in a file") {
  const std::string asked = "-ask foot_length 140 to 330 mm\n+ask foot_length 140 to 330 mm\n";
  const auto earlier = edition("before.fitting", "");
  const auto later = edition("now.fitting", asked + "+nobody has age under 6, weight over 60 kg \"Weigh again.\"\n");
  const auto difference = compiler::differences(earlier->policy(), later->policy());
  auto comparison = runtime::comparison_of(*earlier, *later, difference);
  CHECK(comparison.any());
  CHECK(runtime::nothing_changes(comparison) ==
        "No answer changes for any player; who can be a player and what the policy is held to do.");
  const auto json = runtime::json_of(comparison);
  REQUIRE(json["shut_out_now"].size() == 1);
  CHECK(json["let_in_now"].empty());
  const auto& line = json["shut_out_now"][0];
  CHECK(line["who"] == nlohmann::ordered_json::array({"age under 6 years, weight over 60 kg"}));
  CHECK(line["sentence"] == "Weigh again.");
  CHECK(line["settled"] == true);
  CHECK(line["player"].size() == 6);
  const auto page = runtime::page_of(comparison, difference);
  CHECK(page.find("<h2>Who can be no longer</h2>") != page.npos);
  CHECK(page.find("<h2>Who can be now</h2>") == page.npos);
  CHECK(page.find("<td>Weigh again.</td>") != page.npos);
  grammar::Diagnostics problems;
  const auto people = runtime::read_people("people.csv", "player,age,weight (kg)\nAnn,5,61\nBo,5,60\n", problems);
  const auto lines = runtime::compare_people(*earlier, *later, difference, people);
  CHECK(lines.compared == 1);
  CHECK(lines.outside == std::vector<std::string>{"Ann: Weigh again."});
}

// What is said of the people in a file, from the end of the comparison's text.
std::string people_told(const std::string& file) {
  const auto earlier = edition("before.fitting", "");
  const auto later = edition("now.fitting", "-    under 40 kg:  20 to 40 flex\n+    under 41 kg:  20 to 40 flex\n");
  const auto difference = compiler::differences(earlier->policy(), later->policy());
  auto comparison = runtime::comparison_of(*earlier, *later, difference);
  grammar::Diagnostics problems;
  const auto people = runtime::read_people("people.csv", file, problems);
  CHECK(problems.empty());
  comparison.people = runtime::compare_people(*earlier, *later, difference, people);
  const auto text = runtime::text_of(comparison);
  return text.substr(text.find("stays as it is.\n") + 17);
}

TEST_CASE("people in a spreadsheet, as a shop keeps it") {
  const std::string one_of_two = "Of 2 people, 2 can be advised under both editions; 1 of them get another answer.\n";
  const std::string ann = "  stick flex: 1\n    Ann: stick flex 40 to 75 flex becomes 20 to 40 flex\n";
  CHECK(people_told("player,age,weight (kg),role\nAnn,9,40.5,skater\nBo,30,80,skater\n") == one_of_two + ann);
  // Saved where sums have a decimal comma, with the shop's own columns, one of them misspelt.
  CHECK(
      people_told("player;age;weight;club;wieght;role\r\nAnn;9;40,5 kg;Rovers;41;skater\r\nBo;30;80 kg;;;skater\r\n") ==
      one_of_two + "  Columns that neither edition asks are passed over: club and wieght (perhaps weight is meant).\n" +
          ann);
  // Headings as a stock file may have them; one that names nothing is passed over as it stands.
  CHECK(people_told("#;Player (name);AGE;Weight ( kg );Role-\r\n1;Ann;9;40,5;skater\r\n2;Bo;30;80;skater\r\n") ==
        one_of_two + "  Columns that neither edition asks are passed over: #.\n" + ann);
  CHECK(people_told("player,age,weight (kg)\n") == "The file of people has nobody in it.\n");
  // 1,200 may be meant for 1200: it is no weight.
  CHECK(people_told("age;weight (kg);role\n9;1,200;skater\n") ==
        "Of 1 person, 0 can be advised under both editions; 0 of them get another answer.\n"
        "Who can't be advised under both:\n    line 2: weight is '1,200 kg', which is neither a quantity nor a day the "
        "language reads.\n");
}

}  // namespace
