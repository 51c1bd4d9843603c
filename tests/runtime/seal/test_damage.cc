// A sealed policy that was changed is refused, whichever byte it was. One whose content was changed and that was sealed
// again by somebody who knows how is refused with a reason, or it is a policy like any other: it can be proved, asked,
// drawn and compared without crash, hang or a quarrel between proof and engine.
#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <iostream>
#include <set>

#include "compiler/proof/proof.hpp"
#include "compiler/values/days.hpp"
#include "runtime/advice/json.hpp"
#include "runtime/chart/chart_json.hpp"
#include "runtime/chart/findings.hpp"
#include "runtime/chart/wall_chart.hpp"
#include "runtime/compare/comparison.hpp"
#include "runtime/compare/text.hpp"
#include "runtime/quote/json.hpp"
#include "runtime/seal/sealed_policy.hpp"
#include "tests/runtime/seal/damage.hpp"
#include "tests/runtime/seal/policies.hpp"
#include "tests/support/settings.hpp"
#include "tests/support/shop/small_shop.hpp"

namespace {

using namespace lacestay;
using namespace lacestay::tests;
using runtime::SealedJson;

const std::int64_t today = compiler::day_number(2026, 11, 25);

// Empty where it is not.
std::string why_refused(const std::string& document) {
  const auto unsealed = runtime::unseal(document);
  return unsealed ? "" : unsealed.problem().message;
}

bool refused(const std::string& document) { return !why_refused(document).empty(); }

const std::string changed = "it was changed after it was sealed: its fingerprint does not fit it";

TEST_CASE("any byte changed is refused") {
  const auto small = runtime::seal(*compiled(corner_shop()));
  const auto shipped = runtime::seal(*shipped_policy("northgate.fitting"));
  naive::Draw draw(11);
  const auto try_at = [&](std::string document, std::size_t at) {
    const auto was = document[at];
    while (document[at] == was) document[at] = static_cast<char>(draw.chance(50) ? was + 1 : draw.between(0, 255));
    INFO("byte " << at << ", " << was << " becomes " << document[at]);
    if (!refused(document)) CHECK(refused(document));
  };
  const std::size_t stride = whole() ? 1 : 7;
  for (auto at = draw.place(stride); at < small.size(); at += stride) try_at(small, at);
  for (std::size_t i = 0; i < (whole() ? 2000u : 100u); ++i) try_at(shipped, draw.place(shipped.size()));
  // And the first value of each kind of field.
  std::set<std::string> seen;
  for (std::size_t at = 0; (at = small.find("\":", at)) != std::string::npos; at += 2)
    if (const auto open = small.rfind('"', at - 1); seen.insert(small.substr(open, at - open)).second)
      try_at(small, at + 2);
  CHECK(seen.size() > 80);
}

TEST_CASE("bytes added, dropped or moved are refused") {
  const auto document = runtime::seal(*compiled(corner_shop()));
  REQUIRE(runtime::unseal(document));
  const auto why = why_refused;
  const std::string cut_short = "it is no JSON object, so it was cut short or changed";
  CHECK(why(document + "\n") == changed);
  CHECK(why(" " + document) == changed);
  CHECK(why("\xEF\xBB\xBF" + document) == changed);
  CHECK(why(SealedJson::parse(document).dump(2)) == changed);
  CHECK(why(document.substr(0, document.size() - 1)) == cut_short);
  CHECK(why("") == cut_short);
  CHECK(why("[]") == cut_short);
  CHECK(why(std::string(4'000'000, '[')) == cut_short);
  CHECK(why("{}") == "it does not say in which form it is written, so it is no sealed policy");
  CHECK(why(std::string((32u << 20) + 1, ' ')) == "it has more than 32 MiB, which is the most that is read");
  naive::Draw draw(3);
  for (int i = 0; i < 300; ++i) {
    const auto at = draw.place(document.size());
    CHECK(refused(document.substr(0, at)));
    CHECK(refused(document.substr(0, at) + " " + document.substr(at)));
    CHECK(refused(document.substr(0, at) + document.substr(at + 1)));
  }
  // Keys in another order, and a key that stands twice.
  const std::string edition = "\"edition\":2,";
  const auto format = fmt::format("\"format\":{},", runtime::sealed_format);
  auto moved = document;
  REQUIRE(moved.find(edition + format) != std::string::npos);
  moved.replace(moved.find(edition + format), edition.size() + format.size(), format + edition);
  CHECK(why(moved) == changed);
  auto twice = document;
  twice.insert(twice.find(edition), edition);
  CHECK(why(twice) == changed);
}

TEST_CASE("another form, and content that does not hang together, are refused by name") {
  const auto document = SealedJson::parse(runtime::seal(*compiled(corner_shop())));
  const auto why = [&](auto change) {
    auto other = document;
    change(other);
    return why_refused(sealed_again(other));
  };
  CHECK(why([](auto&) {}).empty());
  CHECK(why([](auto& it) { it["format"] = 5; }) == "it is written in form 5, this lacestay reads forms 1 to 4");
  CHECK(why([](auto& it) { it["format"] = 0; }) == "it is written in form 0, this lacestay reads forms 1 to 4");
  CHECK(why([](auto& it) { it["also"] = 1; }) == "it does not hang together: it has keys that the form does not know");
  CHECK(why([](auto& it) { it.erase("title"); }) == "it does not hang together: /title is missing");
  CHECK(why([](auto& it) { it["tables"]["tables"][0]["rows"][0]["low"] = "4"; }) ==
        "it does not hang together: /tables/tables/0/rows/0/low is not a whole number as the form spells it");
  CHECK(why([](auto& it) { it["tables"]["tables"][0]["rows"][0]["low"] = 9; }) ==
        "it does not hang together: tables/tables/0/rows/0 gives steps that there are not");
  CHECK(why([](auto& it) { it["tables"]["tables"][0]["rows"][0]["effect"] = "lift"; }) ==
        "it does not hang together: /tables/tables/0/rows/0/effect is not one of the words that may stand there");
  CHECK(why([](auto& it) { it["details"][0]["span"][1] = 1; }) ==
        "it does not hang together: /details/0/span is not a place in a line that the document keeps");
  CHECK(why([](auto& it) {
          auto& lines = it["sources"][0]["lines"];
          lines.insert(lines.begin(), SealedJson::object({{"line", 1}, {"text", "policy \"Mine\"\n"}}));
        }) == "it does not hang together: sources keeps more of the text than it needs");
  CHECK(why([](auto& it) {
          it["tables"]["worked_out"][1]["highest"]["numerator"] = 1;
        }).find("it does not hang together: tables/worked_out/1 has") == 0);
}

TEST_CASE("members of a choice that there are not, or left open where nothing is, are refused by name") {
  const auto document = SealedJson::parse(runtime::seal(
      *compiled("policy \"Corner shop\"\nedition 1, in force from 1 September 2026\nask age 4 to 90 years, "
                "whole\npiece stick always\n  toe choice round, square, open\n  tier grades entry, club\n"
                "rule toes\n  set stick toe to round or open\nrule tiers\n  set stick tier to club\n")));
  constexpr std::int64_t several = std::int64_t{1} << 40;
  const auto why = [&](std::size_t table, std::int64_t low, std::int64_t high) {
    auto other = document;
    auto& row = other["tables"]["tables"][table]["rows"][0];
    row["low"] = low, row["high"] = high;
    const auto told = why_refused(sealed_again(other));
    return told.substr(std::min(told.size(), told.rfind(": ") + 2));
  };
  CHECK(document["tables"]["tables"][0]["rows"][0]["low"] == several + 5);
  CHECK(why(0, several + 6, several + 6) == "");
  CHECK(why(0, several + 13, several + 13) == "tables/tables/0/rows/0 gives members that there are not");
  CHECK(why(0, several, several) == "tables/tables/0/rows/0 gives members that there are not");
  CHECK(why(0, several + 4, several + 4) == "tables/tables/0/rows/0 gives members that there are not");  // as one alone
  CHECK(why(0, several + 5, several + 6) == "tables/tables/0/rows/0 gives two ends where one value is due");
  CHECK(why(1, several + 3, several + 3) == "tables/tables/1/rows/0 leaves open what is no choice");
}

// For the corner shop; of what another policy has, next to nothing.
const Files shelf = {
    {"skates.csv",
     "item,make,price,on hand,tier,size (mm)\nS1,Fellwick,80,1,entry,250\nS2,Fellwick,110,2,club,265\n"
     "S3,Orrin,190,1,race,280\nS4,Orrin,95,4,entry,300\nS5,Fellwick,99,2,club,240\n"},
    {"stick.csv",
     "item,make,price,on hand,flex (flex),length (in),side\nT1,Fellwick,40,3,30,50,left\nT2,Orrin,45,1,50,60,right\n"
     "T3,Orrin,60,2,75,58,left\nT4,Fellwick,55,2,85,60,right\n"},
    {"helmet.csv",
     "item,make,price,on hand,size,head (cm),certified until,condition\nH1,Orrin,50,2,small,45-56,2030-01-31,new\n"
     "H2,Fellwick,60,1,large,54-64,2030-01-31,new\nH3,Orrin,20,1,small,45-60,2030-01-31,used\n"}};

// Asks of a policy all that the tool can be asked of one.
void use(const std::shared_ptr<const compiler::Policy>& policy, const runtime::Engine& original, naive::Draw& draw) {
  const auto built = runtime::Engine::build(policy);
  if (!built) return;
  const auto& engine = *built;
  const auto stock = stock_of(*policy, shelf);
  std::size_t written = stock.items.size() + 1;
  for (const auto& each : runtime::told(*engine, compiler::prove(*policy))) written += render(each).size();
  for (int i = 0; i < 6; ++i) {
    const auto player = random_player(*policy, draw, i % 2 == 0 ? 3 : 0);
    written += runtime::json_text(runtime::json_of(runtime::advise(*engine, player, today))).size();
    written += runtime::json_text(runtime::json_of(runtime::quote(*engine, player, stock, today,
                                                                  i < 3 ? std::optional<std::int64_t>() : 9'000)))
                   .size();
  }
  written += runtime::text_of(*policy, runtime::wall_tables(*policy, {})).size();
  written += runtime::json_text(runtime::chart_json(*policy)).size();
  for (const auto& [earlier, later] : {std::pair{&original, engine.get()}, {engine.get(), &original}}) {
    const auto difference = compiler::differences(earlier->policy(), later->policy());
    written += runtime::text_of(runtime::comparison_of(*earlier, *later, difference)).size();
  }
  CHECK(written > 0);
}

// How many of the damaged documents loaded all the same.
std::size_t survivors(const std::shared_ptr<const compiler::Policy>& policy, std::uint64_t seed, std::size_t tries) {
  const auto original = engine_of(policy);
  const auto document = SealedJson::parse(runtime::seal(*policy));
  std::size_t loaded = 0;
  for (std::size_t i = 0; i < tries; ++i) {
    naive::Draw draw(seed * 1'000'003 + i);
    auto other = document;
    const auto what = damage(other, draw);
    const auto text = sealed_again(std::move(other));
    INFO("seed " << seed << ", try " << i << ": " << what);
    if (loud()) std::cerr << seed << " " << i << ": " << what << std::endl;
    const auto unsealed = runtime::unseal(text);
    if (unsealed) {
      ++loaded;
      REQUIRE_NOTHROW(use(unsealed->policy, *original, draw));
      CHECK(runtime::seal(*unsealed->policy) == text);
    } else {
      CHECK_FALSE(unsealed.problem().message.empty());
    }
  }
  return loaded;
}

TEST_CASE("damage sealed again is refused with a reason, or is a policy like any other") {
  const std::size_t tries = whole() ? 6'000 : 1'500;
  const auto loaded = survivors(compiled(corner_shop()), 1, tries);
  CHECK(loaded > tries / 20);
  CHECK(loaded < tries * 9 / 10);
  for (const auto& each : random_policies(500, whole() ? 60 : 20)) {
    INFO(each.name);
    survivors(each.policy, 2, 50);
  }
}

}  // namespace
