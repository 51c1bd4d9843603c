// Entries that can't be worked out again, through the command line: one that was altered, and one whose policy is
// sealed in another form.
#include <fmt/format.h>

#include <nlohmann/json.hpp>

#include "runtime/reopen/day_entry.hpp"
#include "tests/runtime/reopen/recording_shop.hpp"
#include "tests/runtime/seal/damage.hpp"
#include "tests/support/golden.hpp"
#include "tests/support/places.hpp"
#include "tests/support/schema_check.hpp"
#include "tests/support/shop/day.hpp"

namespace {

namespace fs = std::filesystem;
using namespace lacestay::tests;
using nlohmann::json;

TEST_CASE("an entry that was altered is not vouched for") {
  const auto after = [](const std::string& sql, int entry) {
    const RecordingShop shop;
    (void)shop.said("advise shop.fitting --daybook d.daybook --served-by Sam " + a_child);
    (void)shop.said("reopen d.daybook 1 --handed-over 'stick flex 50 flex' --by Sam --why strong");
    REQUIRE(run_program({"sqlite3", "d.daybook", sql}, {.folder = shop.folder()}).code == 0);
    const auto ran = shop.run(fmt::format("reopen d.daybook {}", entry));
    const auto told = ran.out.find("NOT AS IT WAS WRITTEN: ");
    return fmt::format("{} {}", ran.code,
                       told == ran.out.npos ? "" : ran.out.substr(told + 23, ran.out.find('\n', told) - told - 23));
  };
  CHECK(after("SELECT 1", 1) == "0 ");
  CHECK(after("UPDATE entry SET content = replace(content, 'Sam', 'Tom') WHERE number = 1", 1) ==
        "1 entry 1: its content was altered.");
  CHECK(after("UPDATE entry SET content = replace(content, 'strong', 'weak') WHERE number = 2", 1) ==
        "1 entry 2: its content was altered.");
  CHECK(after("UPDATE entry SET content = replace(content, 'strong', 'weak') WHERE number = 2", 2) ==
        "1 entry 2: its content was altered.");
  // What stands beside the sealed document is not what is shown.
  CHECK(after("UPDATE sealed_policy SET title = 'Other', edition = 99", 1) == "0 ");
  CHECK(after("INSERT INTO item VALUES ('X', 999)", 1) == "0 ");
}

// The daybook once more, as another lacestay would have written it: its entries rest on this document, or on their own
// where it is empty, and each content has this patch (RFC 7396).
void written_again(const RecordingShop& shop, std::string document, const json& patch = json::object()) {
  namespace rt = lacestay::runtime;
  rt::Daybook from((shop.folder() / "d.daybook").string(), rt::Daybook::Open::read);
  fs::remove(shop.folder() / "other.daybook");
  rt::Daybook to((shop.folder() / "other.daybook").string(), rt::Daybook::Open::create);
  if (document.empty()) document = from.policy(from.entry(1)->policy.value())->document;
  const auto policy = to.keep_policy({"Corner shop", 1, json::parse(document)["sha256"], document});
  for (std::int64_t number = 1; number <= from.entries(); ++number) {
    const auto entry = from.entry(number).value();
    rt::NewEntry copy;
    copy.kind = entry.kind;
    if (entry.policy) copy.policy = policy;
    copy.stock = entry.stock;
    copy.about = entry.about;
    copy.content = entry.content.value_or("{}");  // of one that is erased
    if (const auto kept = rt::kept_advice(copy.content); kept && kept->quote)
      for (const auto& shelf : kept->quote->shelves) copy.shelves.push_back(from.shelf(shelf).value());
    auto content = json::parse(copy.content);
    content.merge_patch(patch);
    copy.content = content.dump();
    to.append(copy, at_nine(number));
  }
}

const std::string other_form = sealed_again({{"answers", "kept in another way"}, {"format", 99}});

TEST_CASE("an entry whose policy is sealed in another form is shown as it was recorded, and is in order") {
  const RecordingShop shop;
  (void)shop.said("quote shop.fitting --stock stock --daybook d.daybook --served-by 'Sam T.' --limit '60 GBP' " +
                  a_child);
  (void)shop.said("reopen d.daybook 1 --handed-over 'without neck guard' --by Sam --why 'has one'");
  (void)shop.said("advise shop.fitting --daybook d.daybook --owns neck_guard age=9 --on 2026-10-03");
  written_again(shop, other_form);
  CHECK(shop.said("reopen other.daybook --verify").rfind("3 entries hold", 0) == 0);
  golden("reopen/other_form_quote.txt", without_times(shop.said("reopen other.daybook 1")));
  // What was handed over stands by itself.
  CHECK(without_times(shop.said("reopen other.daybook 2")).find("\n\nHanded over otherwise\n  - without neck") !=
        std::string::npos);
  const auto advice = without_times(shop.said("reopen other.daybook 3"));
  golden("reopen/other_form_advice.txt", advice.substr(advice.find("Player:")));
  golden("reopen/other_form_advice.json", without_times(shop.said("reopen other.daybook 3 --json")));
  const auto schema = json::parse(bytes_of(in_checkout("runtime/reopen/reopened.schema.json")));
  for (const auto* number : {"1", "2", "3"}) {
    const auto opened = json::parse(shop.said(fmt::format("reopen other.daybook {} --json", number)));
    CHECK(schema_faults(schema, opened) == std::vector<std::string>{});
  }
  // The page is of the same; and another policy is asked as ever.
  CHECK(shop.said("reopen other.daybook 1 --html page.html") == "page.html is written.\n");
  const auto page = shop.read("page.html");
  CHECK(page.find("<p class=\"notice\">This is as it was recorded, and was not worked out again: ") != page.npos);
  CHECK(
      page.find("<tr><th scope=\"row\">stick flex</th><td><strong>35 to 45 flex</strong><br>by flex_chart</td></tr>") !=
      page.npos);
  CHECK(page.find("<tr><th scope=\"row\">total</th><td>43.90 GBP</td></tr>") != page.npos);
  CHECK(page.find("<h2>Handed over otherwise</h2>") != page.npos);
  CHECK(shop.said("reopen other.daybook 1 --under shop.fitting").find("\n  the same answers\n") != std::string::npos);
  CHECK(shop.run("reopen other.daybook 1 --handed-over 'stick flex 50 flex' --by Sam --why x").err ==
        "Nothing is recorded: entry 1 can't be held against it: the policy it rests on can't be unsealed: it is "
        "written in form 99, this lacestay reads forms 1 to 4.\n");
  (void)shop.said("reopen other.daybook --forget 1");
  CHECK(shop.said("reopen other.daybook 1").find("\nWhat it held was erased on ") != std::string::npos);
}

TEST_CASE("an entry that a newer lacestay wrote is shown as it was recorded, or said to be newer, and is in order") {
  const RecordingShop shop;
  (void)shop.said("quote shop.fitting --stock stock --daybook d.daybook --take " + a_child);
  (void)shop.said("reopen d.daybook 1 --handed-over 'without neck guard' --by Sam --why 'has one'");
  (void)shop.said("quote --stock stock --give-back 1 --daybook d.daybook");
  (void)shop.said("advise shop.fitting --daybook d.daybook --served-by Sam " + a_child);
  (void)shop.said("advise shop.fitting --daybook d.daybook " + a_child);
  (void)shop.said("reopen d.daybook --forget 6");
  const auto schema = json::parse(bytes_of(in_checkout("runtime/reopen/reopened.schema.json")));
  // Of every entry: its number and kind, the exit code, what stands there, and why no more.
  const auto opened = [&](const std::string& document, const json& patch) {
    written_again(shop, document, patch);
    CHECK(shop.said("reopen other.daybook --verify").rfind("7 entries hold", 0) == 0);
    std::string all;
    for (const int number : {1, 2, 3, 4, 5, 7}) {
      const auto ran = shop.run(fmt::format("reopen other.daybook {} --json", number));
      const auto said = json::parse(ran.out);
      CHECK(schema_faults(schema, said) == std::vector<std::string>{});
      CHECK(shop.run(fmt::format("reopen other.daybook {}", number)).code == ran.code);
      all += fmt::format("{} {}: {}{}{}\n", number, said["kind"].get<std::string>(), ran.code,
                         said.contains("recorded") ? ", as recorded" : "",
                         said["why_not"].is_null() ? "" : ", " + said["why_not"].get<std::string>());
    }
    return all;
  };
  const std::string as_ever = "1 quote: 0\n2 sold: 0\n3 handed_over: 0\n4 given_back: 0\n5 advice: 0\n7 erasure: 0\n";
  CHECK(opened("", json::object()) == as_ever);
  // It says more than this lacestay knows of.
  const std::string form_3 = "it is written in form 3, this lacestay reads form 2";
  const json says_more = {{"format", 3}, {"weather", "wet"}};
  const auto recorded = edited(edited(as_ever, "quote: 0", "quote: 0, as recorded, " + form_3), "advice: 0",
                               "advice: 0, as recorded, " + form_3);
  CHECK(opened("", says_more) == recorded);
  CHECK(opened(other_form, says_more) == recorded);
  const auto text = without_times(shop.said("reopen other.daybook 5"));
  CHECK(text.substr(text.find("This")) ==
        R"(This is as it was recorded, and was not worked out again: it is written in form 3, this lacestay
reads form 2. That is no fault of the entry; a lacestay that reads that form works it out again.

As it was recorded for 3 October 2026

Player: age 9 years, weight 38 kg

Advised
  - stick: needed
  - stick flex: 35 to 45 flex
    by flex_chart
  - neck_guard: needed
    by young_neck

Fit and safety come first. The governing body's current rules, the standard's mark on each item and
a trained fitter decide; this advice does not replace them.
)");
  CHECK(shop.said("reopen other.daybook 1 --html page.html") == "page.html is written.\n");
  CHECK(shop.said("reopen other.daybook 1 --under shop.fitting").find("\n  the same answers\n") != std::string::npos);
  // Nothing of it is where this lacestay looks for it.
  const json says_other = {
      {"format", 3}, {"answers", "elsewhere"}, {"what", nullptr}, {"sale", nullptr}, {"erased", nullptr}};
  const std::string newer = "0, a newer lacestay wrote it, in form 3, of which this one can read nothing";
  const auto all_are = [](const std::string& each, const std::string& erasure) {
    return fmt::format(
        "1 quote: {0}\n2 sold: {0}\n3 handed_over: {0}\n4 given_back: {0}\n5 advice: {0}\n7 erasure: {1}\n", each,
        erasure);
  };
  CHECK(opened(other_form, says_other) == all_are(newer, newer));
  CHECK(opened("", says_other) == all_are(newer, newer));
  CHECK(without_times(shop.said("reopen other.daybook 5"))
            .ends_with("\n  hash       HASH\n\n"
                       "A newer lacestay wrote it, in form 3, of which this one can read nothing.\n"));
  for (const auto* words : {"--html page.html", "--under shop.fitting"}) {
    const auto ran = shop.run(fmt::format("reopen other.daybook 1 {}", words));
    CHECK(fmt::format("{}: {}{}", ran.code, ran.out, ran.err) ==
          "3: Entry 1 can't be read: a newer lacestay wrote it, in form 3, of which this one can read nothing.\n");
  }
  // It is no matter of age where it was changed since, or its policy is none, or it says no form that comes later.
  REQUIRE(run_program({"sqlite3", "other.daybook", "UPDATE entry SET content = replace(content, 'Sam', 'Tom')"},
                      {.folder = shop.folder()})
              .code == 0);
  CHECK(shop.run("reopen other.daybook 5").code == 1);
  const std::string no_policy =
      "1, the policy it rests on can't be unsealed: it was changed after it was sealed: its fingerprint does not fit "
      "it";
  CHECK(opened(R"({"format":1,"sha256":"0"})", says_other) == all_are(no_policy, newer));
  for (const auto& form : {json(0), json(-2), json("2"), json(2.5), json(true), json(nullptr)}) {
    INFO(form);
    CHECK(opened("", {{"format", form}}) == edited(edited(as_ever, "quote: 0", "quote: 1, its content can't be read"),
                                                   "advice: 0", "advice: 1, its content can't be read"));
  }
}

TEST_CASE("what is not as it was written is no matter of age") {
  const RecordingShop shop;
  (void)shop.said("advise shop.fitting --daybook d.daybook " + a_child);
  const auto opened = [&](const std::string& document, const std::string& sql) {
    written_again(shop, document);
    REQUIRE(run_program({"sqlite3", "other.daybook", sql}, {.folder = shop.folder()}).code == 0);
    const auto ran = shop.run("reopen other.daybook 1 --json");
    const auto said = json::parse(ran.out);
    return fmt::format("{} {} {}", ran.code, said["altered"].dump(), said["why_not"].get<std::string>());
  };
  const std::string unsealed = "the policy it rests on can't be unsealed: ";
  const auto form_99 = unsealed + "it is written in form 99, this lacestay reads forms 1 to 4";
  const auto changed = unsealed + "it was changed after it was sealed: its fingerprint does not fit it";
  CHECK(opened(other_form, "SELECT 1") == "0 [] " + form_99);
  CHECK(opened(other_form, "UPDATE entry SET content = replace(content, '38 kg', '39 kg')") ==
        R"(1 ["entry 1: its content was altered"] )" + form_99);
  CHECK(opened(other_form, "UPDATE sealed_policy SET document = replace(document, 'another', 'an odd')") ==
        R"(1 ["entry 1: the policy it rests on was altered, or is not there"] )" + changed);
  // Kept with a fingerprint that never fitted it, be it of this form or another.
  CHECK(opened(edited(other_form, "another", "an odd"), "SELECT 1") == "1 [] " + changed);
  CHECK(opened(R"({"format":1,"sha256":"0"})", "SELECT 1") == "1 [] " + changed);
  CHECK(opened(sealed_again({{"format", 1}}), "SELECT 1") ==
        "1 [] " + unsealed + "it does not say what it was made from");
  // What it says can't be read: there is nothing to show.
  CHECK(opened(other_form, "UPDATE entry SET content = 'x'") ==
        R"(1 ["entry 1: its content was altered"] its content can't be read)");
}

}  // namespace
