// The daybook through the command line: an advice and a quote on record, opened again after the policy has changed and
// the stock is gone, held to another policy, overridden and forgotten.
#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <cstdlib>
#include <nlohmann/json.hpp>
#include <regex>
#include <sstream>

#include "runtime/reopen/day_entry.hpp"
#include "tests/runtime/seal/damage.hpp"
#include "tests/support/golden.hpp"
#include "tests/support/places.hpp"
#include "tests/support/program_folder.hpp"
#include "tests/support/schema_check.hpp"
#include "tests/support/shop/day.hpp"

namespace {

namespace fs = std::filesystem;
using namespace lacestay::tests;
using nlohmann::json;

const std::string policy_text = R"(policy "Corner shop"
edition 1, in force from 1 September 2026
money GBP
ask age 4 to 90 years, whole
ask weight 12 to 180 kg
piece stick always "Stick"
  flex  band 20 to 110 flex step 5 flex "Flex"
piece neck_guard optional "Neck guard"
chart flex_chart gives stick flex
  down weight
    under 40 kg:  35 to 45 flex
    the rest:     60 to 75 flex
  because "It must bend."
rule young_neck
  need neck_guard
  for age under 18
  because "Cuts to the neck are rare and can kill."
  safety
accept stick with flex within advised
accept neck_guard with condition new
)";
const std::string sticks =
    "item,make,model,price,on hand,flex (flex)\nST-1,Fennimoor,Ash,19.95,2,40\n"
    "ST-2,Lowmarch,Elm,24.95,1,40\nST-3,Lowmarch,Elm,24.95,1,70\n";
const std::string guards = "item,make,model,price,on hand,condition\nNG-1,Fennimoor,Anvil,23.95,4,new\n";

// A shop's folder, and commands run in it.
class Shop : public ProgramFolder {
 public:
  Shop() {
    write("shop.fitting", policy_text);
    fs::create_directory(folder() / "stock");
    write("stock/stick.csv", sticks);
    write("stock/neck_guard.csv", guards);
  }
};

std::string edited(std::string text, const std::string& from, const std::string& to) {
  const auto at = text.find(from);
  REQUIRE(at != text.npos);
  return text.replace(at, from.size(), to);
}

// A text without what is another each time.
std::string without_times(const std::string& text) {
  static const std::regex in_utc(R"(\d{4}-\d\d-\d\d[-0-9:. T]*Z)"), here(R"(\d{4}-\d\d-\d\d[-0-9:. T]*)"),
      hash("[0-9a-f]{64}");
  const auto without_utc = std::regex_replace(text, in_utc, "TIME UTC");
  return std::regex_replace(std::regex_replace(without_utc, here, "TIME "), hash, "HASH");
}

const std::string a_child = "age=9 weight='38 kg' --on 2026-10-03";

TEST_CASE("nothing is recorded unless it is asked for") {
  const Shop shop;
  (void)shop.said("advise shop.fitting " + a_child);
  CHECK_FALSE(fs::exists(shop.folder() / "d.daybook"));
  CHECK(shop.run("advise shop.fitting --served-by Sam " + a_child).err ==
        "--served-by is for the daybook: name one with --daybook FILE.\n");
  CHECK(shop.run("advise shop.fitting " + a_child, "LACESTAY_DAYBOOK=d.daybook").code == 0);
  CHECK(without_times(shop.said("reopen d.daybook")) ==
        "     1  TIME an advice              2 pieces needed; age 9 years, weight 38 kg\n");
}

TEST_CASE("opened again after the policy has changed and the stock is gone, it is the same to the last byte") {
  const Shop shop;
  const auto advised = shop.said("advise shop.fitting --daybook d.daybook --served-by Sam --json " + a_child);
  const auto quoted =
      shop.said("quote shop.fitting --stock stock --daybook d.daybook --json --limit '60 GBP' " + a_child);
  const auto page = [&] {
    (void)shop.said("quote shop.fitting --stock stock --daybook d.daybook --served-by 'Sam <T.>' --html page.html " +
                    a_child);
    return shop.read("page.html");
  }();
  fs::remove_all(shop.folder() / "stock");
  shop.write("shop.fitting", edited(policy_text, "under 40 kg:", "under 38 kg:"));
  const auto advice = json::parse(shop.said("reopen d.daybook 1 --json"));
  CHECK(advice["advice"] == json::parse(advised));
  CHECK(advice["same_answer"] == true);
  CHECK(advice["same_bytes"] == true);
  CHECK(advice["served_by"] == "Sam");
  CHECK(advice["kind"] == "advice");
  CHECK(advice["quote"].is_null());
  const auto quote = json::parse(shop.said("reopen d.daybook 2 --json"));
  CHECK(quote["quote"] == json::parse(quoted));
  CHECK(quote["same_bytes"] == true);
  CHECK(quote["stock"].get<std::string>().size() == 64);
  // The page once more, with the hash it was handed out with.
  (void)shop.said("reopen d.daybook 3 --html again.html");
  CHECK(shop.read("again.html") == page);
  const auto hash = json::parse(shop.said("reopen d.daybook 3 --json"))["entry"]["hash"].get<std::string>();
  CHECK(page.find("Daybook entry 3: " + hash) != page.npos);
  CHECK(page.find("Served by <span>Sam &lt;T.&gt;</span>") != page.npos);
  CHECK(json::parse(shop.said("reopen d.daybook " + hash.substr(0, 20) + " --json"))["entry"]["number"] == 3);
  CHECK(shop.run("reopen d.daybook " + std::string(64, '0')).err ==
        "The daybook has no entry " + std::string(64, '0') +
            ". An entry that a page names and the daybook has not is lost, or of another daybook.\n");
}

