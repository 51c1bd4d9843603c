// Steps from the base, told on each face.
#include <catch2/catch.hpp>

#include "runtime/advice/advice.hpp"
#include "runtime/advice/html.hpp"
#include "runtime/advice/json.hpp"
#include "runtime/advice/text.hpp"
#include "runtime/chart/wall_chart.hpp"
#include "tests/support/shop/small_shop.hpp"

namespace {

using namespace lacestay;

const char* const shop = R"(
ask age  4 to 20 years, whole
ask days 0 to 9, whole
piece gloves always
  size grades small, medium, large, huge
rule usual_size
  set gloves size to small
rule growing
  one step up in gloves size
  for age under 14
  because "A growing hand fills a season's room."
rule often
  two steps up in gloves size
  for days over 4
rule youngest
  cap gloves size at large
  for age under 8
)";

// The part of an advice's text that is of the gloves' size.
std::string size_of(const std::string& details) {
  const auto engine = tests::small_shop(shop);
  const auto text = runtime::text_of(runtime::advise(*engine, tests::player_of(engine->policy(), details), 0));
  const auto from = text.find("    size"), to = text.find("\nCautions");
  return from == std::string::npos ? text : text.substr(from, to - from);
}

TEST_CASE("an answer that was moved is told with each step, and its reason") {
  CHECK(size_of("age=15, days=2") ==
        "    size              small\n"
        "                      by usual_size, small.fitting line 10\n");
  CHECK(size_of("age=10, days=2") ==
        "    size              medium\n"
        "                      A growing hand fills a season's room.\n"
        "                      one step up: age 10 years (4 years under the edge of 14 years); by growing,\n"
        "                      small.fitting line 12\n"
        "                      usual_size says small, but growing moves it\n");
  CHECK(size_of("age=10, days=6") ==
        "    size              huge\n"
        "                      A growing hand fills a season's room.\n"
        "                      one step up: age 10 years (4 years under the edge of 14 years); by growing,\n"
        "                      small.fitting line 12\n"
        "                      two steps up: days 6 (1 over the edge of 5); by often, small.fitting line 16\n"
        "                      usual_size says small, but growing moves it\n");
  CHECK(size_of("age=6, days=6") ==
        "    size              large\n"
        "                      at most large: age 6 years (2 years under the edge of 8 years); by youngest,\n"
        "                      small.fitting line 19\n"
        "                      usual_size says small, but youngest lowers it\n"
        "                      growing says one step up, but youngest lowers it\n"
        "                      often says two steps up, but youngest lowers it\n");
}

TEST_CASE("on the page and in JSON a step is a part of its own") {
  const auto engine = tests::small_shop(shop);
  const auto advice = runtime::advise(*engine, tests::player_of(engine->policy(), "age=10, days=2"), 0);
  const auto page = runtime::page_of(advice);
  CHECK(page.find("A growing hand fills a season&#39;s room.") != std::string::npos);
  const auto parts = runtime::json_of(advice)["pieces"][0]["properties"][0]["answer"]["parts"];
  REQUIRE(parts.size() == 2);
  CHECK(parts[0]["role"] == "overruled");
  CHECK(parts[0]["by"] == "growing");
  CHECK(parts[1]["role"] == "lifts");
  CHECK(parts[1]["says"] == "one step up");
}

TEST_CASE("a wall chart says the step as the rule does") {
  const auto engine = tests::small_shop(shop);
  const auto& policy = engine->policy();
  CHECK(runtime::text_of(policy, runtime::wall_tables(policy, {"gloves_size"}), {}) ==
        "Small shop, edition 1\n\ngloves size\n"
        "      small [usual_size]\n"
        "      one step up for age under 14 years [growing]\n"
        "      two steps up for days 5 or more [often]\n"
        "      at most large for age under 8 years [youngest]\n");
}

}  // namespace
