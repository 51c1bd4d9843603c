// Quotes from small policies and stocks, written here: each of the faults a shelf can have gives its answer.
#include "tests/runtime/quote/small_quotes.hpp"
#include "tests/support/golden.hpp"

namespace {

using namespace lacestay;
using namespace lacestay::tests;

const std::string helmets = R"(
ask head 44 to 66 cm  may be left blank
ask skill grades new, improving
piece helmet always "Helmet"
  size grades small, medium, large
chart helmet_chart gives helmet size
  down head
    under 54 cm:  small
    under 58 cm:  medium
    the rest:     large
)";
const std::string helmet_head = "item,make,model,price,on hand,size,certified until,condition\n";

TEST_CASE("a label is good through its last day, and no longer") {
  const SmallShop shop(helmets + "accept helmet with size as advised, certified until today, condition new\n",
                       {{"helmet.csv", helmet_head + "H1,Fell,Cap,40,1,medium,2026-10-03,new\n" +
                                           "H2,Fell,Cap,40,1,small,2030-10-03,new\nH3,Fell,Cap,40,1,medium,,new\n"}});
  CHECK(brief(shop.quote("head=55 cm, skill=new")) == "helmet H1 4000\ntotal 4000 of 4000\n");
  CHECK(brief(shop.quote("head=55 cm, skill=new", {}, {}, the_day + 1)) ==
        "helmet: none in stock as advised\n"
        "  all but H1 Fell Cap: it was certified until 3 October 2026\n"
        "  all but H2 Fell Cap: its size is small\n"
        "  all but H3 Fell Cap: it carries no date it is certified until\n");
}

TEST_CASE("what protects is neither used nor out of date, whatever the policy accepts") {
  const auto accept = helmets + "accept helmet with size as advised\n";
  const Files files = {{"helmet.csv", helmet_head +
                                          "H1,,,20,1,medium,2030-01-01,used\nH2,,,30,1,medium,2026-10-02,new\n" +
                                          "H3,,,40,1,medium,,new\n"}};
  CHECK(brief(SmallShop(accept, files).quote("head=55 cm, skill=new")) ==
        "helmet H1 2000; next H2 +1000\ntotal 2000 of 2000\n");
  CHECK(brief(SmallShop(accept + "protection is helmet\n", files).quote("head=55 cm, skill=new")) ==
        "helmet H3 4000\ntotal 4000 of 4000\n");
  // A piece that a safety rule speaks of is protection without being named.
  const auto safe = accept + "rule no_small\n  floor helmet size at medium\n  for skill improving\n  safety\n";
  CHECK(brief(SmallShop(safe, files).quote("head=55 cm, skill=new")) == "helmet H3 4000\ntotal 4000 of 4000\n");
}

TEST_CASE("an item covers a range with both its ends, and no more") {
  const SmallShop shop(
      helmets + "accept helmet with covers head\n",
      {{"helmet.csv", "item,price,on hand,size,head (cm)\nH1,40,1,small,52-54\nH2,41,1,small,54.1 to 56\n"}});
  CHECK(brief(shop.quote("head=54 cm, skill=new")) == "helmet H1 4000\ntotal 4000 of 4000\n");
  CHECK(brief(shop.quote("head=54.1 cm, skill=new")) == "helmet H2 4100\ntotal 4100 of 4100\n");
  CHECK(brief(shop.quote("head=54.05 cm, skill=new")) ==
        "helmet: none in stock as advised\n  all but H1  : it covers head 52 to 54 cm\n"
        "  all but H2  : it covers head 54.1 to 56 cm\n");
  CHECK(brief(shop.quote("skill=new")) == "helmet: take head first\n");
}

TEST_CASE("blank details: a piece that turns on one is not quoted, the others are") {
  const SmallShop shop(helmets + R"(
piece socks always
  length 20 to 40 in step 1 in
rule usual_socks
  set socks length to 28 in
piece bib always
rule no_answer
  caution "none"
accept helmet with size as advised
accept socks with length as advised
)",
                       {{"helmet.csv", helmet_head + "H1,,,40,1,small,,new\n"},
                        {"socks.csv", "item,price,on hand,length (in)\nS1,12,3,28\n"}});
  CHECK(brief(shop.quote("skill=new")) ==
        "socks S1 1200\ntotal 1200 of 1200\nhelmet: take head first\nbib: the policy accepts no item for it\n");
  CHECK(brief(shop.quote("head=50 cm, skill=new", {}, {"bib", "socks"})) == "helmet H1 4000\ntotal 4000 of 4000\n");
}

// ---- fallbacks

