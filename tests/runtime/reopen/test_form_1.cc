// Entries of form 1 told what was possible of a property of players without its piece as well. They open again with the
// answer they had; in what is recorded today, whatever is other is told.
#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include "runtime/reopen/day_entry.hpp"
#include "tests/support/shop/small_shop.hpp"

namespace {

using namespace lacestay;
using nlohmann::json;

const char* const shop = R"(
ask age 4 to 20 years, whole
piece guard optional
  tier grades g0, g1, g2
rule young
  need guard
  for age under 10
chart tier_chart gives guard tier
  down age
    under 10: g1
    the rest: g2
)";

TEST_CASE("an entry of form 1 that said more to be possible has the same answer") {
  struct Case {
    int form;
    std::vector<std::string> guard, tier;  // as it was recorded
    const char* others;                    // told when it opens again
  };
  const Case cases[] = {
      {2, {"needed", "not in this kit"}, {"g1"}, ""},
      {1, {"needed", "not in this kit"}, {"g1"}, ""},
      {1, {"needed", "not in this kit"}, {"g1", "g2"}, ""},
      {2, {"needed", "not in this kit"}, {"g1", "g2"}, "guard tier: g1, or g2 became g1\n"},
      {1, {"needed", "not in this kit"}, {"g0", "g2"}, "guard tier: g0, or g2 became g1\n"},
      {1,
       {"needed", "suggested", "not in this kit"},
       {"g1"},
       "guard: needed, or suggested, or not in this kit became needed, or not in this kit\n"},
  };
  const auto engine = tests::small_shop(shop);
  const auto& policy = engine->policy();
  const auto player = tests::player_of(policy, "");
  const auto entry = runtime::entry_of(policy, "", player, runtime::advise(*engine, player, 0), {0, std::nullopt});
  REQUIRE(json::parse(entry.content)["format"] == 2);
  for (const auto& each : cases) {
    auto content = json::parse(entry.content);
    content["format"] = each.form;
    content["answers"][0]["possible"] = each.guard;
    content["answers"][1]["possible"] = each.tier;
    INFO(content.dump(2));
    const auto kept = runtime::kept_advice(content.dump());
    REQUIRE(kept);
    const auto again = runtime::answer_again(*engine, *kept, {});
    REQUIRE(again);
    std::string others;
    for (const auto& other : again->others) others += other.about + ": " + other.before + " became " + other.now + "\n";
    CHECK(others == each.others);
  }
  for (const auto& form : {json(0), json(-1), json("2"), json(nullptr)}) {
    auto content = json::parse(entry.content);
    content["format"] = form;
    CHECK_FALSE(runtime::kept_advice(content.dump()));
  }
}

}  // namespace
