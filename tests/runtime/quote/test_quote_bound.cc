// What safety rules and packs say binds the item that is handed over, and make sure lines are proved of it: a small
// policy and stock for each way in which an item once got past them.
#include "compiler/proof/proof.hpp"
#include "runtime/advice/words.hpp"
#include "runtime/chart/findings.hpp"
#include "tests/runtime/quote/small_quotes.hpp"

namespace {

using namespace lacestay;
using namespace lacestay::tests;

const std::string boots = R"(
ask n 1 to 10, whole
ask head 44 to 66 cm  may be left blank
piece boots always "Boots"
  tier  grades entry, middle, top
  width grades slim, middling, wide
rule usual_tier
  set boots tier to middle
)";
const std::string usual_width = "rule usual_width\n  set boots width to wide\n";
const std::string boots_head = "item,make,model,price,on hand,tier,width,condition\n";
// One of each grade, and of each width.
const Files shelf = {{"boots.csv", boots_head + "E,Fell,A,10,1,entry,wide,new\nM,Fell,B,20,1,middle,wide,new\n"
                                                "T,Fell,C,30,1,top,wide,new\nS,Fell,D,15,1,middle,slim,new\n"}};

// The codes of what refuses the policy, with the step an item may have where it is one; and of remarks.
std::string found(const std::string& items) {
  const auto engine = small_shop(items);
  const auto& policy = engine->policy();
  const auto proof = compiler::prove(policy);
  const auto told = runtime::told(*engine, proof);
  std::string out;
  for (std::size_t i = 0; i < told.size(); ++i) {
    const auto& item = proof.findings[i].item;
    if (!proof.findings[i].refuses() && told[i].code != "remark-2") continue;
    out += told[i].code;
    if (item) {
      const auto& property = policy.properties[policy.tables.tables[proof.findings[i].table].target];
      out += fmt::format(" at stage {}: {}", item->stage, property.write(item->step, item->step));
    }
    out += "\n";
  }
  return out;
}

TEST_CASE("an item that breaks a claim is told with the player, the line and what it is") {
  const auto engine = small_shop(boots + usual_width +
                                 "accept boots with tier as advised\n  if none in stock, one step up in tier\n"
                                 "make sure boots tier is at most middle for n at least 5\n");
  const auto told = runtime::told(*engine, compiler::prove(engine->policy()));
  REQUIRE(!told.empty());
  CHECK(
      told.front().message ==
      "This holds for every player's advice, but not for every item that may be handed over for it. For instance: n 8: "
      "middle; an item whose tier is top may be handed over.");
  CHECK(told.front().notes.front().span.text() == "if none in stock, one step up in tier");
  CHECK(told.front().hint ==
        "if the line is right, hold items to it, by a safety rule or where they are accepted; if such an item will do, "
        "say it of the advice alone: make sure the advice of boots tier …");
}

TEST_CASE("a safety cap holds the item where more than is advised is accepted") {
  const auto policy = [](const char* safety) {
    return boots + usual_width + "rule not_over\n  cap boots tier at middle\n" + safety +
           "accept boots with tier at least advised\nmake sure boots tier is at most middle\n";
  };
  CHECK(found(policy("  safety\n")) == "");
  CHECK(found(policy("")) == "proof-8 at stage 0: top\nremark-2\n");
  const SmallShop safe(policy("  safety\n"), shelf),
      unsafe(policy(""), {{"boots.csv", boots_head + "T,Fell,C,30,1,top,wide,new\n"}});
  CHECK(brief(safe.quote("n=1")) == "boots S 1500; next M +500\ntotal 1500 of 1500\n");
  CHECK(brief(unsafe.quote("n=1")) == "boots T 3000\ntotal 3000 of 3000\n");
}

TEST_CASE("a safety floor that changes no answer is no row to take out, and no stage goes under it") {
  const auto policy = [](const char* safety) {
    return boots + usual_width + "rule foot\n  floor boots width at middling\n" + safety +
           "accept boots with tier as advised, width as advised\n  if none in stock, two steps down in width\n"
           "make sure boots width is at least middling\n";
  };
  const Files slim = {{"boots.csv", boots_head + "S,Fell,D,15,1,middle,slim,new\n"}};
  CHECK(found(policy("  safety\n")) == "");
  CHECK(found(policy("")) == "proof-8 at stage 1: slim\nremark-2\n");
  CHECK(brief(SmallShop(policy("  safety\n"), slim).quote("n=1")) ==
        "boots: none in stock as advised\n  all but S Fell D: its width is slim\n");
}