const std::string boots = R"(
ask skill grades new, improving
piece boots always "Boots"
  tier  grades entry, club, performance
  size  140 to 340 mm step 5 mm
  width choice narrow, regular
rule usual_tier
  set boots tier to club
rule usual_size
  set boots size to 265 mm
rule usual_width
  set boots width to regular
)";
const std::string boots_head = "item,make,model,price,on hand,tier,size (mm),width\n";
const std::string accept_boots = "accept boots with tier as advised, size as advised, width as advised\n";

std::string boots_quote(const std::string& lines, const std::string& rows) {
  return brief(SmallShop(boots + accept_boots + lines, {{"boots.csv", boots_head + rows}}).quote("skill=new"));
}

TEST_CASE("fallbacks are tried in the policy's order, each from the advice again") {
  const std::string next = "  if none in stock, one step up in size\n";
  const std::string dearer = "  if none in stock, one step up in tier\n";
  const std::string any = "  if none in stock, any width\n";
  const std::string rows = "B1,,,90,1,club,270,regular\nB2,,,80,1,performance,265,regular\nB3,,,70,1,club,265,narrow\n";
  const std::string b1 = "  all but B1  : its size is 270 mm\n", b2 = "  all but B2  : its tier is performance\n",
                    b3 = "  all but B3  : its width is narrow\n", all_but = b1 + b2 + b3;
  CHECK(boots_quote(next + dearer + any, rows) ==
        "boots B1 9000 (if none in stock, one step up in size)\n" + b2 + b3 + "total 9000 of 9000\n");
  CHECK(boots_quote(dearer + next + any, rows) ==
        "boots B2 8000 (if none in stock, one step up in tier)\n" + b1 + b3 + "total 8000 of 8000\n");
  CHECK(boots_quote(any + next, rows) ==
        "boots B3 7000 (if none in stock, any width)\n" + b1 + b2 + "total 7000 of 7000\n");
  CHECK(boots_quote("  if none in stock, refer\n" + next, rows) ==
        "boots: none in stock as advised: ask the fitter\n" + all_but);
  CHECK(boots_quote("  if none in stock, one step down in size\n  if none in stock, order\n" + next, rows) ==
        "boots: none in stock as advised: order one in\n" + all_but);
  CHECK(boots_quote("", rows) == "boots: none in stock as advised\n" + all_but);
  // Two steps of one line are not one; and no line is added to another: both the next size and another width.
  CHECK(boots_quote("  if none in stock, two steps up in size\n", rows) ==
        "boots: none in stock as advised\n" + all_but);
  CHECK(boots_quote(next + any, "B4,,,90,1,club,270,narrow\n") == "boots: none in stock as advised\n");
  // What is there but sold out.
  CHECK(boots_quote(next, "B5,,,90,0,club,265,regular\nB1,,,90,1,club,270,regular\n") ==
        "boots B1 9000 (if none in stock, one step up in size)\n"
        "  all but B5  : none is on hand\ntotal 9000 of 9000\n");
}

TEST_CASE("a step never goes under a safety floor or over a safety cap, nor off the range") {
  const std::string rows = "B1,,,90,1,entry,265,regular\nB2,,,80,1,performance,265,regular\n";
  const std::string down = "  if none in stock, one step down in tier\n",
                    up = "  if none in stock, one step up in tier\n";
  const auto taken = [&](const std::string& rules, const std::string& lines) {
    const SmallShop shop(boots + rules + accept_boots + lines, {{"boots.csv", boots_head + rows}});
    const auto made = shop.quote("skill=new");
    return made.lines.empty() ? "" : made.lines.front().item.number;
  };
  const std::string floor = "rule at_least_club\n  floor boots tier at club\n";
  const std::string cap = "rule at_most_club\n  cap boots tier at club\n";
  CHECK(taken("", down) == "B1");
  CHECK(taken(floor, down) == "B1");  // a floor that is no matter of safety gives way to what is in stock
  CHECK(taken(floor + "  safety\n", down) == "");
  CHECK(taken(floor + "  safety\n", down + up) == "B2");
  CHECK(taken(cap + "  safety\n", up) == "");
  CHECK(taken(cap + "  safety\n", up + down) == "B1");
  // One that is silenced for this player forbids nothing.
  const std::string silenced = floor +
                               "  safety\nrule new_ones\n  floor boots tier at entry\n  for skill new\n"
                               "  outranks at_least_club\n  safety\n";
  CHECK(taken(silenced, down) == "B1");
  const SmallShop low(boots + "rule first_boot\n  set boots tier to entry\n  for skill new\n  outranks usual_tier\n" +
                          accept_boots + down,
                      {{"boots.csv", boots_head + rows}});
  CHECK(low.quote("skill=new").lines.front().item.number == "B1");
  CHECK(low.quote("skill=improving").lines.front().instead == "if none in stock, one step down in tier");
}