TEST_CASE("what an entry says, whole") {
  const Shop shop;
  (void)shop.said("quote shop.fitting --stock stock --daybook d.daybook --served-by 'Sam T.' " + a_child);
  auto text = without_times(shop.said("reopen d.daybook 1"));
  const auto seal = text.find("(sealed ");
  REQUIRE(seal != text.npos);
  text.replace(seal + 8, 12, "SEAL");
  golden("reopen/entry.txt", text);
}

TEST_CASE("under another policy: what it would say, and which rules make the difference") {
  const Shop shop;
  (void)shop.said("advise shop.fitting --daybook d.daybook " + a_child);
  shop.write("later.fitting", edited(edited(policy_text, "under 40 kg:", "under 38 kg:"), "edition 1", "edition 2"));
  const auto text = shop.said("reopen d.daybook 1 --under later.fitting --on 2026-11-01");
  golden("reopen/under_another_policy.txt", text.substr(text.find("\nUnder")));
  const auto under = json::parse(shop.said("reopen d.daybook 1 --under later.fitting --on 2026-11-01 --json"))["under"];
  CHECK(under["changes"].size() == 1);
  CHECK(under["changes"][0]["why_now"][0]["rule"] == "flex_chart");
  CHECK(under["left_blank"].empty());
  const auto same = shop.said("reopen d.daybook 1 --under shop.fitting");
  CHECK(same.find("Under Corner shop, edition 1 (shop.fitting), on 3 October 2026\n  the same answers\n") != same.npos);
  // A policy that no longer asks for the weight, and takes no child.
  shop.write("other.fitting", R"(policy "Other"
edition 1, in force from 1 September 2026
ask age 10 to 90 years, whole
piece stick always
  toe choice round, square
rule toe
  set stick toe to round
)");
  const auto other = shop.said("reopen d.daybook 1 --under other.fitting --on 2026-11-01");
  CHECK(other.find("  not asked there, and left blank: age 9 years and weight 38 kg\n") != other.npos);
  CHECK(other.find("  stick toe: round, which was not answered\n") != other.npos);
  CHECK(other.find("  neck_guard: needed, and is not answered now\n") != other.npos);
}