TEST_CASE("a piece that a safety rule of any kind speaks of is protection") {
  const Files used = {{"boots.csv", boots_head + "M,Fell,B,20,1,middle,wide,used\n"}};
  const std::string accept = "accept boots with tier as advised\n";
  for (const std::string rule :
       {"rule width\n  set boots width to wide\n  safety\n",
        "rule width\n  refer boots width\n  for n over 5\n  safety\n", "rule more\n  suggest boots\n  safety\n",
        "chart width gives boots width\n  down n\n    under 6:  wide\n    the rest:  wide\n  safety\n"}) {
    INFO(rule);
    const bool answers = rule.find("set boots width") != rule.npos || rule.find("chart") != rule.npos;
    const SmallShop shop(boots + (answers ? "" : usual_width) + rule + accept, used);
    CHECK(brief(shop.quote("n=1")) ==
          "boots: none in stock as advised\n"
          "  all but M Fell B: it is used, and what protects a player is only sold new\n");
  }
}

TEST_CASE("a piece of which anything is left to the fitter is the fitter's, named or not") {
  const SmallShop shop(boots + usual_width +
                           "rule large_head\n  refer boots width\n  for head over 60 cm\n  safety\n"
                           "accept boots with tier at least advised\n",
                       shelf);
  CHECK(brief(shop.quote("n=1, head=61 cm")) == "boots: the advice leaves it to the fitter\n");
  CHECK(brief(shop.quote("n=1, head=59 cm")) == "boots S 1500; next M +500\ntotal 1500 of 1500\n");
  CHECK(brief(shop.quote("n=1")) == "boots: take head first\n");
}

TEST_CASE("what is the fitter's whatever a blank turns out to be is his at once: no detail need be taken for it") {
  const SmallShop shop(
      boots +
          "chart width_chart gives boots width\n  down head\n    under 60 cm: slim\n    the rest: wide\n"
          "rule by_hand\n  refer boots tier\n  for n at least 5\n"
          "rule large_head\n  floor boots tier at top\n  for head over 60 cm\n  safety\n"
          "accept boots with tier at least advised, width as advised\n",
      shelf);
  CHECK(brief(shop.quote("n=5")) == "boots: the advice leaves it to the fitter\n");
  CHECK(brief(shop.quote("n=1")) == "boots: take head first\n");
}

TEST_CASE("a safety rule's own answer is kept to, named or not") {
  const SmallShop shop(boots + "rule wide\n  set boots width to wide\n  safety\naccept boots with tier as advised\n",
                       shelf);
  CHECK(brief(shop.quote("n=1")) == "boots M 2000\ntotal 2000 of 2000\n");
}

TEST_CASE("an item is of one grade, and within what is declared") {
  const SmallShop shop(boots + usual_width + "accept boots with tier at least advised\n",
                       {{"boots.csv", boots_head + "E,Fell,A,10,1,\"entry, top\",wide,new\n"}});
  CHECK(brief(shop.quote("n=1")) == "boots: none in stock as advised\n");
  const std::string told = shop.stock.problems.empty() ? "" : shop.stock.problems.sorted().front().message;
  CHECK(told == "'entry, top' is more than one tier, and an item is of one.");
}

TEST_CASE("with blanks the bounds of all who are possible hold together") {
  const auto policy = boots + usual_width +
                      "rule large_head\n  floor boots width at middling\n  for head over 60 cm\n"
                      "  safety\naccept boots with tier as advised\n";
  CHECK(brief(SmallShop(policy, shelf).quote("n=1")) == "boots M 2000\ntotal 2000 of 2000\n");
  const Files slim = {{"boots.csv", boots_head + "S,Fell,D,15,1,middle,slim,new\n"}};
  CHECK(brief(SmallShop(policy, slim).quote("n=1")) == "boots: take head first\n");
  CHECK(brief(SmallShop(policy, slim).quote("n=1, head=59 cm")) == "boots S 1500\ntotal 1500 of 1500\n");
}

TEST_CASE("a rule that needs a piece that is there for some brings it in for others") {
  const std::string policy =
      "\nask n 1 to 10, whole\npiece bib for n at least 2\nrule always\n  need bib\n  safety\n"
      "accept bib with condition new\n";
  const SmallShop shop(policy, {{"bib.csv", "item,make,model,price,on hand,condition\nB,Fell,A,10,1,new\n"}});
  CHECK(brief(shop.quote("n=1")) == "bib B 1000\ntotal 1000 of 1000\n");
  CHECK(found(policy + "make sure bib is needed\n") == "");
}

