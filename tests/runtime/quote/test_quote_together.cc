// Pieces that go together: which are handed over with which, stage by stage, on every face, and what becomes of them
// where one is the customer's own, suggested, put off or not there.
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

const std::string pieces = R"(
ask age 4 to 60 years, whole  may be left blank
ask skill grades new, club  may be left blank
piece helmet always "Helmet"
  size choice small, large
piece cage optional "Cage"
  size choice small, large
piece strap optional "Strap"
rule heads
  set helmet size to small
rule cages
  set cage size to small
rule young
  need cage
  for age under 18
rule straps
  suggest strap
  for skill club
accept helmet with size as advised
  if none in stock, any size
accept cage with size as advised
  if none in stock, any size
  if none in stock, order
accept strap with price at most 90 GBP
cage goes with helmet
strap goes with helmet
)";
const std::string helmets = "item,make,model,price,on hand,size\n";
const std::string cages = "item,make,price,on hand,size,goes with\n";
const std::string straps = "item,price,on hand,goes with\nST-1,5,1,Lowmarch\nST-2,9,1,HE-1; HE-2; HE-3\n";

std::string told(const std::string& of_helmets, const std::string& of_cages,
                 const std::string& details = "age=9, skill=new", std::optional<std::int64_t> limit = std::nullopt,
                 const std::vector<std::string>& owns = {}) {
  return brief(
      SmallShop(pieces, {{"helmet.csv", helmets + of_helmets}, {"cage.csv", cages + of_cages}, {"strap.csv", straps}})
          .quote(details, limit, owns));
}

const std::string two_helmets = "HE-1,Fennimoor,Ash,40,1,small\nHE-2,Lowmarch,\"S/M, Elm\",60,1,small\n";

TEST_CASE("items go together by make, model or number, and the best kit is of those that do") {
  CHECK(told(two_helmets, "CA-1,Oxnop,30,1,small,Lowmarch\nCA-2,Oxnop,55,1,small,Fennimoor\n") ==
        "helmet HE-2 6000; next HE-1 +500\ncage CA-1 3000; next CA-2 +500\ntotal 9000 of 9000\n");
  CHECK(told(two_helmets, "CA-1,Oxnop,30,1,small,\"s/m, elm\"\n") ==
        "helmet HE-2 6000\ncage CA-1 3000\ntotal 9000 of 9000\n");
  CHECK(told(two_helmets, "CA-1,Oxnop,30,1,small,Ash / Birch\n") ==
        "helmet HE-1 4000\ncage CA-1 3000\ntotal 7000 of 7000\n");
  CHECK(told(two_helmets, "CA-1,Oxnop,30,1,small,he-2\n") == "helmet HE-2 6000\ncage CA-1 3000\ntotal 9000 of 9000\n");
  CHECK(told(two_helmets, "CA-1,Oxnop,30,1,small,Fennimoor; Lowmarch\n") ==
        "helmet HE-1 4000; next HE-2 +2000\ncage CA-1 3000\ntotal 7000 of 7000\n");
}