TEST_CASE("what was handed over stands beside it; and the page says what safety rules speak of it") {
  const Shop shop;
  (void)shop.said("advise shop.fitting --daybook d.daybook " + a_child);
  CHECK(
      shop.said("reopen d.daybook 1 --handed-over 'stick flex 50 flex' --by Sam --why 'strong for nine'") ==
      "Entry 2 records beside entry 1: stick flex 50 flex, where stick flex 35 to 45 flex was advised. By Sam: strong "
      "for nine\n");
  CHECK(shop.said("reopen d.daybook 1 --handed-over 'without neck guard' --by Sam --why 'has one <at home>'") ==
        "Entry 3 records beside entry 1: without neck guard, where neck_guard needed was advised. By Sam: has one <at "
        "home>\n"
        "  A SAFETY RULE SPEAKS OF THIS: young_neck: Cuts to the neck are rare and can kill.\n"
        "  THIS IS PROTECTION: never used goods; a trained fitter sees to the fit, the label and the mark,\n"
        "  and what the governing body asks for is still owed.\nThe page says so: print it once more with --html.\n");
  const auto text = shop.said("reopen d.daybook 1");
  CHECK(text.find("Handed over otherwise\n  - stick flex 50 flex, where stick flex 35 to 45 flex was advised. By Sam: "
                  "strong for nine\n") != text.npos);
  CHECK(text.find("    A SAFETY RULE SPEAKS OF THIS: young_neck: Cuts to the neck are rare and can kill.\n") !=
        text.npos);
  CHECK(text.find("the same answer, to the last byte") != text.npos);
  (void)shop.said("reopen d.daybook 1 --html page.html");
  const auto page = shop.read("page.html");
  CHECK(page.find("<h2>Handed over otherwise</h2>") != page.npos);
  CHECK(page.find("has one &lt;at home&gt;<br><strong>A safety rule speaks of this:</strong> young_neck") != page.npos);
  const auto record = json::parse(shop.said("reopen d.daybook 1 --json"))["handed_over"];
  REQUIRE(record.size() == 2);
  CHECK(record[0]["safety_rules"].empty());
  CHECK(record[0]["protection"] == false);
  CHECK(record[1]["safety_rules"].size() == 1);
  CHECK(record[1]["protection"] == true);
  CHECK(without_times(shop.said("reopen d.daybook")) ==
        "     3  TIME handed over otherwise  beside entry 1: without neck guard\n"
        "     2  TIME handed over otherwise  beside entry 1: stick flex 50 flex\n"
        "     1  TIME an advice              2 pieces needed; age 9 years, weight 38 kg\n");
  CHECK(shop.run("reopen d.daybook 1 --handed-over 'skates' --by Sam --why 'x'").err ==
        "Nothing is recorded: 'skates' does not begin with a piece of that policy; there are stick and neck_guard.\n");
  CHECK(shop.run("reopen d.daybook 1 --handed-over 'stick' --by Sam").err ==
        "Say what, by whom and why: --handed-over \"stick flex 50 flex\" --by NAME --why \"...\"\n");
  CHECK(shop.run("reopen d.daybook 2 --handed-over 'stick' --by Sam --why x").code == 2);
}

TEST_CASE("what a fitter says was handed over, held against the advice") {
  const Shop shop;
  const auto policies = in_policies("");
  (void)shop.said("advise " + policies + "northgate.fitting --from " + policies +
                  "saturday.players saturday_beginner --daybook d.daybook");
  const auto record = [&](const std::string& what) {
    const auto ran = shop.run("reopen d.daybook 1 --handed-over \"" + what + "\" --by Sam --why x");
    if (ran.code != 0) return ran.err.substr(0, ran.err.find("; there are"));
    const auto number = ran.out.substr(6, ran.out.find(' ', 6) - 6);
    const auto said = json::parse(shop.said("reopen d.daybook " + number + " --json"))["handed_over"][0];
    std::string rules;
    for (const auto& rule : said["safety_rules"]) {
      const auto text = rule.get<std::string>();
      rules += (rules.empty() ? "" : ", ") + text.substr(0, text.find(": ", text.rfind("junior: ", 0) == 0 ? 8 : 0));
    }
    return fmt::format("{}: {}; {}{}", said["about"].get<std::string>(), said["advised"].get<std::string>(), rules,
                       said["protection"] == true ? " (protection)" : "");
  };
  struct Case {
    std::string what, recorded;
  };
  const Case cases[] = {
      {"stick flex 50 flex", "stick flex: 35 to 45 flex; "},
      {"Stick, flex: 50", "stick flex: 35 to 45 flex; "},
      {"skates tier club, size 220 mm", "skates: tier entry, size 210 mm; "},
      {"without skates", "skates: needed; "},
      // Protection, whatever is said of it; with every safety rule that speaks of it, also where it decides nothing.
      {"helmet left out", "helmet: needed;  (protection)"},
      {"face_protection kind visor", "face_protection kind: cage; beginner_cage, junior: young_face (protection)"},
      {"Face protection visor", "face_protection: needed; beginner_cage, junior: young_face (protection)"},
      {"without face protection", "face_protection: needed; beginner_cage, junior: young_face (protection)"},
      {"neck_guard mark none", "neck_guard mark: iso_10256_5;  (protection)"},
      {"neck_guard: own one", "neck_guard: needed; neck_by_birth_day, junior: young_neck (protection)"},
      {"NECK  GUARD, size large", "neck_guard size: youth;  (protection)"},
      // What was advised is nothing to record, and two pieces are two records.
      {"neck_guard needed", "Nothing is recorded: neck_guard needed is what was advised.\n"},
      {"Stick: flex 35 to 45 flex", "Nothing is recorded: stick flex 35 to 45 flex is what was advised.\n"},
      {"stick length 48 in, and no mouthguard",
       "Nothing is recorded: 'stick length 48 in, and no mouthguard' names stick and mouthguard; record each by "
       "itself.\n"},
      {"skate", "Nothing is recorded: 'skate' does not begin with a piece of that policy"},
      {"goalkeeper's skates 240 mm", "goal_skates: not in this kit; "},
      {"no neck guard", "neck_guard: needed; neck_by_birth_day, junior: young_neck (protection)"},
      // What it was instead must be said; and another piece's answer brings that piece's safety rules along.
      {"neck_guard",
       "Nothing is recorded: 'neck_guard' does not say what was different: write what it was, or without "
       "neck_guard.\n"},
      {"helmet without cage", "helmet: needed; beginner_cage, junior: young_face (protection)"},
  };
  for (const auto& each : cases) {
    INFO(each.what);
    CHECK(record(each.what) == each.recorded);
  }
}

