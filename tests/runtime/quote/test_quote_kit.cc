// Quotes of several pieces from small policies and stocks: limits, deals, and how sums are rounded.
#include "runtime/quote/html.hpp"
#include "runtime/quote/json.hpp"
#include "runtime/quote/text.hpp"
#include "tests/runtime/quote/small_quotes.hpp"

namespace {

using namespace lacestay;
using namespace lacestay::tests;

// ---- limits

const std::string kit = R"(
piece helmet always "Helmet"
piece boots always "Boots"
  tier grades entry, club, performance
piece stick always "Stick"
piece bag optional "Bag"
rule usual
  set boots tier to entry
rule a_bag
  suggest bag
protection is helmet
accept helmet with condition new
accept boots with tier at least advised
accept bag with condition new
accept stick with condition new
)";
const std::string tier_head = "item,make,price,on hand,tier\n";
const Files kit_stock = {{"helmet.csv", plain_head + "H1,Fell,40,1,new\nH2,Gill,45,1,new\n"},
                         {"boots.csv", tier_head + "B1,Fell,100,1,entry\nB2,Gill,130,1,club\n"},
                         {"stick.csv", plain_head + "K1,Gill,20,1,new\n"},
                         {"bag.csv", plain_head + "G1,Gill,55,1,new\nG2,Gill,50,1,new\n"}};

