// The page grammar/how_do_i_say.md: every sentence proved and run on its players, who stand at its edges.
#include <array>
#include <catch2/catch.hpp>

#include "tests/grammar/read/sayings.hpp"
#include "tests/support/folder.hpp"
#include "tests/support/places.hpp"

namespace {

using namespace lacestay;
using Faults = std::vector<std::string>;

std::vector<tests::Saying> page() {
  return tests::sayings_of(tests::bytes_of(tests::in_checkout("grammar/how_do_i_say.md")));
}

TEST_CASE("each sentence of the page is proved, and players leave with what stands beside it") {
  const auto sayings = page();
  CHECK(sayings.size() >= 40);
  for (std::size_t i = 0; i < sayings.size(); ++i) {
    INFO(sayings[i].sentence);
    CHECK(sayings[i].sentence.rfind(std::to_string(i + 1) + ". ", 0) == 0);
    CHECK(sayings[i].outcome.size() >= 2);
    CHECK(tests::faults_of(sayings[i]) == Faults{});
  }
}

TEST_CASE("no edge, member or answer of a sentence moves without one of its players noticing") {
  for (const auto& saying : page()) {
    INFO(saying.sentence);
    CHECK(tests::unnoticed_slips(saying) == Faults{});
  }
}

const std::string small_page = R"(# A page
```fitting
policy "Small shop"
edition 1, in force from 1 September 2026
money GBP
ask age 4 to 90 years, whole
```
### 1. Under eighteen a neck guard is worn.
```fitting
piece helmet always "Helmet"
piece neck_guard optional
rule young_neck
  need neck_guard
  for age under 18
accept helmet with condition new
```
```stock
piece,item,make,price,on hand,condition
helmet,HE-1,Fennimoor,50,1,new
```
```outcome
age 17: neck_guard needed; helmet
age 18: no neck_guard; item "HE-1"; says "Total 50 GBP"; does not say "off"
anybody, owns helmet: no item "HE-1"
```
```fitting refused: proof-5
rule too_warm
  omit neck_guard
```
)";

// The page with one text in it changed.
std::vector<tests::Saying> changed(const std::string& from, const std::string& to) {
  auto text = small_page;
  const auto at = text.find(from);
  REQUIRE(at != std::string::npos);
  return tests::sayings_of(text.replace(at, from.size(), to));
}

TEST_CASE("what is wrong on a page is told") {
  struct Row {
    std::string from, to;
    Faults faults;
  };
  const std::string quote =
      "Small shop, edition 1 Quote of 1 October 2026 Helmet: Fennimoor (HE-1) 50.00 GBP the only one in stock that "
      "fits Total 50 GBP No other kit from this stock comes out cheaper, with what its higher grades are worth to the "
      "shop's customers counted in: that is proved. Cautions - Fit and safety come first. The governing body's current "
      "rules, the standard's mark on each item and a trained fitter decide; this advice does not replace them. ";
  const std::vector<Row> rows = {
      {"", "", {}},
      {"age 17: neck_guard needed", "age 17: no neck_guard", {"line 22: leaves without neck_guard: needed"}},
      {"under 18\n", "under 17\n", {"line 22: neck_guard needed: not in this kit"}},
      {"says \"Total 50", "says \"Total 51", {"line 23: \"Total 51 GBP\" is not said: " + quote}},
      {"not say \"off\"", "not say \"proved\"", {"line 23: \"proved\" is said: " + quote}},
      {"; item \"HE-1\"",
       "; no item \"HE-1\"",
       {"line 23: leaves without item \"HE-1\": Helmet: HE-1 Fennimoor  for 50 GBP"}},
      {"proof-5", "proof-4", {"line 26: refused for proof-5, not for proof-4"}},
      {"omit neck_guard", "suggest neck_guard", {"line 26: refused for nothing, not for proof-5"}},
      {": neck_guard needed; helmet", "", {"line 22: nothing is said of this player"}},
  };
  for (const auto& row : rows) {
    INFO(row.from);
    const auto sayings = changed(row.from, row.to);
    REQUIRE(sayings.size() == 1);
    CHECK(tests::faults_of(sayings.front()) == row.faults);
  }
  // What is not understood, and a policy that does not compile, in the words of the program.
  for (const auto& [from, to, code] : std::vector<std::array<std::string, 3>>{{"age 17", "aeg 17", "player-1"},
                                                                              {"no neck_guard", "no neck", "players-2"},
                                                                              {"need neck", "need nekc", "names-1"},
                                                                              {"50,1", "50,many", "stock-"}}) {
    INFO(to);
    const auto faults = tests::faults_of(changed(from, to).front());
    REQUIRE(!faults.empty());
    CHECK(faults.front().find(code) != std::string::npos);
  }
}

TEST_CASE("players who do not stand at the edges are told of by what they do not notice") {
  CHECK(tests::unnoticed_slips(changed("", "").front()) == Faults{});
  CHECK(tests::unnoticed_slips(changed("age 17", "age 9").front()) == Faults{"'18' becomes '17'"});
  CHECK(tests::unnoticed_slips(changed("age 18", "age 40").front()) == Faults{"'18' becomes '19'"});
}

}  // namespace