TEST_CASE("the limit is kept by those that go together") {
  const auto of_cages = "CA-1,Oxnop,30,1,small,Lowmarch\nCA-2,Oxnop,55,1,small,Fennimoor\n";
  CHECK(told(two_helmets, of_cages, "age=9, skill=new", 9'000) ==
        "helmet HE-2 6000\ncage CA-1 3000\ntotal 9000 of 9000\n");
}

TEST_CASE("stages go together: fewest pieces past their first line, then the policy's order") {
  // As advised nothing goes together; a cage past its line does, and a helmet past its own does too.
  CHECK(told("HE-1,Fennimoor,,40,1,small\nHE-2,Lowmarch,,20,1,large\n",
             "CA-1,Oxnop,30,1,small,Lowmarch\nCA-2,Oxnop,99,1,large,Fennimoor\n") ==
        "helmet HE-1 4000\ncage CA-2 9900 (if none in stock, any size)\n  all but CA-1 Oxnop : it goes with Lowmarch\n"
        "total 13900 of 13900\n");
  CHECK(
      told("HE-1,Fennimoor,,40,1,small\nHE-2,Lowmarch,,20,1,large\n", "CA-1,Oxnop,30,1,small,Lowmarch\n") ==
      "helmet HE-2 2000 (if none in stock, any size)\n"
      "  all but HE-1 Fennimoor : nothing that may be had with it goes with it\ncage CA-1 3000\ntotal 5000 of 5000\n");
}

TEST_CASE("one piece past its first line is fewer than two, also where it is the one that stands first") {
  std::string policy;
  for (const auto* piece : {"helmet", "cage", "strap"})
    policy += fmt::format(
        "piece {0} always\n  size choice small, large\nrule usual_{0}\n  set {0} size to small\n"
        "accept {0} with size as advised\n  if none in stock, any size\n",
        piece);
  policy += "cage goes with helmet\nstrap goes with helmet\n";
  const auto quote =
      SmallShop(policy, {{"helmet.csv", helmets + "HE-1,Fennimoor,,40,1,small\nHE-2,Lowmarch,,20,1,large\n"},
                         {"cage.csv", cages + "CA-1,Oxnop,30,1,small,Lowmarch\nCA-2,Oxnop,9,1,large,Fennimoor\n"},
                         {"strap.csv", cages + "ST-1,Oxnop,30,1,small,Lowmarch\nST-2,Oxnop,9,1,large,Fennimoor\n"}})
          .quote();
  REQUIRE(quote.lines.size() == 3);
  CHECK(quote.lines[0].item.number == "HE-2");
  CHECK(quote.lines[1].item.number == "CA-1");
  CHECK(quote.lines[2].item.number == "ST-1");
}

TEST_CASE("a piece that nothing goes with gives way, and its own lines say what then") {
  CHECK(
      told(two_helmets, "CA-1,Oxnop,30,1,small,Harrowgill\nCA-2,Oxnop,30,1,large,\nCA-3,Oxnop,30,0,small,Lowmarch\n") ==
      "helmet HE-1 4000; next HE-2 +2000\ntotal 4000 of 4000\n"
      "cage: none in stock as advised that goes with the helmet: order one in\n"
      "  all but CA-1 Oxnop : it goes with Harrowgill\n  all but CA-3 Oxnop : none is on hand\n");
  CHECK(told("HE-1,Fennimoor,,40,0,small\n", "CA-1,Oxnop,30,1,small,Fennimoor\n") ==
        "helmet: none in stock as advised\n  all but HE-1 Fennimoor : none is on hand\n"
        "cage: ask the fitter: it has to go with the helmet, and nothing of that is in this quote\n");
}

TEST_CASE("beside what the customer owns the fitter chooses, and where a partner is not certain nor is the piece") {
  const auto of_cages = "CA-1,Oxnop,30,1,small,Lowmarch\n";
  CHECK(told(two_helmets, of_cages, "age=9, skill=new", {}, {"helmet"}) ==
        "cage: ask the fitter: it has to go with the helmet, which the customer has\n");
  CHECK(told(two_helmets, of_cages, "age=9, skill=new", {}, {"cage"}) ==
        "helmet: ask the fitter: it has to go with the cage, which the customer has\n");
  // Who needs no cage has any helmet.
  CHECK(told(two_helmets, of_cages, "age=18, skill=new") == "helmet HE-1 4000; next HE-2 +2000\ntotal 4000 of 4000\n");
  CHECK(told(two_helmets, of_cages, "skill=new") ==
        "helmet HE-1 4000; next HE-2 +2000\ntotal 4000 of 4000\ncage: take age first\n");
}

TEST_CASE("what is suggested goes with what is on the bill") {
  CHECK(told(two_helmets, "CA-1,Oxnop,30,1,small,Lowmarch\n", "age=9, skill=club") ==
        "helmet HE-2 6000\ncage CA-1 3000\ntotal 9000 of 9000\nsuggested strap ST-1 500\n");
  CHECK(told(two_helmets, "CA-1,Oxnop,30,1,small,Fennimoor\n", "age=9, skill=club") ==
        "helmet HE-1 4000\ncage CA-1 3000\ntotal 7000 of 7000\nsuggested strap ST-2 900\n");
  CHECK(told(two_helmets, "CA-1,Oxnop,30,1,small,Fennimoor\n", "age=9, skill=club", {}, {"helmet"}).find("strap") ==
        std::string::npos);
}

TEST_CASE("what goes with a piece that is put off is the fitter's, and off the bill") {
  const auto policy = pieces + "over the limit\n  put off helmet\n  put off cage\n";
  const SmallShop shop(policy, {{"helmet.csv", helmets + two_helmets},
                                {"cage.csv", cages + "CA-1,Oxnop,30,1,small,Lowmarch\n"},
                                {"strap.csv", straps}});
  const auto quote = shop.quote("age=9, skill=new", 8'000);
  CHECK(brief(quote) == "helmet HE-2 6000\ncage CA-1 3000\ntotal 9000 of 9000\nover by 1000\nput off: Helmet: 0\n");
  REQUIRE(quote.over.size() == 1);
  CHECK(quote.over.front().left_to_fitter == std::vector<std::string>{"Cage"});
  CHECK(text_of(quote).find("then for the fitter, and not in this sum: Cage") != std::string::npos);
  CHECK(page_of(quote).find("then for the fitter, and not in this sum: Cage") != std::string::npos);
  CHECK(json_of(quote)["limit"]["steps"][0]["left_to_fitter"] == nlohmann::json{"Cage"});
}

TEST_CASE("what an item goes with stands beside it on every face") {
  const SmallShop shop(pieces, {{"helmet.csv", helmets + two_helmets},
                                {"cage.csv", cages + "CA-1,Oxnop,30,1,small,Lowmarch\n"},
                                {"strap.csv", straps}});
  const auto quote = shop.quote("age=9, skill=club");
  golden("quote/together.txt", text_of(quote));
  const auto json = json_of(quote);
  CHECK(json["lines"][1]["goes_with"].dump() == R"([{"piece":"helmet","label":"Helmet","number":"HE-2"}])");
  CHECK_FALSE(json["lines"][0].contains("goes_with"));
  CHECK(json["suggested"][0]["goes_with"][0]["number"] == "HE-2");
  CHECK(schema_faults(nlohmann::json::parse(bytes_of(in_checkout("runtime/quote/quote.schema.json"))),
                      nlohmann::json::parse(json.dump()))
            .empty());
  CHECK(page_of(quote).find("<br>Goes with: Helmet HE-2") != std::string::npos);
}

TEST_CASE("where the search ends before it has a kit, the cheapest that go together stand there") {
  const SmallShop shop(pieces,
                       {{"helmet.csv", helmets + two_helmets},
                        {"cage.csv", cages + "CA-1,Oxnop,30,1,small,Lowmarch\nCA-2,Oxnop,55,1,small,Fennimoor\n"},
                        {"strap.csv", straps}});
  const auto quote = shop.quote("age=9, skill=new", std::nullopt, {}, the_day, 0);
  REQUIRE(quote.lines.size() == 2);
  CHECK(quote.lines[0].item.number == "HE-2");
  CHECK(quote.lines[1].item.number == "CA-1");
  CHECK(quote.status == runtime::KitStatus::best_so_far);
}

TEST_CASE("a column goes with is wanted where the policy links the piece, and else the shop's own") {
  const auto engine = small_shop(pieces);
  const auto read = stock_of(engine->policy(), {{"cage.csv", "item,price,on hand,size\nCA-1,30,1,small\n"}});
  CHECK(render(read.problems.sorted()) ==
        "stock-3: The column 'goes with' is missing.\n"
        "  cage.csv, line 1, character 1\n"
        "      item,price,on hand,size\n"
        "      ^^^^^^^^^^^^^^^^^^^^^^^\n"
        "  Try: add it to the heading, and fill it in for every item.\n");
}

}  // namespace
