// A choice that is left open, and what narrows it, told on each face.
#include <catch2/catch.hpp>

#include "runtime/advice/advice.hpp"
#include "runtime/advice/html.hpp"
#include "runtime/advice/json.hpp"
#include "runtime/advice/text.hpp"
#include "runtime/chart/chart_json.hpp"
#include "runtime/chart/wall_chart.hpp"
#include "runtime/reopen/handed_over.hpp"
#include "tests/support/shop/small_shop.hpp"

namespace {

using namespace lacestay;

const char* const shop = R"(
ask age  4 to 20 years, whole  may be left blank
ask role choice skater, goalkeeper
piece mask always
  mark choice iso_10256_3 shown as "ISO 10256-3", csa_z262_2 shown as "CSA Z262.2", hecc
rule any_mark
  set mask mark to any of them
  because "Any mark on the list will do."
rule young
  keep mask mark within iso_10256_3 or csa_z262_2
  for age under 14
rule league
  keep mask mark within csa_z262_2 or hecc
  for age under 10
  because "The league wants it."
  safety
rule by_hand
  refer mask mark
  for role goalkeeper
)";

// The part of an advice's text that is of the mask's mark.
std::string mark_of(const std::string& details) {
  const auto engine = tests::small_shop(shop);
  const auto text = runtime::text_of(runtime::advise(*engine, tests::player_of(engine->policy(), details), 0));
  const auto from = text.find("    mark"), to = text.find("\nCautions");
  return from == std::string::npos ? text : text.substr(from, to - from);
}

TEST_CASE("what is left of a choice is told, with what narrows it") {
  CHECK(mark_of("age=15, role=skater") ==
        "    mark              ISO 10256-3, CSA Z262.2 or hecc\n"
        "                      Any mark on the list will do.\n"
        "                      by any_mark, small.fitting line 10\n");
  CHECK(mark_of("age=12, role=skater") ==
        "    mark              ISO 10256-3 or CSA Z262.2\n"
        "                      Any mark on the list will do.\n"
        "                      by any_mark, small.fitting line 10\n"
        "                      within ISO 10256-3 or CSA Z262.2: age 12 years (2 years under the edge of 14\n"
        "                      years); by young, small.fitting line 13\n");
  CHECK(mark_of("age=8, role=skater") ==
        "    mark              CSA Z262.2\n"
        "                      Any mark on the list will do.\n"
        "                      by any_mark, small.fitting line 10\n"
        "                      within ISO 10256-3 or CSA Z262.2: age 8 years (6 years under the edge of 14\n"
        "                      years); by young, small.fitting line 13\n"
        "                      The league wants it.\n"
        "                      within CSA Z262.2 or hecc: age 8 years (2 years under the edge of 10 years);\n"
        "                      by league, small.fitting line 16; for safety\n");
  CHECK(mark_of("age=15, role=goalkeeper") ==
        "    mark              ask the fitter\n"
        "                      role goalkeeper; by by_hand, small.fitting line 21\n"
        "                      any_mark says ISO 10256-3, CSA Z262.2 or hecc, but by_hand leaves it to the\n"
        "                      fitter\n");
  CHECK(mark_of("age=8, role=goalkeeper") ==
        "    mark              ask the fitter; only CSA Z262.2 or hecc\n"
        "                      The league wants it.\n"
        "                      within CSA Z262.2 or hecc: age 8 years (2 years under the edge of 10 years);\n"
        "                      by league, small.fitting line 16; for safety\n"
        "                      role goalkeeper; by by_hand, small.fitting line 21\n"
        "                      any_mark says ISO 10256-3, CSA Z262.2 or hecc, but by_hand leaves it to the\n"
        "                      fitter\n"
        "                      young says within ISO 10256-3 or CSA Z262.2, but by_hand leaves it to the\n"
        "                      fitter\n");
  CHECK(mark_of("role=skater") ==
        "    mark              ISO 10256-3, CSA Z262.2 or hecc; or ISO 10256-3 or CSA Z262.2; or CSA Z262.2\n"
        "                      Any mark on the list will do.\n"
        "                      ISO 10256-3, CSA Z262.2 or hecc: by any_mark, small.fitting line 10\n"
        "                      within ISO 10256-3 or CSA Z262.2: age not known; by young, small.fitting line\n"
        "                      13\n"
        "                      The league wants it.\n"
        "                      within CSA Z262.2 or hecc: age not known; by league, small.fitting line 16;\n"
        "                      for safety\n");
}

