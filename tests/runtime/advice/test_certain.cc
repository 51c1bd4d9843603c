// What is said to be certain is: of an advice, every answer and every caution in it.
#include <catch2/catch.hpp>

#include "runtime/advice/advice.hpp"
#include "runtime/advice/html.hpp"
#include "runtime/advice/json.hpp"
#include "runtime/advice/text.hpp"
#include "tests/support/shop/small_shop.hpp"

namespace {

using namespace lacestay;

const char* const shop = R"(
ask age  4 to 20 years, whole
ask days 0 to 9, whole
piece stick always
  tier grades light, firm
chart tier_chart gives stick tier
  down age
    under 10: light
    the rest: firm
rule often
  caution "Look after the blade."
  for days over 4
  source "the maker"
)";

TEST_CASE("an advice is certain where each answer and each caution in it is") {
  struct Case {
    const char* details;
    bool certain;
    const char *next, *cautions;
  };
  const Case cases[] = {
      {"age=9, days=3", true, "", ""},
      {"age=9, days=5", true, "", "Look after the blade. (the maker)\n"},
      {"age=9", false, "days", "This may apply: Look after the blade. (the maker)\n"},
      {"days=3", false, "age", ""},
      {"days=5", false, "age", "Look after the blade. (the maker)\n"},
      {"", false, "age", "This may apply: Look after the blade. (the maker)\n"},
  };
  const auto engine = tests::small_shop(shop);
  for (const auto& each : cases) {
    INFO(each.details);
    const auto advice = runtime::advise(*engine, tests::player_of(engine->policy(), each.details), 0);
    const std::string next = each.next;
    std::string cautions;
    for (const auto& caution : advice.cautions) cautions += text_of(caution) + "\n";
    CHECK(advice.certain == each.certain);
    CHECK(advice.take_next.value_or("") == next);
    CHECK(cautions == each.cautions);
    CHECK(runtime::json_of(advice)["certain"] == each.certain);
    const auto text = runtime::text_of(advice), page = runtime::page_of(advice);
    CHECK((text.find("Next:   take " + next + ":") != std::string::npos) == !next.empty());
    CHECK((page.find("Begin with " + next + ":") != std::string::npos) == !next.empty());
    CHECK((page.find("Nothing is left open.") != std::string::npos) == each.certain);
  }
}

}  // namespace
