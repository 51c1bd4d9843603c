// The daybook through the command line: an advice and a quote on record, opened again after the policy has changed and
// the stock is gone, held to another policy, found and forgotten.
#include <fmt/format.h>

#include <nlohmann/json.hpp>
#include <sstream>

#include "tests/runtime/reopen/recording_shop.hpp"
#include "tests/support/golden.hpp"
#include "tests/support/places.hpp"
#include "tests/support/schema_check.hpp"
#include "tests/support/shop/day.hpp"

namespace {

namespace fs = std::filesystem;
using namespace lacestay::tests;
using nlohmann::json;

TEST_CASE("nothing is recorded unless it is asked for") {
  const RecordingShop shop;
  (void)shop.said("advise shop.fitting " + a_child);
  CHECK_FALSE(fs::exists(shop.folder() / "d.daybook"));
  CHECK(shop.run("advise shop.fitting --served-by Sam " + a_child).err ==
        "--served-by is for the daybook: name one with --daybook FILE.\n");
  CHECK(shop.run("advise shop.fitting " + a_child, "LACESTAY_DAYBOOK=d.daybook").code == 0);
  CHECK(without_times(shop.said("reopen d.daybook")) ==
        "     1  TIME an advice              2 pieces needed; age 9 years, weight 38 kg\n");
}

TEST_CASE("opened again after the policy has changed and the stock is gone, it is the same to the last byte") {
  const RecordingShop shop;
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

TEST_CASE("a quote by lines for some players, and what they ask of an item, opens again from what it was chosen from") {
  const RecordingShop shop;
  shop.write(
      "shop.fitting",
      edited(policy_text, "accept stick with flex within advised\n",
             "accept stick with flex within advised, made at most 4 years before today, price at most 30 GBP for age "
             "under 12\naccept stick with condition new for age at least 12\n"));
  shop.write("stock/stick.csv",
             "item,make,model,price,on hand,flex (flex),condition,made\nST-1,Fennimoor,Ash,19.95,2,40,new,2022-10-02\n"
             "ST-2,Lowmarch,Elm,24.95,1,40,used,2022-10-03\nST-3,Lowmarch,Elm,31,1,40,new,2026-01-01\n");
  const auto quoted = json::parse(shop.said("quote shop.fitting --stock stock --daybook d.daybook --json " + a_child));
  CHECK(quoted["lines"][0]["item"]["number"] == "ST-2");
  CHECK(quoted["lines"][0]["accepted_for"] == "age under 12 years");
  CHECK_FALSE(quoted["lines"][1].contains("accepted_for"));
  fs::remove_all(shop.folder() / "stock");
  const auto again = json::parse(shop.said("reopen d.daybook 1 --json"));
  CHECK(again["same_bytes"] == true);
  CHECK(again["quote"] == quoted);
}

TEST_CASE("a quote of pieces that go together, or of which one gives way, opens again from what it was chosen from") {
  const RecordingShop shop;
  shop.write("shop.fitting", policy_text + "neck_guard goes with stick\n");
  const auto quote = [&](const std::string& goes_with) {
    shop.write(
        "stock/neck_guard.csv",
        "item,make,model,price,on hand,condition,goes with\nNG-1,Fennimoor,Anvil,23.95,4,new," + goes_with + "\n");
    return json::parse(shop.run("quote shop.fitting --stock stock --daybook d.daybook --json " + a_child).out);
  };
  const auto paired = quote("Lowmarch / ST-9"), apart = quote("Harrowgill");
  CHECK(paired["lines"][0]["item"]["number"] == "ST-2");
  CHECK(paired["lines"][1]["goes_with"][0]["number"] == "ST-2");
  CHECK(apart["lines"].size() == 1);
  CHECK(apart["not_quoted"][0]["why"] == "none in stock as advised that goes with the stick");
  CHECK(apart["not_quoted"][0]["near"] == json{"NG-1 Fennimoor Anvil: it goes with Harrowgill"});
  fs::remove_all(shop.folder() / "stock");
  for (const auto* number : {"1", "2"}) {
    const auto again = json::parse(shop.said(std::string("reopen d.daybook ") + number + " --json"));
    CHECK(again["same_bytes"] == true);
    CHECK(again["quote"] == (*number == '1' ? paired : apart));
  }
}

TEST_CASE("a player whom the policy has nobody like is fitted by hand, and it is on record") {
  const RecordingShop shop;
  shop.write("shop.fitting", policy_text + "nobody has age under 10, weight over 60 kg \"Weigh again.\"\n");
  const std::string kim = "age=9 weight='61 kg' --owns neck_guard ";
  const auto refused = shop.run("advise shop.fitting " + kim);
  CHECK(refused.code == 2);
  CHECK(refused.err.find("advise --by-hand keeps it on record") != std::string::npos);
  const auto by_hand = "advise shop.fitting " + kim + "--on 2026-10-03 --by-hand 'Stick, 60 flex' ";
  struct Row {
    std::string words, said;
  };
  const Row rows[] = {
      {by_hand, "Say what, by whom and why: --by-hand \"boots size 3, helmet small\" --by NAME --why \"...\"\n"},
      {by_hand + "--by Sam --why 'he is strong'", "--by-hand is for the daybook: name one with --daybook FILE.\n"},
      {"advise shop.fitting age=9 weight='61 kg' --by-hand 'skates 3' --by Sam --why so --daybook d.daybook",
       "Nothing is recorded: 'skates 3' names no piece of that policy; there are stick and neck_guard.\n"},
      {"advise shop.fitting age=9 weight='59 kg' --by-hand 'stick' --by Sam --why so --daybook d.daybook",
       "The policy advises players like that, so nothing is recorded.\n  Try: record the advice with --daybook, and "
       "beside "
       "it what was given instead: lacestay reopen DAYBOOK ENTRY --handed-over WHAT --by NAME --why TEXT.\n"},
      {"advise shop.fitting age=9 weight='61 kg' --by Sam", "--by goes with --by-hand.\n"}};
  for (const auto& row : rows) {
    INFO(row.words);
    const auto ran = shop.run(row.words);
    CHECK(ran.code == 2);
    CHECK(ran.err == row.said);
  }
  CHECK(shop.said(by_hand + "--by Sam --why 'he is strong for nine' --daybook d.daybook")
            .rfind("Entry 1 records who was fitted by hand.\n\nTold\n", 0) == 0);
  const auto seal = std::regex("sealed [0-9a-f]{12}");
  golden("reopen/by_hand.txt", std::regex_replace(without_times(shop.said("reopen d.daybook 1")), seal, "sealed SEAL"));
  CHECK(shop.said("reopen d.daybook").find("Stick, 60 flex; Sam") != std::string::npos);
  CHECK(shop.said("reopen d.daybook --piece stick").find("Stick, 60 flex; Sam") != std::string::npos);
  CHECK(shop.said("reopen d.daybook --summary").rfind("Advices 0, quotes 0, fitted by hand 1, sales 0\n", 0) == 0);
  const auto opened = json::parse(shop.said("reopen d.daybook 1 --json"));
  const auto published = json::parse(bytes_of(in_checkout("runtime/reopen/reopened.schema.json")));
  CHECK(schema_faults(published, opened) == std::vector<std::string>{});
  CHECK(opened["kind"] == "by_hand");
  CHECK(opened["by_hand"]["nobody"] == json::array({"Weigh again."}));
  CHECK(opened["by_hand"]["details"][1] == json{{"detail", "weight"}, {"value", "61 kg"}});
  CHECK(shop.said("reopen d.daybook --verify").rfind("1 entry holds, from the first to the last.\n", 0) == 0);
  (void)shop.said("reopen d.daybook --forget 1");
  CHECK(shop.said("reopen d.daybook 1").find("Sam") == std::string::npos);
}

TEST_CASE("what an entry says, whole") {
  const RecordingShop shop;
  (void)shop.said("quote shop.fitting --stock stock --daybook d.daybook --served-by 'Sam T.' " + a_child);
  auto text = without_times(shop.said("reopen d.daybook 1"));
  const auto seal = text.find("(sealed ");
  REQUIRE(seal != text.npos);
  text.replace(seal + 8, 12, "SEAL");
  golden("reopen/entry.txt", text);
}

TEST_CASE("an advice reopens whoever cannot be today; the edition that has nobody like that says so in its own words") {
  const RecordingShop shop;
  (void)shop.said("advise shop.fitting --daybook d.daybook " + a_child);
  shop.write("shop.fitting", policy_text + "nobody has age under 10, weight under 39 kg \"Weigh again.\"\n");
  CHECK(shop.said("reopen d.daybook 1").find("the same answer, to the last byte") != std::string::npos);
  const auto text = shop.said("reopen d.daybook 1 --under shop.fitting --on 2026-11-01");
  CHECK(text.substr(text.find("\nUnder")) ==
        "\nUnder Corner shop, edition 1 (shop.fitting), on 1 November 2026\n  it has nobody like that: Weigh again.\n");
  const auto under = json::parse(shop.said("reopen d.daybook 1 --under shop.fitting --on 2026-11-01 --json"))["under"];
  CHECK(under["nobody"] == json::array({"Weigh again."}));
  CHECK(under["changes"].empty());
}

TEST_CASE("under another policy: what it would say, and which rules make the difference") {
  const RecordingShop shop;
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

TEST_CASE("found by day, piece, rule and item") {
  const RecordingShop shop;
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
  const RecordingShop shop;
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
  const RecordingShop shop;
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

TEST_CASE("of many players each is on record, in order, with its entry beside its advice") {
  const RecordingShop shop;
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
  const RecordingShop shop;
  // Some hours are another day there, whichever day it is.
  for (const auto* zone : {"TZ=Pacific/Kiritimati", "TZ=Pacific/Pago_Pago"}) {
    CHECK(shop.run("advise shop.fitting --daybook d.daybook age=9 weight='38 kg'", zone).code == 0);
    const auto day = shop.run("reopen d.daybook", zone).out.substr(8, 10);
    CHECK(shop.run("reopen d.daybook --day " + day, zone).out.find("an advice") != std::string::npos);
  }
}

TEST_CASE("what is written about somebody is one line of plain text") {
  const RecordingShop shop;
  CHECK(shop.run("advise shop.fitting --daybook d.daybook --served-by \"$(printf 'a\\nb')\" " + a_child).err ==
        "--served-by takes one line of plain text.\n");
  CHECK_FALSE(fs::exists(shop.folder() / "d.daybook"));
}

TEST_CASE("the owner's summary") {
  const RecordingShop shop;
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
  const RecordingShop shop;
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
  const RecordingShop shop;
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
