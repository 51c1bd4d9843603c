// Lines of the shelf and the till that are for some players, and what a line may ask of an item beside its properties.
#include "runtime/quote/html.hpp"
#include "runtime/quote/json.hpp"
#include "tests/runtime/quote/small_quotes.hpp"
#include "tests/support/folder.hpp"
#include "tests/support/golden.hpp"
#include "tests/support/places.hpp"
#include "tests/support/schema_check.hpp"

namespace {

using namespace lacestay;
using namespace lacestay::tests;

const std::string boots = R"(
ask age 4 to 60 years, whole  may be left blank
ask skill grades new, club, elite
piece boots always "Boots"
  tier  grades entry, club, top
piece bag always "Bag"
rule usual_tier
  set boots tier to entry
rule usual_club
  set boots tier to club
  for skill at least club
  outranks usual_tier
)";
const std::string boots_head = "item,price,on hand,tier,condition,made\n";
const std::string tagged = R"(
accept boots with tier as advised, price at most 60 GBP, condition new or used for skill new, age under 16
  if none in stock, one step up in tier
accept boots with tier at least advised, condition new for skill club, elite
accept bag with price at least 20 GBP
)";
const Files stock = {{"boots.csv", boots_head + "B1,60,1,entry,used,\nB2,61,1,entry,new,\nB3,50,1,club,new,\n"
                                                "B4,90,1,top,new,\nB5,95,1,club,used,\n"},
                     {"bag.csv", "item,price,on hand\nG1,19.99,1\nG2,20,1\n"}};

TEST_CASE("of several accept lines the one that is for the player is taken, with the lines below it") {
  const SmallShop shop(boots + tagged, stock);
  CHECK(brief(shop.quote("skill=new, age=15")) == "boots B1 6000\nbag G2 2000\ntotal 8000 of 8000\n");
  CHECK(brief(shop.quote("skill=elite, age=15")) == "boots B3 5000; next B4 +4000\nbag G2 2000\ntotal 7000 of 7000\n");
  CHECK(brief(shop.quote("skill=new, age=16")) ==
        "bag G2 2000\ntotal 2000 of 2000\nboots: the shop's policy sells it to other players, and not to this one\n");
  // With a blank a line counts where it is certain that it applies; else the detail is missing.
  CHECK(brief(shop.quote("skill=new")) == "bag G2 2000\ntotal 2000 of 2000\nboots: take age first\n");
  CHECK(brief(shop.quote("skill=club")) == brief(shop.quote("skill=club, age=15")));
  auto gone = stock;
  gone.front().second = boots_head + "B2,61,1,entry,new,\nB3,50,1,club,new,\n";
  CHECK(brief(SmallShop(boots + tagged, gone).quote("skill=new, age=15")) ==
        "boots B3 5000 (if none in stock, one step up in tier)\n  all but B2  : it costs 61 GBP\nbag G2 2000\n"
        "total 7000 of 7000\n");
  const auto quote = shop.quote("skill=club, age=15");
  CHECK(quote.lines.front().accepted_for == "skill club, elite");
  CHECK(quote.lines.back().accepted_for.empty());
}

TEST_CASE("an item is so old at most, on the day itself still, and never of a day to come") {
  const auto asked = boots + "accept boots with tier as advised, made at most 4 years before today\n";
  const auto on = [&](const std::string& made, std::int64_t today) {
    const SmallShop shop(asked, {{"boots.csv", boots_head + "B1,60,1,entry,new," + made + "\n"}});
    auto told = brief(shop.quote("skill=new, age=15", {}, {"bag"}, today));
    return told == "boots B1 6000\ntotal 6000 of 6000\n" ? std::string("sold") : told;
  };
  CHECK(on("2022-10-03", the_day) == "sold");
  CHECK(on("2022-10-02", the_day) == "boots: none in stock as advised\n  all but B1  : it was made 2 October 2022\n");
  CHECK(on("2026-10-03", the_day) == "sold");
  CHECK(on("2026-10-04", the_day) == "boots: none in stock as advised\n  all but B1  : it was made 4 October 2026\n");
  CHECK(on("", the_day) == "boots: none in stock as advised\n  all but B1  : it carries no day it was made\n");
  // Of 29 February it is 1 March four years on, where that year has no such day.
  CHECK(on("2096-02-29", day_of(2100, 3, 1)) == "sold");
  CHECK(on("2096-02-29", day_of(2100, 3, 2)) != "sold");
  CHECK(on("2096-02-28", day_of(2100, 3, 1)) != "sold");
}

