// The content of an entry, put out of shape in every place: it is told, and nothing is thrown.
#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include "runtime/advice/json.hpp"
#include "runtime/reopen/reopened.hpp"
#include "runtime/reopen/summary.hpp"
#include "tests/support/program_folder.hpp"

namespace {

using namespace lacestay;
using namespace lacestay::runtime;
using nlohmann::json;

const std::string policy_text = R"(policy "Corner shop"
edition 1, in force from 1 September 2026
money GBP
ask weight 12 to 180 kg
piece stick always "Stick"
  flex  band 20 to 110 flex step 5 flex "Flex"
chart flex_chart gives stick flex
  down weight
    under 40 kg:  35 to 45 flex
    the rest:     60 to 75 flex
accept stick with flex within advised
)";

// A daybook with an entry of each kind, in a folder of its own.
class Recorded {
 public:
  Recorded() {
    folder_.write("shop.fitting", policy_text);
    std::filesystem::create_directory(folder_.folder() / "stock");
    folder_.write("stock/stick.csv", "item,make,model,price,on hand,flex (flex)\nST-1,Fennimoor,Ash,19.95,2,40\n");
    for (const auto* words :
         {"advise shop.fitting weight='38 kg' --on 2026-10-03 --daybook d.daybook --served-by Sam",
          "quote shop.fitting weight='38 kg' --on 2026-10-03 --daybook d.daybook --stock stock --take",
          "reopen d.daybook 2 --handed-over 'stick flex 50 flex' --by Sam --why strong",
          "quote --stock stock --give-back 1 --daybook d.daybook",
          "advise shop.fitting weight='50 kg' --daybook d.daybook", "reopen d.daybook --forget 6"}) {
      const auto ran = folder_.run(words);
      INFO(words << "\n" << ran.err);
      REQUIRE(ran.code == 0);
    }
  }

  [[nodiscard]] std::string path() const { return (folder_.folder() / "d.daybook").string(); }

  void put(std::int64_t entry, const std::string& content) const {
    Database database(path(), Database::Open::write);
    database.statement("UPDATE entry SET content = ? WHERE number = ?").with(content).with(entry).run();
  }

 private:
  tests::ProgramFolder folder_;
};

// The places of every value in it, itself first.
void places_in(const json& value, const json::json_pointer& here, std::vector<json::json_pointer>& all) {
  all.push_back(here);
  if (value.is_object())
    for (const auto& [key, inner] : value.items()) places_in(inner, here / key, all);
  if (value.is_array())
    for (std::size_t i = 0; i < value.size(); ++i) places_in(value[i], here / i, all);
}

// It with one value replaced, or left out.
std::vector<std::string> altered(const std::string& content) {
  const auto whole = json::parse(content);
  const std::vector<json> others = {
      nullptr, 3, -1, 1e300, "x", "", true, json::array(), {{"at", 3}}, std::numeric_limits<std::uint64_t>::max()};
  std::vector<std::string> all = {"", "not JSON", std::string(100'000, '['), "\xFF\xFE"};
  std::vector<json::json_pointer> places;
  places_in(whole, json::json_pointer(), places);
  for (const auto& place : places) {
    for (const auto& other : others) {
      auto made = whole;
      made[place] = other;
      if (made != whole) all.push_back(made.dump());
    }
    if (place.empty()) continue;
    auto made = whole;
    auto& holder = made[place.parent_pointer()];
    holder.is_array() ? holder.erase(static_cast<std::size_t>(std::stoul(place.back())))
                      : (void)holder.erase(place.back());
    all.push_back(made.dump());
  }
  return all;
}

TEST_CASE("an entry whose content is out of shape is told to be altered, and nothing is thrown") {
  const Recorded recorded;
  std::map<std::string, std::size_t> kinds;
  std::int64_t entries = 0;
  {
    Daybook daybook(recorded.path(), Daybook::Open::read);
    entries = daybook.entries();
    REQUIRE(daybook.verify().faults.empty());
  }
  for (std::int64_t number = 1; number <= entries; ++number) {
    const auto entry = *Daybook(recorded.path(), Daybook::Open::read).entry(number);
    if (!entry.content) continue;
    for (const auto& content : altered(*entry.content)) {
      INFO(number << ", a " << word_of(entry.kind) << ": " << content.substr(0, 2000));
      recorded.put(number, content);
      Daybook daybook(recorded.path(), Daybook::Open::read);
      const auto opened = reopen(daybook, daybook.entry(number).value());
      CHECK_FALSE(opened.altered.empty());
      CHECK_FALSE(opened.in_order());
      CHECK(text_of(opened).find("NOT AS IT WAS WRITTEN") != std::string::npos);
      CHECK(json::accept(json_text(json_of(opened))));
      (void)page_of(opened);
      (void)gist_of(opened.entry);
      (void)text_of(summary_of(daybook, {}));
      CHECK_FALSE(daybook.verify().faults.empty());
      // A sale that was altered could be any.
      CHECK(static_cast<bool>(recorded_sales(daybook, 1)) == (entry.kind != EntryKind::sold));
      ++kinds[word_of(entry.kind)];
    }
    recorded.put(number, *entry.content);
  }
  // Every kind was met, in many shapes.
  CHECK(kinds.size() == 6);
  for (const auto& [kind, times] : kinds) CHECK(times > 20);
}

}  // namespace
