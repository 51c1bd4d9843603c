// A quote's faces for programs and for the customer: the whole JSON of a small one, real ones held to the published
// form, and a page that says what it must, fetches nothing, runs nothing, and lets no stock file write markup.
#include <algorithm>
#include <catch2/catch.hpp>
#include <regex>
#include <set>

#include "compiler/values/days.hpp"
#include "runtime/quote/html.hpp"
#include "runtime/quote/json.hpp"
#include "runtime/quote/text.hpp"
#include "runtime/rehearse/rehearsal.hpp"
#include "tests/support/folder.hpp"
#include "tests/support/golden.hpp"
#include "tests/support/places.hpp"
#include "tests/support/policy/compiled.hpp"
#include "tests/support/policy/shipped.hpp"
#include "tests/support/schema_check.hpp"
#include "tests/support/shop/small_shop.hpp"
#include "tests/support/well_formed.hpp"

namespace {

using namespace lacestay;
using nlohmann::json;

const std::string corner_text = R"(policy "Corner & <shop>"
edition 2, in force from 1 September 2026 to 31 August 2027
money GBP
ask age 4 to 90 years, whole

piece skates always "Skates"
  tier  grades entry, club            "Grade"
  size  150 to 300 mm step 5 mm       "Boot length"
  sum   band 0 to 500 GBP step 5 GBP  "Sum to plan for"
piece helmet always "Helmet"
  size  grades small, medium          "Size"
piece tape optional "Tape"
  rolls 1 to 4 step 1                 "Rolls"

rule boots
  set skates tier to entry
rule boot_length
  set skates size to 210 mm
rule boot_sum
  set skates sum to 75 to 100 GBP
rule heads
  set helmet size to small
rule some_tape
  suggest tape
rule how_much
  set tape rolls to 1
rule straps
  caution "Do up the chin strap & keep it <done up>."

protection is helmet
accept skates with size as advised, tier at least advised
  if none in stock, one step up in size
  if none in stock, order
accept helmet with size as advised, condition new
accept tape with rolls as advised
worth skates tier 10 GBP a step
deal both "Skates with helmet"
  for skates with helmet
  5% off
  because "Tried on <together>."
round percentages on each line
over the limit
  hire skates for 20 GBP
)";

const std::string skates_text = R"(item,make,model,price,on hand,tier,size (mm)
S1,"Fell<w>ick & ""Sons""",Rill,80.00,2,entry,210
S2,Oxnop,Beck,95.50,1,club,210
)";
const std::string helmet_text = R"(item,make,model,price,on hand,size,condition
H1,Oxnop,Cairn,40.25,3,small,new
)";
const std::string tape_text = R"(item,make,model,price,on hand,rolls
T1,,Cloth,4.50,9,1
)";

const std::int64_t a_day = compiler::day_number(2026, 10, 3);

runtime::Quote corner_quote(std::optional<std::int64_t> limit, const std::string& skates = skates_text,
                            const std::string& helmets = helmet_text) {
  const auto engine = tests::engine_of("corner.fitting", corner_text);
  const auto stock =
      tests::stock_of(engine->policy(), {{"skates.csv", skates}, {"helmet.csv", helmets}, {"tape.csv", tape_text}});
  INFO(render(stock.problems.sorted()));
  REQUIRE(stock.problems.empty());
  return runtime::quote(*engine, tests::player_of(engine->policy(), "age=9"), stock, a_day, limit);
}

// The first line of a stock file alone.
std::string nothing_of(const std::string& text) { return text.substr(0, text.find('\n') + 1); }

json published() { return json::parse(tests::bytes_of(tests::in_checkout("runtime/quote/quote.schema.json"))); }

