// Who is due to be measured again, out of a daybook, through the command line.
#include <nlohmann/json.hpp>

#include "tests/runtime/reopen/recording_shop.hpp"

namespace {

using namespace lacestay::tests;
using nlohmann::json;

// A policy that says so, and whose choice has a member that nobody has.
const std::string growing = R"(policy "Growing feet"
edition 1, in force from 1 September 2026
money GBP
ask age 4 to 90 years, whole
ask sex choice female, male  may be left blank
ask plays choice standing, sledge
nobody has plays sledge  "Sledge hockey has a kit of its own: ask the club."
piece boots always "Boots"
chart look_again gives see_again
  across sex    female,     male
  down age
    under 12:   4 months,   4 months
    under 14:  12 months,   6 months
    the rest:   0 months,   0 months
  because "Feet grow."
rule again
  caution "Measure again."
  for see_again at least 1 months
)";

TEST_CASE("entries whose time has come are listed, the longest due first") {
  const RecordingShop shop;
  shop.write("growing.fitting", growing);
  const auto advise = [&](const std::string& details) {
    (void)shop.said("advise growing.fitting --daybook d.daybook plays=standing " + details);
  };
  advise("age=9 sex=male --on 2026-10-31");     // there is no 31 February 2027: due on 3 March
  advise("age=13 sex=female --on 2026-10-03");  // 3 October 2027
  advise("age=13 sex=male --on 2026-10-03");    // 3 April 2027
  advise("age=13 --on 2026-10-04");             // a girl or a boy: as soon as a boy
  advise("age=30 sex=male --on 2026-10-03");    // never
  advise("age=9 sex=male --on 2026-10-31");     // as the first, and told in its place
  CHECK(shop.said("reopen d.daybook --to-see-again 2027-02-28") == "Nobody is to be measured again by 2027-02-28.\n");
  CHECK(shop.said("reopen d.daybook --to-see-again 2027-04-04") ==
        "     6  due 2027-03-03  advised 2026-10-31  1 piece needed; age 9 years, sex male, plays standing\n"
        "     3  due 2027-04-03  advised 2026-10-03  1 piece needed; age 13 years, sex male, plays standing\n"
        "     4  due 2027-04-04  advised 2026-10-04  1 piece needed; age 13 years, plays standing\n");
  const auto all = json::parse(shop.said("reopen d.daybook --to-see-again 2027-12-31 --json"));
  CHECK(all["by"] == "2027-12-31");
  REQUIRE(all["entries"].size() == 4);
  CHECK(all["entries"][3] == json{{"number", 2},
                                  {"advised", "2026-10-03"},
                                  {"due", "2027-10-03"},
                                  {"gist", "1 piece needed; age 13 years, sex female, plays standing"}});
  // What is erased is nobody's any more; and what the policy says nothing of is not listed.
  (void)shop.said("reopen d.daybook --forget 3");
  (void)shop.said("advise shop.fitting --daybook d.daybook " + a_child);
  CHECK(json::parse(shop.said("reopen d.daybook --to-see-again 2027-12-31 --json"))["entries"].size() == 3);
  CHECK(shop.run("reopen d.daybook --to-see-again 2027-13-01").err ==
        "'2027-13-01' is not a day; write 2026-09-01 or \"1 September 2026\".\n");
}

TEST_CASE("a member of a choice that nobody has is asked, and whoever names it is told") {
  const RecordingShop shop;
  shop.write("growing.fitting", growing);
  const auto ran = shop.run("advise growing.fitting plays=sledge age=20");
  CHECK(ran.code == 2);
  CHECK(ran.err.find("Sledge hockey has a kit of its own: ask the club.") != ran.err.npos);
  (void)shop.said("inspect growing.fitting --seal kept.sealed");
  CHECK(shop.run("advise kept.sealed plays=sledge age=20").err == ran.err);
  CHECK(shop.said("advise kept.sealed plays=standing age=20 --on 2026-10-03") ==
        shop.said("advise growing.fitting plays=standing age=20 --on 2026-10-03"));
}

}  // namespace
