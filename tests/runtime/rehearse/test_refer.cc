// The fitter is asked about a piece only for a player who has it.
#include <catch2/catch.hpp>

#include "runtime/rehearse/rehearsal.hpp"
#include "tests/support/shop/small_shop.hpp"

namespace {

using namespace lacestay;

TEST_CASE("a piece is left to the fitter for who has it, and for nobody else") {
  const auto engine = tests::small_shop(R"(
ask age 4 to 20 years, whole
piece guard optional
  tier grades light, firm
rule young
  need guard
  for age under 10
rule by_eye
  refer guard tier
)");
  struct Case {
    const char *details, *wish, *came;  // what came instead; empty where it holds
  };
  const Case cases[] = {
      {"age 9", "guard", ""},
      {"age 9", "guard tier", ""},
      {"age 10", "guard", "not in this kit"},
      {"age 10", "guard tier", "not in this kit"},
      {"age blank", "guard", "needed or not in this kit"},
      {"age blank", "guard tier", "needed or not in this kit"},
  };
  for (const auto& each : cases) {
    INFO(each.details << ", " << each.wish);
    grammar::Diagnostics problems;
    const auto file = runtime::read_players(engine->policy(), "some.players",
                                            std::string("players of \"small.fitting\"\nplayer one\n  ") + each.details +
                                                "\n  leaves with refer " + each.wish + "\n",
                                            problems);
    REQUIRE(file.players.size() == 1);
    const auto result = runtime::rehearse(*engine, file.players.front(), problems);
    INFO(render(problems.sorted()));
    CHECK(problems.empty());
    REQUIRE(result.wishes.size() == 1);
    CHECK(result.wishes.front().holds == std::string(each.came).empty());
    CHECK(result.wishes.front().came == each.came);
  }
}

}  // namespace