TEST_CASE("a property nothing answers is not guessed, and a piece left to the fitter is not quoted") {
  const auto pieces = [](const std::string& rule) {
    return "ask skill grades new, improving\npiece boots always\n  tier grades entry, club\n" + rule +
           "accept boots with tier as advised\n";
  };
  const Files files = {{"boots.csv", "item,price,on hand,tier\nB1,90,1,entry\nB2,95,1,club\n"}};
  const SmallShop gap(pieces("rule usual\n  set boots tier to club\n  for skill improving\n"), files);
  CHECK(brief(gap.quote("skill=new")) == "boots: the policy has no single answer for it\n");
  CHECK(brief(gap.quote("skill=improving")) == "boots B2 9500\ntotal 9500 of 9500\n");
  const SmallShop clash(
      pieces("rule usual\n  set boots tier to club\nrule fresh\n  set boots tier to entry\n  for skill new\n"), files);
  CHECK(brief(clash.quote("skill=new")) == "boots: the policy has no single answer for it\n");
  const SmallShop asked(
      pieces("rule usual\n  set boots tier to club\nrule fresh\n  refer boots tier\n  for skill new\n"), files);
  CHECK(brief(asked.quote("skill=new")) == "boots: the advice leaves it to the fitter\n");
}

// ---- sticks

// The advised length, and the band advised for what the shaft feels like.
SmallShop stick_shop(const std::string& length, const std::string& band, const std::string& rows,
                     const std::string& then = "") {
  return SmallShop(
      "ask hand choice left, right\npiece stick always \"Stick\"\n  length 32 to 64 in step ½ in\n"
      "  flex band 20 to 150 flex step 1 flex\n  curve choice left, right\n"
      "rule usual_length\n  set stick length to " +
          length + "\nrule usual_flex\n  set stick flex to " + band +
          "\nchart curve_chart gives stick curve\n  down hand\n    left:  left\n    right:  right\n"
          "accept stick with length at least advised, flex within advised once cut to length, curve as advised\n" +
          then,
      {{"stick.csv", "item,make,model,price,on hand,length (in),flex (flex),curve\n" + rows}});
}

TEST_CASE("the members past the 64th of a long choice are no item's") {
  std::string colours, rows = "item,price,on hand,colour\n";
  for (int i = 0; i < 70; ++i) colours += fmt::format("{}c{}", i == 0 ? "" : ", ", i);
  const auto shop = [&](const std::string& advised) {
    return SmallShop("piece scarf always\n  colour choice " + colours + "\nrule usual\n  set scarf colour to " +
                         advised + "\naccept scarf with colour as advised\n",
                     {{"scarf.csv", "item,price,on hand,colour\nF0,9,1,c0\nF5,9,1,c5\n"}});
  };
  CHECK(brief(shop("c5").quote()) == "scarf F5 900\ntotal 900 of 900\n");
  CHECK(brief(shop("c64").quote()).substr(0, 32) == "scarf: none in stock as advised\n");
}

TEST_CASE("the last stick in flex is for the other hand") {
  const auto shop =
      stick_shop("60 in", "70 to 85 flex",
                 "K1,Fell,Ash,30,1,60,75,right\nK2,Fell,Ash,30,1,60,65,left\nK3,Fell,Ash,30,1,58,75,left\n");
  CHECK(brief(shop.quote("hand=left")) ==
        "stick: none in stock as advised\n"
        "  all but K1 Fell Ash: its curve is right\n  all but K2 Fell Ash: its flex is 65 flex\n"
        "  all but K3 Fell Ash: its length is 58 in\n");
  CHECK(brief(shop.quote("hand=right")) == "stick K1 3000\ntotal 3000 of 3000\n");
}

// Three-point bending: F/delta = 48EI/L^3 (handbook mechanics). A shaft of 60 in cut to 58, 56 and 54 in is felt as
// (60/58)^3 = 1.10706, (60/56)^3 = 1.22996 and (60/54)^3 = 1.37174 times its stamp.
TEST_CASE("flex is held to the advised band as it is felt after the cut") {
  struct Cut {
    const char* length;
    double times;
  };
  for (const auto& cut : {Cut{"58 in", 1.10706}, Cut{"56 in", 1.22996}, Cut{"54 in", 1.37174}}) {
    INFO(cut.length);
    // Felt as 80 to 100: the stamps 80/times and 100/times are the edges.
    const auto low = 80 / cut.times, high = 100 / cut.times;
    const auto rows = fmt::format(
        "K1,,,30,1,60,{:.3f},left\nK2,,,31,1,60,{:.3f},left\nK3,,,32,1,60,{:.3f},left\nK4,,,33,1,60,{:.3f},left\n",
        low - 0.002, low + 0.002, high - 0.002, high + 0.002);
    const auto made = stick_shop(cut.length, "80 to 100 flex", rows).quote("hand=left");
    REQUIRE(made.lines.size() == 1);
    CHECK(made.lines[0].choices == 2);
    CHECK(made.lines[0].item.number == "K2");
    REQUIRE(made.lines[0].runner_up);
    CHECK(made.lines[0].runner_up->item.number == "K3");
  }
}