TEST_CASE("the limit is just enough, and one penny short") {
  const SmallShop shop(kit + "worth boots tier 35 GBP a step\n", kit_stock);
  const auto best = shop.quote("", 19'000);
  CHECK(brief(best) ==
        "helmet H1 4000; next H2 -2500\nboots B2 13000; next B1 -3000\nstick K1 2000\ntotal 19000 of 19000\nsuggested "
        "bag G2 5000\n");
  CHECK(best.complete());
  CHECK(best.worth == 3'500);
  CHECK(brief(shop.quote("", 18'999)) ==
        "helmet H1 4000; next H2 +500\nboots B1 10000\nstick K1 2000\ntotal 16000 of 16000\nsuggested bag G2 5000\n");
  CHECK(brief(shop.quote()) ==
        "helmet H1 4000; next H2 +500\nboots B2 13000; next B1 -3000\nstick K1 2000\ntotal 19000 of 19000\n"
        "suggested bag G2 5000\n");
}

TEST_CASE("over the limit: the cheapest kit, what is short, and the plan in its order, without what protects") {
  const auto plan = "over the limit\n  put off bag\n  hire boots for 45 GBP\n  borrow stick\n";
  const SmallShop shop(kit + "worth boots tier 35 GBP a step\n" + plan, kit_stock);
  const auto cheapest =
      std::string("helmet H1 4000; next H2 +500\nboots B1 10000; next B2 +3000\nstick K1 2000\ntotal 16000 of 16000\n");
  const std::string bag = "suggested bag G2 5000\n";
  CHECK(brief(shop.quote("", 15'999)) == cheapest + "over by 1\nhire: Boots for 45 GBP: 10500\n" + bag);
  CHECK(brief(shop.quote("", 10'500)) == cheapest + "over by 5500\nhire: Boots for 45 GBP: 10500\n" + bag);
  CHECK(brief(shop.quote("", 10'499)) ==
        cheapest + "over by 5501\nhire: Boots for 45 GBP: 10500\nborrow: Stick: 8500\n" + bag);
  const auto short_of_all = shop.quote("", 100);
  CHECK(brief(short_of_all) == cheapest + "over by 15900\nhire: Boots for 45 GBP: 10500\nborrow: Stick: 8500\n" + bag);
  CHECK(!short_of_all.complete());
  CHECK(runtime::text_of(short_of_all)
            .find("84 GBP is still missing. What protects a player is not bought used, hired or put off.") !=
        std::string::npos);
  CHECK(brief(SmallShop(kit, kit_stock).quote("", 0)) ==
        "helmet H1 4000; next H2 +500\nboots B1 10000; next B2 +3000\nstick K1 2000\ntotal 16000 of 16000\nover by "
        "16000\n" +
            bag);
}

TEST_CASE("a step of the plan that costs no less than the piece is passed over") {
  const auto with = [&](const std::string& hire) {
    return brief(
        SmallShop(kit + "over the limit\n  hire boots for " + hire + " GBP\n  borrow stick\n", kit_stock).quote("", 1));
  };
  const std::string cheapest =
      "helmet H1 4000; next H2 +500\nboots B1 10000; next B2 +3000\nstick K1 2000\ntotal 16000 of 16000\n"
      "over by 15999\n";
  CHECK(with("99.99") == cheapest + "hire: Boots for 99.99 GBP: 15999\nborrow: Stick: 13999\nsuggested bag G2 5000\n");
  CHECK(with("100") == cheapest + "borrow: Stick: 14000\nsuggested bag G2 5000\n");
}

TEST_CASE("a search that ends early never says that no kit is within the limit where it found one") {
  const SmallShop shop(
      kit + "worth boots tier 500 GBP a step\ndeal two \"Two\"\n  for 2 or more pieces of one make\n  10% off\n",
      kit_stock);
  const auto proven = shop.quote("", 18'000);
  for (std::uint64_t budget = 0; budget < 400; ++budget) {
    const auto made = shop.quote("", 18'000, {}, the_day, budget);
    INFO(budget << "\n" << brief(made));
    REQUIRE(made.lines.size() == 3);
    if (!made.over_limit) {
      REQUIRE(made.total <= 18'000);
      REQUIRE(made.total - made.worth - made.may_be_better_by <= proven.total - proven.worth);
    } else {
      REQUIRE(made.status == runtime::KitStatus::best_so_far);
      REQUIRE(runtime::text_of(made).find("No such kit was found within 180 GBP.") != std::string::npos);
    }
  }
}

// ---- deals

TEST_CASE("two deals that may not add give the one that saves more, two that may give both") {
  const std::string deals = R"(
deal one_make "One make"
  for 2 or more pieces of one make
  10% off
deal bundle "Boots with stick"
  for boots with stick
  105 GBP together
)";
  const Files files = {{"helmet.csv", plain_head + "H1,Fell,40,1,new\n"},
                       {"boots.csv", tier_head + "B1,Fell,100,1,entry\n"},
                       {"stick.csv", plain_head + "K1,Fell,20,1,new\n"}};
  CHECK(brief(SmallShop(kit + deals, files).quote()) ==
        "helmet H1 4000 off 400\nboots B1 10000 off 1000\nstick K1 2000 off 200\nOne make Fell off 1600\n"
        "total 14400 of 16000\n");
  CHECK(brief(SmallShop(kit + deals + "  adds to one_make\n", files).quote()) ==
        "helmet H1 4000 off 400\nboots B1 10000 off 1000\nstick K1 2000 off 200\n"
        "One make Fell off 1600\nBoots with stick off 1500\ntotal 12900 of 16000\n");
}

TEST_CASE("a deal for one make, by its name however it is written; and one with a piece that is not in the kit") {
  const Files files = {{"helmet.csv", plain_head + "H1,Fell,40,1,new\nH2,\"O'Gill, Sons\",41,1,new\n"},
                       {"boots.csv", tier_head + "B1,Fell,100,1,entry\n"},
                       {"stick.csv", plain_head + "K1,,20,1,new\n"}};
  CHECK(
      brief(SmallShop(kit + "deal gill \"Gill week\"\n  for 1 or more pieces of \"O'GILL, sons\"\n  5 GBP off\n", files)
                .quote()) ==
      "helmet H2 4100; next H1 +400\nboots B1 10000\nstick K1 2000\nGill week off 500\ntotal 15600 of 16100\n");
  CHECK(brief(SmallShop(kit + "deal with_bag \"With a bag\"\n  for boots with bag\n  20 GBP off\n", files).quote()) ==
        "helmet H1 4000; next H2 +100\nboots B1 10000\nstick K1 2000\ntotal 16000 of 16000\n");
}

TEST_CASE("a gift is off its own line alone, where both tags are as the deal says") {
  const auto gift = kit +
                    "deal gift \"A stick with good boots\"\n  for boots over 100 GBP with stick at most 20 GBP\n"
                    "  100% off stick\n";
  const auto with = [&](const char* boots, const char* stick) {
    return brief(SmallShop(gift, {{"helmet.csv", plain_head + "H1,Fell,40,1,new\n"},
                                  {"boots.csv", tier_head + fmt::format("B1,Fell,{},1,entry\n", boots)},
                                  {"stick.csv", plain_head + fmt::format("K1,Fell,{},1,new\n", stick)}})
                     .quote());
  };
  CHECK(with("100.01", "20") ==
        "helmet H1 4000\nboots B1 10001\nstick K1 2000 off 2000\nA stick with good boots off 2000\n"
        "total 14001 of 16001\n");
  CHECK(with("100", "20") == "helmet H1 4000\nboots B1 10000\nstick K1 2000\ntotal 16000 of 16000\n");
  CHECK(with("100.01", "20.01") == "helmet H1 4000\nboots B1 10001\nstick K1 2001\ntotal 16002 of 16002\n");
}

TEST_CASE(
    "the whole kit of one make: what is owned or left to the fitter is not of it, and one piece alone is no kit") {
  const auto deal = kit + "deal kit \"The whole kit\"\n  for the whole kit of one make\n  10% off\n";
  const Files files = {{"helmet.csv", plain_head + "H1,Fell,40,1,new\nH2,Gill,41,1,new\n"},
                       {"boots.csv", tier_head + "B1,Fell,100,1,entry\n"},
                       {"stick.csv", plain_head + "K1,Gill,20,1,new\n"}};
  CHECK(brief(SmallShop(deal, files).quote()) ==
        "helmet H1 4000; next H2 +100\nboots B1 10000\nstick K1 2000\ntotal 16000 of 16000\n");
  CHECK(brief(SmallShop(deal, files).quote("", std::nullopt, {"stick"})) ==
        "helmet H1 4000 off 400; next H2 +1500\nboots B1 10000 off 1000\nThe whole kit Fell off 1400\n"
        "total 12600 of 14000\n");
  CHECK(brief(SmallShop(deal, files).quote("", std::nullopt, {"boots"})) ==
        "helmet H2 4100 off 410; next H1 +510\nstick K1 2000 off 200\nThe whole kit Gill off 610\n"
        "total 5490 of 6100\n");
  CHECK(brief(SmallShop(deal, files).quote("", std::nullopt, {"boots", "stick"})) ==
        "helmet H1 4000; next H2 +100\ntotal 4000 of 4000\n");
}

TEST_CASE("percentages are rounded once: on each line, or on the bill") {
  // 5% of 0.50, three times: 2.5 p a line, which is 3 p in the customer's favour; 7.5 p on the bill, which is 8 p.
  const Files files = {{"helmet.csv", plain_head + "H1,Fell,0.50,1,new\n"},
                       {"boots.csv", tier_head + "B1,Fell,0.50,1,entry\n"},
                       {"stick.csv", plain_head + "K1,Fell,0.50,1,new\n"}};
  const auto deal = kit + "deal all \"All three\"\n  for 3 or more pieces of one make\n  5% off\n";
  CHECK(SmallShop(deal + "round percentages on each line\n", files).quote().total == 141);
  CHECK(SmallShop(deal, files).quote().total == 141);
  CHECK(SmallShop(deal + "round percentages on the bill\n", files).quote().total == 142);
}

TEST_CASE("of items that come to the same, the one whose number is first") {
  const Files files = {{"helmet.csv", plain_head + "H9,Fell,40,1,new\nH10,Fell,40,1,new\nH1,Fell,40,0,new\n"},
                       {"boots.csv", tier_head + "B2,Fell,100,1,entry\nB1,Fell,100,1,entry\n"},
                       {"stick.csv", plain_head + "K1,Fell,20,1,new\n"}};
  CHECK(brief(SmallShop(kit, files).quote()) ==
        "helmet H10 4000; next H9 +0\nboots B1 10000; next B2 +0\nstick K1 2000\ntotal 16000 of 16000\n");
}

TEST_CASE("sums past what can be reckoned are told, not quoted") {
  std::string deals;
  for (int i = 0; i < 33; ++i) deals += fmt::format("deal d{} \"D\"\n  for 1 or more: helmet\n  1 GBP off\n", i);
  const auto told = brief(SmallShop(kit + deals, kit_stock).quote("", 100));
  CHECK(told ==
        "helmet: no kit can be reckoned: too many deals\nboots: no kit can be reckoned: too many deals\n"
        "stick: no kit can be reckoned: too many deals\nsuggested bag G2 5000\n");
  // A limit past any kit's price is none.
  CHECK(SmallShop(kit, kit_stock).quote("", std::int64_t{1} << 60).total == 16'000);
}

// Whoever is not told of may be anybody: what protects is counted in, and said to be open.
TEST_CASE("a piece that is needed or only suggested, as a blank decides, is counted in and marked open") {
  const SmallShop shop(
      "ask contact choice none, full may be left blank\npiece guard optional\nrule in_contact\n  need guard\n  for "
      "contact full\nrule anyhow\n  suggest guard\naccept guard with condition new\n",
      {{"guard.csv", "item,price,on hand,condition\nG1,24.50,1,new\n"}});
  const auto open = shop.quote("");
  CHECK(brief(open) == "guard G1 2450\ntotal 2450 of 2450\n");
  CHECK(open.lines[0].open == std::vector<std::string>{"contact"});
  CHECK(runtime::text_of(open).find("\n    open: contact not named; counted in until it is\n") != std::string::npos);
  CHECK(runtime::json_of(open)["lines"][0]["open"] == nlohmann::json{"contact"});
  CHECK(runtime::page_of(open).find("<strong>Open: contact not named; counted in until it is</strong>") !=
        std::string::npos);
  for (const char* told : {"contact=full", "contact=none"}) {
    const auto certain = shop.quote(told);
    CHECK(runtime::text_of(certain).find("open:") == std::string::npos);
    CHECK(runtime::json_of(certain).dump().find("\"open\"") == std::string::npos);
  }
}

}  // namespace