TEST_CASE("found by day, piece, rule and item") {
  const Shop shop;
  (void)shop.said("advise shop.fitting --daybook d.daybook " + a_child);
  (void)shop.said("advise shop.fitting --daybook d.daybook age=40 weight='90 kg' --on 2026-10-03");
  (void)shop.said("quote shop.fitting --stock stock --daybook d.daybook age=40 weight='90 kg' --on 2026-10-03");
  const auto found = [&](const std::string& by) {
    std::vector<int> numbers;
    const auto listed = json::parse(shop.said("reopen d.daybook --json " + by));
    for (const auto& entry : listed["entries"]) numbers.push_back(entry["number"].get<int>());
    return numbers;
  };
  using Numbers = std::vector<int>;
  CHECK(found("") == Numbers{3, 2, 1});
  CHECK(found("--rule young_neck") == Numbers{1});
  CHECK(found("--piece 'neck guard'") == Numbers{1});
  CHECK(found("--piece stick --rule flex_chart") == Numbers{3, 2, 1});
  CHECK(found("--item ST-3") == Numbers{3});
  CHECK(found("--first-day 2026-01-01 --last-day 2099-12-31") == Numbers{3, 2, 1});
  CHECK(found("--last-day 2001-12-31").empty());
  CHECK(found("--rule Young_Neck --piece 'Neck guard'") == Numbers{1});
  CHECK(shop.said("reopen d.daybook --item ST-17") == "No entry is like that.\n");
  CHECK(shop.run("reopen d.daybook --rule yuong_neck").err ==
        "No entry has to do with a rule called 'yuong_neck'; perhaps you mean young_neck.\n");
  CHECK(shop.run("reopen d.daybook --first-day 2026-02-01 --last-day 2026-01-01").err ==
        "The last day comes before the first.\n");
  CHECK(shop.run("reopen d.daybook --day tomorrow").code == 2);
}

TEST_CASE("forgotten: the measures are in no file, and the chain says that they are gone") {
  const Shop shop;
  (void)shop.said(
      "quote shop.fitting --stock stock --daybook d.daybook --served-by Samantha age=73 weight='83.7 kg' "
      "--on 2026-10-03");
  (void)shop.said("advise shop.fitting --daybook d.daybook " + a_child);
  (void)shop.said("reopen d.daybook 1 --handed-over 'stick flex 85 flex' --by Thomasina --why 'heavy hands'");
  for (const auto* told : {"83.7", "Samantha", "Thomasina", "heavy hands", "ST-3"})
    CHECK(all_bytes(shop.folder()).find(told) != std::string::npos);
  fs::remove_all(shop.folder() / "stock");
  CHECK(shop.said("reopen d.daybook --forget 1") ==
        "Entry 1 is erased, and what was handed over beside it; entry 4 says so.\n");
  for (const auto* told : {"83.7", "Samantha", "Thomasina", "heavy hands", "ST-3"}) {
    INFO(told);
    CHECK(all_bytes(shop.folder()).find(told) == std::string::npos);
  }
  CHECK(shop.said("reopen d.daybook --forget 1") == "Entry 1 was erased before; nothing of it is left.\n");
  CHECK(shop.said("reopen d.daybook --verify").substr(0, 86) ==
        "4 entries hold, from the first to the last; 2 of them erased, which is on record.\nThe ");
  CHECK(without_times(shop.said("reopen d.daybook")) ==
        "     4  TIME an erasure             of 2 entries (asked for)\n"
        "     3  TIME handed over otherwise  erased\n"
        "     2  TIME an advice              2 pieces needed; age 9 years, weight 38 kg\n"
        "     1  TIME a quote                erased\n");
  CHECK(without_times(shop.said("reopen d.daybook 1"))
            .find("What it held was erased on TIME , which entry 4 records; nothing of it is left.\n") !=
        std::string::npos);
  CHECK(shop.run("reopen d.daybook 1 --html page.html").code == 1);
  for (const auto* span : {"'400 days'", "400 days", "'13 months'", "'2 years'"})
    CHECK(shop.said(fmt::format("reopen d.daybook --keep-for {}", span)).rfind("Nothing is older than ", 0) == 0);
  CHECK(shop.run("reopen d.daybook --keep-for '400 moons'").err ==
        "'400 moons' is no span; write it as in: --keep-for \"400 days\", or weeks, months, years\n");
  CHECK(shop.run("reopen d.daybook --forget 17").err ==
        "The daybook has no entry 17. An entry that a page names and the daybook has not is lost, or of another "
        "daybook.\n");
}