TEST_CASE("on the page and in JSON a choice that is left open is one answer") {
  const auto engine = tests::small_shop(shop);
  const auto advice = runtime::advise(*engine, tests::player_of(engine->policy(), "age=12, role=skater"), 0);
  CHECK(runtime::page_of(advice).find("ISO 10256-3 or CSA Z262.2") != std::string::npos);
  const auto answer = runtime::json_of(advice)["pieces"][0]["properties"][0]["answer"];
  CHECK(answer["certain"] == true);
  CHECK(answer["answer"] == "ISO 10256-3 or CSA Z262.2");
  REQUIRE(answer["parts"].size() == 2);
  CHECK(answer["parts"][0]["role"] == "decides");
  CHECK(answer["parts"][0]["says"] == "ISO 10256-3, CSA Z262.2 or hecc");
  CHECK(answer["parts"][1]["role"] == "lifts");
  CHECK(answer["parts"][1]["says"] == "within ISO 10256-3 or CSA Z262.2");
}

TEST_CASE("what was handed over is told apart where it is none of those left open") {
  const auto engine = tests::small_shop(shop);
  const auto handed = [&](const std::string& details, const std::string& what) {
    const auto advice = runtime::advise(*engine, tests::player_of(engine->policy(), details), 0);
    const auto said = runtime::read_handed_over(advice, what);
    if (!said) return said.problem().message;
    return said->about() + ", not " + said->advised +
           (said->broken.empty() ? "" : "; breaks " + said->broken.front().rule);
  };
  CHECK(handed("age=12, role=skater", "mask mark hecc") == "mask mark, not ISO 10256-3 or CSA Z262.2");
  CHECK(handed("age=12, role=skater", "mask mark CSA Z262.2") ==
        "mask mark ISO 10256-3 or CSA Z262.2 is what was advised");
  CHECK(handed("age=12, role=skater", "mask mark CSA Z262.2, scratched") == "mask mark, not ISO 10256-3 or CSA Z262.2");
  CHECK(handed("age=8, role=goalkeeper", "mask mark hecc") == "mask mark, not ask the fitter; only CSA Z262.2 or hecc");
  CHECK(handed("age=8, role=skater", "mask mark ISO 10256-3") == "mask mark, not CSA Z262.2; breaks league");
}

TEST_CASE("a wall chart and the tables say what is left") {
  const auto engine = tests::small_shop(shop);
  const auto& policy = engine->policy();
  CHECK(runtime::text_of(policy, runtime::wall_tables(policy, {"mask_mark"}), {}) ==
        "Small shop, edition 1\n\nmask mark\n"
        "      ISO 10256-3, CSA Z262.2 or hecc [any_mark]\n"
        "      keep within ISO 10256-3 or CSA Z262.2 for age under 14 years [young]\n"
        "      keep within CSA Z262.2 or hecc for age under 10 years [league, safety]\n"
        "      ask the fitter for role goalkeeper [by_hand]\n");
  const auto rows = runtime::chart_json(policy)["tables"][0]["rows"];
  REQUIRE(rows.size() == 4);
  CHECK(rows[0]["low"] == nullptr);
  CHECK(rows[0]["any_of"] == nlohmann::ordered_json::array({0, 1, 2}));
  CHECK(rows[0]["text"] == "ISO 10256-3, CSA Z262.2 or hecc");
  CHECK(rows[1]["any_of"] == nlohmann::ordered_json::array({0, 1}));
}

}  // namespace
