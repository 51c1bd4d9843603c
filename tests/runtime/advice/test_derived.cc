// How a detail that an answer turned on was worked out is told with the answer.
#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>

#include "runtime/advice/advice.hpp"
#include "runtime/advice/html.hpp"
#include "runtime/advice/json.hpp"
#include "runtime/advice/text.hpp"
#include "tests/support/shop/small_shop.hpp"

namespace {

using namespace lacestay;

const char* const shop = R"(
ask age         4 to 20 years, whole
ask foot_length 140 to 330 mm
piece boots always
  size  150 to 350 mm step 5 mm
  width choice slim, wide
chart room_chart gives growth_room
  down age
    under 13: 8 mm
    the rest: 0 mm
  because "A growing foot fills a season's room."
  source "common practice"
work out boot_length = foot_length + growth_room
rule boot_size
  size boots size from boot_length
  because "Too short hurts at once."
rule usual_width
  set boots width to slim
  for boot_length at most 300 mm
  because "Most feet."
rule long_width
  set boots width to wide
  for boot_length over 300 mm
)";

std::string derived_in(const runtime::Engine& engine, const char* details) {
  std::string out;
  const auto advice = runtime::advise(engine, tests::player_of(engine.policy(), details), 0);
  for (const auto& property : advice.pieces.front().properties)
    for (const auto& part : property.answer.parts)
      for (const auto& derived : part.derived) out += property.name + ": " + text_of(derived) + "\n";
  return out;
}

TEST_CASE("an answer tells how each detail it turned on was worked out, down to what was asked") {
  const auto engine = tests::small_shop(shop);
  const std::string boy =
      "boot_length 213 mm: from foot_length 205 mm, growth_room 8 mm\n"
      "growth_room 8 mm: A growing foot fills a season's room. age 12 years (1 year under the edge of 13 years); by "
      "room_chart, small.fitting line 12; source: common practice\n";
  CHECK(derived_in(*engine, "age=12, foot_length=205 mm") ==
        "size: " + boy.substr(0, boy.find('\n') + 1) + "size: " + boy.substr(boy.find('\n') + 1) +
            "width: " + boy.substr(0, boy.find('\n') + 1) + "width: " + boy.substr(boy.find('\n') + 1));
  // The chart's other row, and its edge from the other side.
  const auto grown = derived_in(*engine, "age=13, foot_length=205 mm");
  INFO(grown);
  CHECK(grown.find(
            "growth_room 0 mm: A growing foot fills a season's room. age 13 years (just at the edge of 13 years)") !=
        std::string::npos);
}

TEST_CASE("where what it rests on is not known, nothing is told of how it was worked out, but of what is known") {
  const auto engine = tests::small_shop(shop);
  CHECK(derived_in(*engine, "foot_length=205 mm") == "");
  CHECK(derived_in(*engine, "") == "");
}

TEST_CASE("each face tells the reason of a detail that was worked out, once an answer") {
  const auto engine = tests::small_shop(shop);
  const auto advice = runtime::advise(*engine, tests::player_of(engine->policy(), "age=12, foot_length=205 mm"), 0);
  const std::string reason = "A growing foot fills a season's room.";
  const auto times = [&](const std::string& text) {
    std::size_t found = 0;
    for (auto at = text.find(reason); at != std::string::npos; at = text.find(reason, at + 1)) ++found;
    return found;
  };
  CHECK(times(runtime::text_of(advice)) == 2);
  CHECK(runtime::page_of(advice).find("A growing foot fills a season") != std::string::npos);
  const auto json = runtime::json_of(advice);
  const auto& derived = json["pieces"][0]["properties"][0]["answer"]["parts"][0]["derived"];
  REQUIRE(derived.size() == 2);
  CHECK(derived[0]["detail"] == "boot_length");
  CHECK(derived[0]["chart"] == nullptr);
  CHECK(derived[0]["because"] == nullptr);
  CHECK(derived[0]["looked_at"].size() == 2);
  CHECK(derived[1]["detail"] == "growth_room");
  CHECK(derived[1]["chart"] == "room_chart");
  CHECK(derived[1]["because"] == reason);
  CHECK(derived[1]["source"] == "common practice");
  CHECK(derived[1]["looked_at"][0]["edge"] == "1 year under the edge of 13 years");
}

// Lengths are kept in millionths of a millimetre: a third of 301 mm lies between two of them.
TEST_CASE("a value between two ticks lies past an edge at the lower one") {
  const auto engine = tests::small_shop(R"(
ask shin  100 to 102 mm, whole
ask thigh 200 to 202 mm, whole
work out third = (shin + thigh) / 3
piece pads always
  tier grades light, heavy
rule usual_pads
  set pads tier to light
  for third at most 100.333333 mm
rule heavy_pads
  set pads tier to heavy
  for third over 100.333333 mm
)");
  const auto tier = [&](const char* details) {
    const auto advice = runtime::advise(*engine, tests::player_of(engine->policy(), details), 0);
    return advice.pieces.front().properties.front().answer.parts.front().says;
  };
  CHECK(tier("shin=100 mm, thigh=200 mm") == "light");
  CHECK(tier("shin=100 mm, thigh=201 mm") == "heavy");
}

}  // namespace