TEST_CASE("what safety says stands beside a refer, and is no remark's to take out") {
  const auto policy = boots + usual_width + "rule ask_us\n  refer boots tier\n  for n over 5\n";
  const auto answer = [&](const std::string& rules) {
    const auto engine = small_shop(policy + rules);
    const auto player = player_of(engine->policy(), "n=8, head=50 cm");
    const auto advice = runtime::advise(*engine, player, the_day);
    return runtime::possible_in_words(engine->policy(), advice.pieces.front().properties.front().answer).front();
  };
  CHECK(answer("") == "ask the fitter");
  CHECK(answer("rule low\n  cap boots tier at middle\n  safety\n") == "ask the fitter; at most middle");
  CHECK(answer("rule low\n  floor boots tier at middle\n  safety\n") == "ask the fitter; at least middle");
  CHECK(answer("rule low\n  cap boots tier at middle\nrule high\n  floor boots tier at middle\n  safety\n") ==
        "ask the fitter; at least middle");
  CHECK(answer("rule low\n  floor boots tier at entry\n  safety\nrule high\n  cap boots tier at middle\n  safety\n") ==
        "ask the fitter; from entry to middle");
}

TEST_CASE("make sure of a choice is of the items too") {
  const std::string policy = R"(
ask n 1 to 10, whole
piece stick always
  toe choice round, square, open
rule usual
  set stick toe to round
)";
  const std::string claim = "make sure stick toe is round or open\n";
  CHECK(found(policy + "accept stick with toe as advised\n" + claim) == "");
  CHECK(found(policy + "accept stick with toe as advised\n  if none in stock, any toe\n" + claim) ==
        "proof-8 at stage 1: square\n");
  CHECK(found(policy + "accept stick with toe as advised\n  if none in stock, any toe\n"
                       "make sure the advice of stick toe is round or open\n") == "");
  CHECK(found(policy + claim) == "");  // nothing is handed over
  CHECK(found(policy + "make sure stick toe is square or open\n") == "proof-6\n");
}

TEST_CASE("of a cell of several values the one that does is what the item is set to") {
  const SmallShop shop(
      "\nask n 1 to 10, whole\npiece stick always\n  toe choice round, square, open\nrule usual\n"
      "  set stick toe to square\naccept stick with toe as advised\n",
      {{"stick.csv", "item,make,model,price,on hand,toe\nB,Fell,A,10,1,\"round, square\"\n"}});
  CHECK(shop.quote("n=1").lines.front().item.what == "toe round, square, set to square");
}

TEST_CASE("of a choice that is left open an item is one of what is left, whether the line names it or not") {
  const auto handed = [](const std::string& rules, const std::string& toe) {
    const SmallShop shop(
        "\nask n 1 to 10, whole\npiece stick always\n  toe choice round, square, open\nrule usual\n"
        "  set stick toe to " +
            rules,
        {{"stick.csv", "item,make,model,price,on hand,condition,toe\nB,Fell,A,10,1,new,\"" + toe + "\"\n"}});
    const auto quote = shop.quote("n=1");
    return quote.lines.empty() ? std::string("none") : quote.lines.front().item.what;
  };
  const std::string named = "round or open\naccept stick with toe as advised\n";
  CHECK(handed(named, "open") == "toe open");
  CHECK(handed(named, "square") == "none");
  CHECK(handed(named, "round, square") == "toe round, square, set to round");
  CHECK(handed(named, "square, open") == "toe square, open, set to open");
  const std::string unnamed = "round or open\n  safety\naccept stick with condition new\n";
  CHECK(handed(unnamed, "open") == "toe open");
  CHECK(handed(unnamed, "square") == "none");
  CHECK(handed("any of them\nrule not_open\n  keep stick toe within round or square\n  safety\n"
               "accept stick with condition new\n",
               "square, open") == "toe square, open, set to square");
}

TEST_CASE("what is made sure of a choice is made sure of each member that is left") {
  const std::string policy =
      "\nask n 1 to 10, whole\npiece stick always\n  toe choice round, square, open\nrule usual\n"
      "  set stick toe to any of them\nrule big\n  keep stick toe within round or open\n  for n at least 5\n";
  const std::string accept = "accept stick with toe as advised\n";
  CHECK(found(policy + accept + "make sure stick toe is round or open for n at least 5\n") == "");
  CHECK(found(policy + accept + "make sure stick toe is round or square\n") == "proof-6\n");
  CHECK(found(policy + "accept stick with condition new\nmake sure stick toe is round or open for n at least 5\n") ==
        "proof-8 at stage 0: square\n");
}

}  // namespace