TEST_CASE("every kind of entry as JSON is as the published form says") {
  const Shop shop;
  shop.write("later.fitting", edited(policy_text, "under 40 kg:", "under 38 kg:"));
  (void)shop.said("advise shop.fitting --daybook d.daybook --served-by Sam " + a_child);
  (void)shop.said("quote shop.fitting --stock stock --daybook d.daybook " + a_child);
  (void)shop.said("reopen d.daybook 1 --handed-over 'without neck_guard' --by Sam --why 'has one'");
  (void)shop.said("quote shop.fitting --stock stock --daybook d.daybook " + a_child);
  (void)shop.said("reopen d.daybook --forget 4");
  const auto schema = json::parse(bytes_of(in_checkout("runtime/reopen/reopened.schema.json")));
  for (const auto* words : {"1", "2", "3", "4", "5", "1 --under later.fitting --on 2026-11-01"}) {
    INFO(words);
    const auto opened = json::parse(shop.said(fmt::format("reopen d.daybook {} --json", words)));
    CHECK(schema_faults(schema, opened) == std::vector<std::string>{});
  }
  auto wrong = json::parse(shop.said("reopen d.daybook 1 --json"));
  wrong["handed_over"][0].erase("why");
  CHECK(schema_faults(schema, wrong).size() == 1);
}

TEST_CASE("an entry that was altered is not vouched for") {
  const auto after = [](const std::string& sql, int entry) {
    const Shop shop;
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
void written_again(const Shop& shop, std::string document, const json& patch = json::object()) {
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
  const Shop shop;
  (void)shop.said("quote shop.fitting --stock stock --daybook d.daybook --served-by 'Sam T.' --limit '60 GBP' " +
                  a_child);
  (void)shop.said("reopen d.daybook 1 --handed-over 'without neck guard' --by Sam --why 'has one'");
  (void)shop.said("advise shop.fitting --daybook d.daybook --owns neck_guard age=9 --on 2026-10-03");
  written_again(shop, other_form);
  CHECK(shop.said("reopen other.daybook --verify").rfind("3 entries hold", 0) == 0);
  CHECK(without_times(shop.said("reopen other.daybook 1")) == R"(Entry 1: a quote
  when       TIME here, TIME UTC
  served by  Sam T.
  hash       HASH

This is as it was recorded, and was not worked out again: the policy it rests on can't be unsealed:
it is written in form 99, this lacestay reads form 1. That is no fault of the entry; a lacestay that
reads that form works it out again.

As it was recorded for 3 October 2026

Player: age 9 years, weight 38 kg

Quoted
  - stick: ST-1, 19.95 GBP
  - neck_guard: NG-1, 23.95 GBP
  - Total 43.90 GBP, limit 60 GBP

Advised
  - stick: needed
  - stick flex: 35 to 45 flex
    by flex_chart
  - neck_guard: needed
    by young_neck

Fit and safety come first. The governing body's current rules, the standard's mark on each item and
a trained fitter decide; this advice does not replace them.

Handed over otherwise
  - without neck guard, where neck_guard needed (NG-1 in the quote) was advised. By Sam: has one
    A SAFETY RULE SPEAKS OF THIS: young_neck: Cuts to the neck are rare and can kill.
    THIS IS PROTECTION: never used goods; a trained fitter sees to the fit, the label and the mark,
    and what the governing body asks for is still owed.
)");
  // What was handed over stands by itself.
  CHECK(without_times(shop.said("reopen other.daybook 2")).find("\n\nHanded over otherwise\n  - without neck") !=
        std::string::npos);
  const auto advice = without_times(shop.said("reopen other.daybook 3"));
  CHECK(advice.substr(advice.find("Player:")) == R"(Player: age 9 years
Owns:   neck_guard

Advised
  - stick: needed
  - stick flex: 35 to 45 flex or 60 to 75 flex
    by flex_chart
  - neck_guard: needed
    by young_neck

Fit and safety come first. The governing body's current rules, the standard's mark on each item and
a trained fitter decide; this advice does not replace them.
)");
  CHECK(without_times(shop.said("reopen other.daybook 3 --json")) == R"({
  "format": 1,
  "entry": {
    "number": 3,
    "hash": "HASH"
  },
  "at": "TIME UTC",
  "kind": "advice",
  "policy": null,
  "stock": null,
  "served_by": null,
  "about": null,
  "altered": [],
  "sold": [],
  "given_back": [],
  "erased": false,
  "same_answer": null,
  "same_bytes": null,
  "others": [],
  "why_not": "the policy it rests on can't be unsealed: it is written in form 99, this lacestay reads form 1",
  "advice": null,
  "quote": null,
  "handed_over": [],
  "erasure": null,
  "under": null,
  "recorded": {
    "day": "TIME ",
    "details": [
      {
        "detail": "age",
        "value": "9 years"
      }
    ],
    "owns": [
      "neck_guard"
    ],
    "answers": [
      {
        "about": "stick",
        "possible": [
          "needed"
        ],
        "decided": [],
        "outranked": [],
        "overruled": [],
        "for_fitter": false,
        "near_edge": false
      },
      {
        "about": "stick flex",
        "possible": [
          "35 to 45 flex",
          "60 to 75 flex"
        ],
        "decided": [
          "flex_chart"
        ],
        "outranked": [],
        "overruled": [],
        "for_fitter": false,
        "near_edge": false
      },
      {
        "about": "neck_guard",
        "possible": [
          "needed"
        ],
        "decided": [
          "young_neck"
        ],
        "outranked": [],
        "overruled": [],
        "for_fitter": false,
        "near_edge": false
      }
    ],
    "quote": null
  }
}
)");
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
        "written in form 99, this lacestay reads form 1.\n");
  (void)shop.said("reopen other.daybook --forget 1");
  CHECK(shop.said("reopen other.daybook 1").find("\nWhat it held was erased on ") != std::string::npos);
}