bool holds(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

// A page that stands for itself.
void stands_alone(const std::string& page) {
  const auto tags = tests::well_formed(page);
  CHECK(tags.count("h1") == 1);
  CHECK(tags.count("title") == 1);
  for (const auto* never : {"script", "link", "img", "iframe", "a"}) CHECK(tags.count(never) == 0);
  CHECK_FALSE(holds(page, "http"));
  CHECK_FALSE(holds(page, "url("));
  CHECK(page.rfind("<!DOCTYPE html>\n<html lang=\"en\">\n", 0) == 0);
}

TEST_CASE("the whole of a small quote, as JSON") {
  tests::golden("quote/corner.json", json_of(corner_quote(13000)).dump(2) + "\n");
}

TEST_CASE("beside an item that is more than advised stands the cheapest that is as advised") {
  const std::string heading = "item,make,model,price,on hand,tier,size (mm)\n";
  const auto unlike = [&](const std::string& rows) {
    const auto quote = corner_quote(std::nullopt, heading + rows);
    // Lines of the text may be broken anywhere between words.
    const auto text = std::regex_replace(runtime::text_of(quote), std::regex("\n +"), " ");
    CHECK(holds(text, " advised: boot length 210 mm by boot_length; grade entry by boots "));
    std::string said;
    for (const auto& each : quote.lines.front().unlike) {
      said += text_of(quote, each);
      CHECK(holds(text, said));
      CHECK(holds(page_of(quote), said));
    }
    const auto in_json = json_of(quote)["lines"][0]["unlike_advised"];
    CHECK(in_json.size() == quote.lines.front().unlike.size());
    return said;
  };
  CHECK(unlike("S1,Oxnop,Beck,80,1,entry,210\nS2,Oxnop,Beck,95.50,1,club,210\n").empty());
  const std::string none = "grade entry is advised, and more will do; nothing with it is in stock that fits";
  CHECK(unlike("S2,Oxnop,Beck,95.50,1,club,210\n") == none);
  CHECK(unlike("S1,Oxnop,Beck,80,0,entry,210\nS2,Oxnop,Beck,95.50,1,club,210\n") == none);
  CHECK(unlike("S1,Oxnop,Beck,92,1,entry,210\nS2,Oxnop,Beck,95.50,1,club,210\nS3,Oxnop,Rill,90,1,entry,210\n") ==
        "grade entry is advised, and more will do; with entry, the cheapest that fits is Oxnop Rill (S3) at 90 GBP");
}

TEST_CASE("over the limit, as JSON: what is missing, and the steps") {
  const auto quote = json(json_of(corner_quote(6000)));
  CHECK(quote["complete"] == false);
  const auto& limit = quote["limit"];
  CHECK(limit["kept"] == false);
  CHECK(limit["left"].is_null());
  CHECK(limit["shortfall"]["text"] == "54.24 GBP");  // of 114.24
  REQUIRE(limit["steps"].size() == 1);
  CHECK(limit["steps"][0]["step"] == "hire");
  CHECK(limit["steps"][0]["cost"]["minor_units"] == 2000);
  CHECK(limit["steps"][0]["total"]["minor_units"] == 6025);  // the helmet alone has no deal
  CHECK(limit["still_missing"]["minor_units"] == 25);
  CHECK(quote["proof"]["aim"] == "price");
  CHECK(tests::schema_faults(published(), quote) == std::vector<std::string>{});
}

TEST_CASE("nothing in stock, as JSON: no line, nothing proved, nothing left of the limit") {
  const auto quote = json(json_of(corner_quote(6000, nothing_of(skates_text), nothing_of(helmet_text))));
  CHECK(quote["complete"] == false);
  CHECK(quote["lines"].empty());
  CHECK(quote["not_quoted"].size() == 2);
  CHECK(quote["not_quoted"][0]["why"] == "none in stock as advised: order one in");
  CHECK(quote["not_quoted"][0]["sum_to_plan"]["text"] == "75 to 100 GBP");
  CHECK(quote["suggested"].size() == 1);
  CHECK(quote["proof"].is_null());
  CHECK(quote["limit"]["kept"].is_null());
  CHECK(quote["limit"]["left"].is_null());
  CHECK(tests::schema_faults(published(), quote) == std::vector<std::string>{});
}

TEST_CASE("the check of the published form finds what is wrong") {
  const auto good = json(json_of(corner_quote(12000)));
  CHECK(tests::schema_faults(published(), good) == std::vector<std::string>{});
  const auto faults = [&](const std::string& patch) {
    return tests::schema_faults(published(), good.patch(json::parse(patch)));
  };
  using Faults = std::vector<std::string>;
  CHECK(faults(R"([{"op": "remove", "path": "/day"}])") == Faults{": wants day"});
  CHECK(faults(R"([{"op": "add", "path": "/total/rate", "value": 1}])") ==
        Faults{"/total: has rate, which the schema does not know"});
  CHECK(faults(R"([{"op": "replace", "path": "/lines/0/item/price/minor_units", "value": "80"}])") ==
        Faults{"/lines/0/item/price/minor_units: is no \"integer\""});
  CHECK(faults(R"([{"op": "replace", "path": "/proof/status", "value": "perhaps"}])").size() > 0);
  CHECK(faults(R"([{"op": "replace", "path": "/limit/kept", "value": false}])").size() > 0);
  CHECK(faults(R"([{"op": "replace", "path": "/proof/may_be_better_by/minor_units", "value": 3}])").size() > 0);
}

TEST_CASE("every sample player's quote from the shipped stock is as the published form says") {
  const auto& engine = tests::shipped();
  const auto stock = runtime::read_stock(engine.policy(), tests::in_policies("stock"), {});
  const auto path = tests::in_policies("saturday.players");
  grammar::Diagnostics problems;
  const auto file = runtime::read_players(engine.policy(), path, compiler::read_text_file(path).value(), problems);
  REQUIRE(file.players.size() > 15);
  const auto schema = published();
  for (const auto& player : file.players)
    for (const std::optional<std::int64_t> limit :
         {std::optional<std::int64_t>{}, std::optional<std::int64_t>{30000}}) {
      INFO(player.name);
      const auto made = runtime::quote(engine, player.player, stock, a_day, limit);
      CHECK(tests::schema_faults(schema, json(json_of(made))) == std::vector<std::string>{});
      stands_alone(page_of(made));
    }
}

TEST_CASE("the page of a quote within its limit") {
  const auto page = page_of(corner_quote(12000));
  stands_alone(page);
  for (const auto* part :
       {"<h1>Corner &amp; &lt;shop&gt;</h1>", "<strong>Quote of 3 October 2026</strong>, by edition 2",
        "Served by <span></span>",
        "Fell&lt;w&gt;ick &amp; &quot;Sons&quot; Rill</strong>, boot length 210 mm, grade entry", ">S1</td>",
        ">75 to 100 GBP</td>", ">80.00</td>", ">A</td>", "<strong>A \u00b7 Skates with helmet</strong>", ">120.25</td>",
        ">\u22126.01</td>", "6.01 GBP saved. Sum to plan for: 75 to 100 GBP.", "<strong>114.24 GBP</strong></td>",
        ">5.76</td>", "Tried on &lt;together&gt;.", "<strong>Tape:</strong> Cloth, rolls 1 (T1), 4.50 GBP",
        "Do up the chin strap &amp; keep it &lt;done up&gt;.", "that is proved", "Fit and safety come first."}) {
    INFO(part);
    CHECK(holds(page, part));
  }
  // The runner-up is for the fitter.
  CHECK_FALSE(holds(page, "Beck"));
  CHECK_FALSE(holds(page, "class=\"notice\""));
}

TEST_CASE("what a daybook says of an entry is no markup, whoever wrote the daybook") {
  auto quote = corner_quote(12000);
  quote.entry = runtime::EntryReference{3, "<script>\"&'"};
  quote.handed_over = {{"skates", "size", "210 mm", "<i>215</i>", "<b>Sam", "<u>", {}, false}};
  const auto page = page_of(quote);
  CHECK(holds(page, "<p class=\"entry\">Daybook entry 3: &lt;script&gt;&quot;&amp;&#39;</p>"));
  for (const auto* markup : {"<script", "<i>", "<b>", "<u>"}) CHECK_FALSE(holds(page, markup));
}

TEST_CASE("the page of a quote over its limit says so before the lines, and what may be done after them") {
  const auto page = page_of(corner_quote(6000));
  stands_alone(page);
  const auto notice = page.find("No such kit is within the limit of 60 GBP. This is the cheapest there is, 54.24 GBP");
  CHECK(notice < page.find("<table"));
  CHECK(holds(page, "Over it by</strong>"));
  CHECK(holds(page, "No kit from this stock costs less: that is proved."));
  CHECK(holds(page, "Hire: Skates for 20 GBP</th><td class=\"sum\">60.25 GBP</td>"));
  CHECK(holds(page, "0.25 GBP is still missing.</strong> What protects a player is not bought used"));
  CHECK(holds(page_of(corner_quote(6100)), "Then 0.75 GBP of the limit is left."));
}

TEST_CASE("the page of a quote with pieces missing names them before the lines; with all missing there are none") {
  const auto one = page_of(corner_quote({}, nothing_of(skates_text)));
  stands_alone(one);
  CHECK(one.find("Needed too, and not in this quote: Skates.") < one.find("<table"));
  CHECK(holds(one, "<strong>Skates:</strong> none in stock as advised: order one in; to plan for: 75 to 100 GBP"));
  const auto none = page_of(corner_quote({}, nothing_of(skates_text), nothing_of(helmet_text)));
  stands_alone(none);
  CHECK_FALSE(holds(none, "<table"));
  CHECK_FALSE(holds(none, "that is proved"));
  CHECK(holds(none, "There is nothing to quote"));
  CHECK(holds(none, "not in this quote: Skates and Helmet."));
}

TEST_CASE("what was taken instead is on the page; what missed by one thing is not") {
  const auto page = page_of(corner_quote(
      {}, nothing_of(skates_text) + "S3,Oxnop,Beck,70.00,1,club,215\n" + "S4,Oxnop,Gill,60.00,0,club,210\n"));
  stands_alone(page);
  CHECK(holds(page, "Not in stock as advised; instead: one step up in size</td>"));
  CHECK_FALSE(holds(page, "Gill"));
}

}  // namespace