TEST_CASE("the edges of a felt band are exact, and both belong to it") {
  // (60/54)^3 is 1000/729: a stamp of 72.9 is felt as 100, one of 58.32 as 80.
  const auto rows =
      "K1,,,30,1,60,58.32,left\nK2,,,31,1,60,58.319999,left\nK3,,,32,1,60,72.9,left\nK4,,,33,1,60,72.900001,left\n";
  const auto made = stick_shop("54 in", "80 to 100 flex", rows).quote("hand=left");
  REQUIRE(made.lines.size() == 1);
  CHECK(made.lines[0].choices == 2);
  CHECK(made.lines[0].item.number == "K1");
  CHECK(made.lines[0].runner_up->item.number == "K3");
  // What it is told to feel like is the nearest whole flex: (60/40)^3 is 27/8, and 28 flex becomes 94.5.
  const std::pair<const char*, const char*> told[] = {
      {"28", "to be cut to 40 in; it will then feel like 95 flex"},
      {"27.999999", "to be cut to 40 in; it will then feel like 94 flex"},
      {"20", "to be cut to 40 in; it will then feel like 68 flex"}};
  for (const auto& [flex, cut] : told) {
    const auto shaft =
        stick_shop("40 in", "50 to 100 flex", fmt::format("K1,,,30,1,60,{},left\n", flex)).quote("hand=left");
    REQUIRE(shaft.lines.size() == 1);
    CHECK(shaft.lines[0].item.cut == cut);
  }
  // Shafts beyond belief fit nobody, and break nothing.
  CHECK(brief(stick_shop("54 in", "80 to 100 flex", "K1,,,30,1,900000,0.000001,left\nK2,,,30,1,60,9000000000,left\n")
                  .quote("hand=left"))
            .substr(0, 32) == "stick: none in stock as advised\n");
}

TEST_CASE("a spreadsheet from another country, with a comma in a model's name, quoted whole") {
  const std::string policy = R"(
ask skill grades new, improving
piece helmet always "Helmet"
  size grades small, medium
  sum  band 0 to 100 GBP step 5 GBP
piece boots always "Boots"
  tier grades entry, club
  sum  band 0 to 300 GBP step 5 GBP
piece bag optional "Bag"
rule usual_helmet
  set helmet size to medium
rule helmet_sum
  set helmet sum to 40 to 60 GBP
rule usual_boots
  set boots tier to entry
rule boots_sum
  set boots sum to 90 to 130 GBP
rule a_bag
  suggest bag
rule blows
  caution "A helmet that took a heavy blow is replaced."
protection is helmet
accept helmet with size as advised, certified until today, condition new
accept boots with tier as advised
  if none in stock, one step up in tier
accept bag with condition new
deal both "Helmet with boots"
  for 2 or more: helmet, boots
  10% off
  because "They are tried on together."
)";
  const SmallShop shop(policy, {{"helmet.csv",
                                 "\xEF\xBB\xBFitem;make;model;price;on hand;size;certified until;condition\r\n"
                                 "H1;Fell;\"Cap, deep\";44,50;1;medium;31 August 2027;new\r\n"
                                 "H2;Gill;Dome;39,95;1;medium;2026-10-02;new\r\n"
                                 "H3;Gill;Dome;49,95;-1;medium;2027-10-02;new\r\n"
                                 "H4;Gill;Dome;0;1;medium;2027-10-02;new\r\n"},
                                {"boots.csv",
                                 "item,make,model,price,on hand,tier\r\nB1,Fell,Dart,119.95,1,club\r\n"
                                 "B2,Fell,Dart,99.95,0,entry\r\n"},
                                {"bag.csv", plain_head + "G1,Gill,55,1,new\r\n"}});
  golden("quote/from_another_country.txt", runtime::text_of(shop.quote("skill=new", 15'000)));
  CHECK(shop.stock.files[2].set_aside == 2);
  CHECK(shop.stock.problems.size() == 2);
}

}  // namespace