TEST_CASE("a column called made is the shop's own where no line asks how old an item is") {
  const SmallShop shop(boots + "accept boots with tier as advised\n",
                       {{"boots.csv", boots_head + "B1,60,1,entry,new,by hand\n"}});
  CHECK(brief(shop.quote("skill=new, age=15", {}, {"bag"})) == "boots B1 6000\ntotal 6000 of 6000\n");
}

TEST_CASE("a cell that is an age, but of no whole months, is told so") {
  const auto engine = small_shop(
      "ask skill grades new, club\npiece boots always\n  years_old 0 to 20 years step 1 year\n"
      "rule usual_age\n  set boots years_old to 2 years\naccept boots with years_old at most advised\n");
  const auto read = stock_of(engine->policy(), {{"boots.csv", "item,price,on hand,years_old\nB1,60,1,2.3 years\n"}});
  CHECK(render(read.problems.sorted()) ==
        "stock-5: '2.3 years' is no years_old: an age is told in whole months, or in whole years.\n"
        "  boots.csv, line 2, character 9\n"
        "      B1,60,1,2.3 years\n"
        "              ^^^^^^^^^\n"
        "  Try: write an age in whole months or a range of it, as in: 9 years, 114 months, or 9-12 years.\n");
}

TEST_CASE("deals, what a step is worth, and the plan are for whom they say, where that is certain") {
  const auto till = boots + R"(
accept boots with tier at least advised
accept bag with price at least 1 GBP
worth boots tier 45 GBP a step for age under 12
deal both "Both" for age under 12
  for boots with bag
  10% off
over the limit
  hire boots for 5 GBP for age under 12
  put off boots for age at least 12
)";
  const SmallShop shop(till, stock);
  CHECK(brief(shop.quote("skill=new, age=11")) ==
        "boots B4 9000 off 900; next B3 -3600\nbag G1 1999 off 200; next G2 +1\nBoth off 1100\ntotal 9899 of 10999\n");
  CHECK(brief(shop.quote("skill=new, age=12")) ==
        "boots B3 5000; next B1 +1000\nbag G1 1999; next G2 +1\ntotal 6999 of 6999\n");
  CHECK(brief(shop.quote("skill=new")) == brief(shop.quote("skill=new, age=12")));
  CHECK(brief(shop.quote("skill=new, age=11", 3'000)).find("hire: Boots for 5 GBP: 2499\n") != std::string::npos);
  CHECK(brief(shop.quote("skill=new, age=12", 3'000)).find("put off: Boots: 1999\n") != std::string::npos);
  const auto blank = shop.quote("skill=new", 3'000);
  CHECK(blank.over.empty());
  CHECK(blank.shortfall == 3'999);
}

TEST_CASE("whom an accept line is for stands beside the item on every face") {
  const SmallShop shop(boots + tagged, stock);
  const auto quote = shop.quote("skill=elite, age=15");
  golden("quote/for_some.txt", text_of(quote));
  const auto json = json_of(quote);
  CHECK(json["lines"][0]["accepted_for"] == "skill club, elite");
  CHECK_FALSE(json["lines"][1].contains("accepted_for"));
  CHECK(schema_faults(nlohmann::json::parse(bytes_of(in_checkout("runtime/quote/quote.schema.json"))),
                      nlohmann::json::parse(json.dump()))
            .empty());
  CHECK(page_of(quote).find("<br>Accepted for: skill club, elite") != std::string::npos);
}

}  // namespace