TEST_CASE("an entry that a newer lacestay wrote is shown as it was recorded, or said to be newer, and is in order") {
  const Shop shop;
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
  const std::string form_2 = "it is written in form 2, this lacestay reads form 1";
  const json says_more = {{"format", 2}, {"weather", "wet"}};
  const auto recorded = edited(edited(as_ever, "quote: 0", "quote: 0, as recorded, " + form_2), "advice: 0",
                               "advice: 0, as recorded, " + form_2);
  CHECK(opened("", says_more) == recorded);
  CHECK(opened(other_form, says_more) == recorded);
  const auto text = without_times(shop.said("reopen other.daybook 5"));
  CHECK(text.substr(text.find("This")) ==
        R"(This is as it was recorded, and was not worked out again: it is written in form 2, this lacestay
reads form 1. That is no fault of the entry; a lacestay that reads that form works it out again.

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
  const Shop shop;
  (void)shop.said("advise shop.fitting --daybook d.daybook " + a_child);
  const auto opened = [&](const std::string& document, const std::string& sql) {
    written_again(shop, document);
    REQUIRE(run_program({"sqlite3", "other.daybook", sql}, {.folder = shop.folder()}).code == 0);
    const auto ran = shop.run("reopen other.daybook 1 --json");
    const auto said = json::parse(ran.out);
    return fmt::format("{} {} {}", ran.code, said["altered"].dump(), said["why_not"].get<std::string>());
  };
  const std::string unsealed = "the policy it rests on can't be unsealed: ";
  const auto form_99 = unsealed + "it is written in form 99, this lacestay reads form 1";
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

TEST_CASE("a sale is on record beside its quote") {
  const Shop shop;
  (void)shop.said("quote shop.fitting --stock stock --daybook d.daybook --take " + a_child);
  CHECK(without_times(shop.said("reopen d.daybook")) ==
        "     2  TIME sold                   sale 1\n"
        "     1  TIME a quote                2 items, 43.90 GBP; age 9 years, weight 38 kg\n");
  CHECK(without_times(shop.said("reopen d.daybook 1")).find("  sold       sale 1, TIME \n") != std::string::npos);
  CHECK(shop.said("reopen d.daybook 2").find("Sale 1 was taken from the stock.\n") != std::string::npos);
  CHECK(shop.said("reopen d.daybook 1 --handed-over 'stick ST-2' --by Sam --why nicer")
            .find("where stick needed (ST-1 in the quote) was advised") != std::string::npos);
}

TEST_CASE("a sale given back is on record beside the quote it was of") {
  const Shop shop;
  (void)shop.said("quote shop.fitting --stock stock --daybook d.daybook --take " + a_child);
  (void)shop.said("quote shop.fitting --stock stock --daybook d.daybook --take " + a_child);
  const std::string give_back = "quote --stock stock --give-back ";
  CHECK(shop.said(give_back + "2 --daybook d.daybook").find("\nEntry 5 of the daybook says so beside entry 3.\n") !=
        std::string::npos);
  CHECK(
      without_times(shop.said("reopen d.daybook")).find("     5  TIME given back             sale 2\n     4  TIME ") ==
      0);
  const auto text = without_times(shop.said("reopen d.daybook 3"));
  CHECK(text.find("  sold       sale 2, TIME \n  given back sale 2, TIME \n") != std::string::npos);
  CHECK(shop.said("reopen d.daybook 1").find("given back") == std::string::npos);
  CHECK(shop.said("reopen d.daybook 5").find("Sale 2 was given back to the stock.\n") != std::string::npos);
  CHECK(json::parse(shop.said("reopen d.daybook 3 --json"))["given_back"].size() == 1);
  CHECK(json::parse(shop.said("reopen d.daybook 5 --json"))["kind"] == "given_back");
  CHECK(shop.said("reopen d.daybook --summary").substr(0, 48) == "Advices 0, quotes 2, sales 2, given back 1\n\nRule");
  CHECK(shop.said("reopen d.daybook --verify").substr(0, 46) == "5 entries hold, from the first to the last.\nTh");
  // From the environment too; and a sale the daybook knows nothing of.
  CHECK(shop.run(give_back + "1", "LACESTAY_DAYBOOK=d.daybook").out.find("Entry 6 of the daybook") !=
        std::string::npos);
  (void)shop.said("quote shop.fitting --stock stock --take " + a_child);
  CHECK(shop.said(give_back + "3 --daybook d.daybook")
            .find("The daybook has no sale 3 of that time, so nothing is put beside one.\n") != std::string::npos);
  (void)shop.said("quote shop.fitting --stock stock --daybook d.daybook --take " + a_child);
  // Where the daybook can't be looked into, nothing is given back.
  const auto stock = shop.read("stock/stick.csv") + shop.read("stock/sales.csv");
  const auto lost = shop.run(give_back + "4 --daybook gone.daybook");
  CHECK(lost.code == 3);
  CHECK(lost.err.find("daybook-1: There is no daybook '") == 0);
  CHECK(shop.read("stock/stick.csv") + shop.read("stock/sales.csv") == stock);
  // Erasing the quote takes what stands beside it along.
  (void)shop.said("reopen d.daybook --forget 3");
  CHECK(shop.said("reopen d.daybook 5").find("was erased on") != std::string::npos);
}

TEST_CASE("where the entry of a sale was altered, nothing is given back") {
  const std::vector<std::string> contents = {
      "3", "[1]", "{\"at\": 3}", "\"x\"", "null", "not JSON", "", "{\"at\":\"x\",\"format\":1,\"sale\":1}"};
  for (const auto& content : contents) {
    const Shop shop;
    (void)shop.said("quote shop.fitting --stock stock --daybook d.daybook --take " + a_child);
    const auto alter = "UPDATE entry SET content = '" + content + "' WHERE kind = 'sold'";
    REQUIRE(run_program({"sqlite3", "d.daybook", alter}, {.folder = shop.folder()}).code == 0);
    const auto before = shop.read("stock/stick.csv") + shop.read("stock/neck_guard.csv") + shop.read("stock/sales.csv");
    const auto ran = shop.run("quote --stock stock --give-back 1 --daybook d.daybook");
    INFO(content);
    CHECK(ran.out == "");
    CHECK(ran.err ==
          "Sale 1 is not given back, as the daybook is not as it was written (entry 2: its content was altered).\n"
          "  Try: look with lacestay reopen d.daybook --verify; without a daybook, the stock is put right all the "
          "same.\n");
    CHECK(ran.code == 1);
    CHECK(shop.read("stock/stick.csv") + shop.read("stock/neck_guard.csv") + shop.read("stock/sales.csv") == before);
    CHECK(shop.run("reopen d.daybook 2").out.find("NOT AS IT WAS WRITTEN: entry 2: its content was altered.") !=
          std::string::npos);
    // The stock alone can be put right.
    CHECK(shop.said("quote --stock stock --give-back 1").find("Sale 1 is given back to the stock:\n") == 0);
  }
}

TEST_CASE("of many players each is on record, in order, with its entry beside its advice") {
  const Shop shop;
  shop.write("many.jsonl", "{\"age\":9,\"weight\":\"38 kg\"}\n{\"age\":\"nine\"}\n{\"age\":40,\"weight\":\"90 kg\"}\n");
  const auto ran = shop.run("advise shop.fitting --daybook d.daybook --many many.jsonl");
  CHECK(ran.code == 2);  // the second line
  std::istringstream lines(ran.out);
  std::vector<json> all;
  for (std::string line; std::getline(lines, line);) all.push_back(json::parse(line));
  REQUIRE(all.size() == 3);
  CHECK(all[0]["advice"]["entry"]["number"] == 1);
  CHECK(all[2]["advice"]["entry"]["number"] == 2);
  CHECK(json::parse(shop.said("reopen d.daybook 2 --json"))["advice"] == all[2]["advice"]);
}

TEST_CASE("days are the shop's own") {
  const Shop shop;
  // Some hours are another day there, whichever day it is.
  for (const auto* zone : {"TZ=Pacific/Kiritimati", "TZ=Pacific/Pago_Pago"}) {
    CHECK(shop.run("advise shop.fitting --daybook d.daybook age=9 weight='38 kg'", zone).code == 0);
    const auto day = shop.run("reopen d.daybook", zone).out.substr(8, 10);
    CHECK(shop.run("reopen d.daybook --day " + day, zone).out.find("an advice") != std::string::npos);
  }
}

TEST_CASE("what is written about somebody is one line of plain text") {
  const Shop shop;
  CHECK(shop.run("advise shop.fitting --daybook d.daybook --served-by \"$(printf 'a\\nb')\" " + a_child).err ==
        "--served-by takes one line of plain text.\n");
  CHECK_FALSE(fs::exists(shop.folder() / "d.daybook"));
}

TEST_CASE("the owner's summary") {
  const Shop shop;
  for (const auto* weight : {"38 kg", "39.95 kg", "60 kg"})
    (void)shop.said(fmt::format("advise shop.fitting --daybook d.daybook age=9 weight='{}' --on 2026-10-03", weight));
  (void)shop.said("reopen d.daybook 3 --handed-over 'stick flex 50 flex' --by Sam --why light");
  const auto text = shop.said("reopen d.daybook --summary");
  golden("reopen/summary.txt", text);
  CHECK(shop.said("reopen d.daybook --summary --csv s.csv") == "s.csv is written.\n");
  CHECK(shop.read("s.csv") ==
        "what,name,times,entries\nrule decided,flex_chart,3,\nrule outranked,flex_chart,0,\nrule "
        "overruled,flex_chart,0,\nrule decided,young_neck,3,\n"
        "rule outranked,young_neck,0,\nrule overruled,young_neck,0,\nwithin a step of an edge,stick flex,1,2\nhanded "
        "over otherwise,stick flex,1,4\n");
}

TEST_CASE("the sqlite3 program reads the file, and finds it sound") {
  const Shop shop;
  (void)shop.said("advise shop.fitting --daybook d.daybook " + a_child);
  const auto asked = [&](const std::string& sql) {
    return run_program({"sqlite3", "-readonly", "d.daybook", sql}, {.folder = shop.folder()}).out;
  };
  CHECK(asked("PRAGMA integrity_check") == "ok\n");
  CHECK(asked("PRAGMA application_id") == "1281450853\n");
  CHECK(asked("SELECT number, kind FROM entry") == "1|advice\n");
  CHECK(asked("SELECT json_extract(content, '$.details[1].text') FROM entry") == "38 kg\n");
}

TEST_CASE("options that don't go together, and files that are no daybook") {
  const Shop shop;
  (void)shop.said("advise shop.fitting --daybook d.daybook " + a_child);
  const auto refused = [&](const std::string& words) {
    const auto ran = shop.run(words);
    CHECK(ran.out == "");
    return fmt::format("{}: {}", ran.code, ran.err);
  };
  CHECK(refused("reopen") == "2: Which daybook? Write: lacestay reopen DAYBOOK [ENTRY]\n");
  CHECK(refused("reopen ''") == "3: daybook-1: '' names no file.\n  Try: name one, as in: --daybook shop.daybook.\n");
  CHECK(refused("reopen d.daybook 1 --json --html x") == "2: --html does not go with --json.\n");
  CHECK(refused("reopen d.daybook 1 --on 2026-10-03").substr(0, 28) == "2: --on is the day of --unde");
  CHECK(refused("reopen d.daybook --verify --rule x") == "2: --rule does not go with --verify.\n");
  CHECK(refused("reopen d.daybook 1 --rule x") == "2: --rule does not go with showing an entry.\n");
  CHECK(refused("reopen d.daybook --under x") == "2: --under does not go with listing entries.\n");
  CHECK(refused("reopen d.daybook 1 --verify") == "2: --verify stands without an entry before it.\n");
  CHECK(refused("reopen d.daybook --handed-over x --by y --why z") ==
        "2: --handed-over wants an entry: lacestay reopen DAYBOOK ENTRY --handed-over ...\n");
  CHECK(refused("reopen d.daybook abc") ==
        "2: 'abc' is no entry: write its number, or 12 digits or more of its hash.\n");
  CHECK(
      refused("reopen shop.fitting") ==
      fmt::format("3: daybook-2: '{}/shop.fitting' is no daybook, but a file of another program. It is left as it is.\n"
                  "  Try: name another file.\n",
                  shop.folder().string()));
  CHECK(refused("advise shop.fitting --daybook shop.fitting " + a_child).substr(0, 13) == "3: daybook-2:");
  CHECK(shop.read("shop.fitting") == policy_text);
}

}  // namespace
