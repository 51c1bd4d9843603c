// Over the limit, each total beside a step is of a kit chosen anew, whose items are told where they are not the lines'.
#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include "runtime/quote/html.hpp"
#include "runtime/quote/json.hpp"
#include "runtime/quote/quote.hpp"
#include "runtime/quote/text.hpp"
#include "tests/support/folder.hpp"
#include "tests/support/places.hpp"
#include "tests/support/schema_check.hpp"
#include "tests/support/shop/small_shop.hpp"

namespace {

using namespace lacestay;

// With boots the stick of their make is the cheaper one; without them it is not.
const char* const shop = R"(
piece helmet always "Helmet"
piece boots always "Boots"
piece stick always "Stick"
piece gloves always "Gloves"
protection is helmet
accept helmet with condition new
accept boots with condition new
accept stick with condition new
accept gloves with condition new
deal pair "Boots with stick"
  for 2 or more pieces of one make: boots, stick
  30 GBP off
over the limit
  put off gloves
  hire boots for 20 GBP
  borrow stick
)";

runtime::Quote quoted(std::int64_t limit) {
  const auto engine = tests::small_shop(shop);
  const std::string head = "item,make,model,price,on hand,condition\n";
  const auto stock =
      tests::stock_of(engine->policy(), {{"helmet.csv", head + "H1,Fell,Dome,40,1,new\n"},
                                         {"boots.csv", head + "B1,Gill,Beck,100,1,new\n"},
                                         {"stick.csv", head + "K1,Gill,Reed,50,1,new\nK2,Fell,Ash,35,1,new\n"},
                                         {"gloves.csv", head + "G1,Oxnop,Grip,30,1,new\n"}});
  return runtime::quote(*engine, tests::player_of(engine->policy(), ""), stock, 0, limit);
}

TEST_CASE("the kit that each step's total is of is told, on every face") {
  struct Case {
    std::int64_t limit;
    const char* expected;  // a step and its total, then what its kit has that the lines have not
  };
  const Case cases[] = {
      {19'000, ""},
      {18'999, "put off: Gloves 16000\n"},
      {15'999, "put off: Gloves 16000\nhire: Boots for 20 GBP 9500: Stick, Fell Ash (K2) at 35 GBP\n"},
      {9'499,
       "put off: Gloves 16000\nhire: Boots for 20 GBP 9500: Stick, Fell Ash (K2) at 35 GBP\nborrow: Stick 6000\n"},
  };
  const auto published = nlohmann::json::parse(tests::bytes_of(tests::in_checkout("runtime/quote/quote.schema.json")));
  for (const auto& each : cases) {
    INFO(each.limit);
    const auto quote = quoted(each.limit);
    std::string told;
    for (const auto& step : quote.over) {
      const auto others = runtime::other_items_text(quote, step);
      told += text_of(quote, step) + " " + std::to_string(step.total) + (others.empty() ? "" : ": " + others) + "\n";
    }
    CHECK(told == each.expected);
    const auto text = runtime::text_of(quote), page = runtime::page_of(quote);
    const std::string anew = "hosen anew: Stick, Fell Ash (K2) at 35 GBP";
    const bool others = told.find("K2") != std::string::npos;
    CHECK((text.find("    c" + anew + "\n") != std::string::npos) == others);
    CHECK((page.find("c" + anew + "</th>") != std::string::npos) == others);
    const nlohmann::json json = runtime::json_of(quote);
    CHECK(tests::schema_faults(published, json) == std::vector<std::string>{});
    // The total is of the lines less what is not bought, with these in place of theirs.
    for (std::size_t i = 0; i < quote.over.size(); ++i) {
      const auto& items = json["limit"]["steps"][i]["other_items"];
      CHECK(items.size() == quote.over[i].other_items.size());
      for (const auto& one : items)
        CHECK(one["piece"].get<std::string>() + " " + one["item"]["number"].get<std::string>() == "stick K2");
    }
  }
}

TEST_CASE(
    "what is settled for is looked for from the advice, within what binds it, and only where the kit costs less") {
  const std::string policy = R"(
ask age 5 to 70 years, whole
piece boots always "Boots"
  tier grades entry, club, league, performance
piece bag always "Bag"
  litres 60 to 120 step 20
  hue choice red, blue
rule usual_tier
  set boots tier to performance
rule usual_bag
  set bag litres to 100
rule usual_hue
  set bag hue to red
rule safe_boots
  floor boots tier at club
  safety
accept boots with tier as advised
accept bag with litres as advised, hue as advised
over the limit
  settle for one step up in bag litres
  settle for any bag hue for age under 12
  settle for one step down in bag litres
  settle for two steps down in boots tier
  settle for three steps down in boots tier
  put off bag
)";
  const auto engine = tests::small_shop(policy);
  const auto stock = tests::stock_of(
      engine->policy(), {{"boots.csv",
                          "item,make,price,on hand,tier\nB1,Gill,200,1,performance\nB2,Gill,150,1,league\n"
                          "B3,Gill,120,1,club\nB4,Gill,20,1,entry\n"},
                         {"bag.csv",
                          "item,make,price,on hand,litres,hue\nG1,Fell,60,1,100,red\nG2,Fell,50,1,100,blue\n"
                          "G3,Fell,40,1,80,red\nG4,Fell,60,1,120,red\nG5,Fell,5,1,80,blue\n"}});
  const auto told = [&](const char* details, std::int64_t limit) {
    const auto quote = runtime::quote(*engine, tests::player_of(engine->policy(), details), stock, 0, limit);
    std::string out;
    for (const auto& step : quote.over) {
      out += fmt::format("{} {}: ", text_of(quote, step), step.total);
      for (const auto& other : step.other_items) out += other.item.number + " ";
      out += "\n";
    }
    return out;
  };
  // A step up costs no less; with another hue only a child's. Below the floor there is nothing.
  CHECK(told("age=12", 26'000).empty());
  CHECK(told("age=12", 25'999) == "settle for: Bag, one step down in litres 24000: G3 \n");
  CHECK(told("age=11", 25'999) == "settle for: Bag, any hue 25000: G2 \n");
  CHECK(told("age=11", 24'999) ==
        "settle for: Bag, any hue 25000: G2 \nsettle for: Bag, one step down in litres 24000: G3 \n");
  CHECK(told("", 25'999) == "settle for: Bag, one step down in litres 24000: G3 \n");
  CHECK(
      told("age=12", 23'999) ==
      "settle for: Bag, one step down in litres 24000: G3 \nsettle for: Boots, two steps down in tier 16000: B3 G3 \n");
  CHECK(told("age=12", 100) ==
        "settle for: Bag, one step down in litres 24000: G3 \nsettle for: Boots, two steps down in tier 16000: B3 G3 \n"
        "put off: Bag 12000: B3 \n");
}

}  // namespace
