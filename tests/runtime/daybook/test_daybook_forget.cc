// What is erased is gone from every byte of the folder, and the chain still holds and says so.
#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <set>
#include <unordered_map>

#include "compiler/values/days.hpp"
#include "compiler/values/quantity.hpp"
#include "tests/reference/draw.hpp"
#include "tests/support/shop/day.hpp"

namespace {

using namespace lacestay::runtime;
using namespace lacestay::tests;
using lacestay::naive::Draw;
using Open = Daybook::Open;

// Letters that stand nowhere else.
std::string distinctive(Draw& draw) {
  std::string text = "Q";
  for (int i = 0; i < 15; ++i) text += static_cast<char>(draw.between('a', 'z'));
  return text;
}

// An entry whose every part is made of distinctive words; `bulk` makes it longer than a page of the file.
NewEntry telling_entry(const std::string& policy, std::vector<std::string>& words, Draw& draw, int bulk) {
  const auto word = [&] { return words.emplace_back(distinctive(draw)); };
  auto entry = some_entry(policy, 3);
  entry.content = fmt::format(R"({{"weight":"{}")", word());
  entry.content += fmt::format(R"(,"head":"{}")", word());
  for (int i = 0; i < bulk; ++i) entry.content += fmt::format(R"(,"d{}":"{}")", i, word());
  entry.content += R"(,"shelves":[]})";
  entry.items = {word(), word()};
  entry.shelves = {word() + std::string(static_cast<std::size_t>(bulk) * 40, '.')};
  return entry;
}

// How many of them are there, or a half of them: a long content lies on several pages, and one may begin in a word.
std::size_t found_in(const std::string& bytes, const std::vector<std::string>& words) {
  constexpr std::size_t half = 8;
  std::unordered_map<std::string_view, std::size_t> halves;
  for (std::size_t i = 0; i < words.size(); ++i)
    for (const std::size_t from : {std::size_t{0}, half})
      halves.emplace(std::string_view(words[i]).substr(from, half), i);
  std::set<std::size_t> found;
  for (std::size_t at = 0; at + half <= bytes.size(); ++at)
    if (const auto there = halves.find(std::string_view(bytes).substr(at, half)); there != halves.end())
      found.insert(there->second);
  return found.size();
}

TEST_CASE("what is forgotten is in no byte of the file, its journal or anything beside it") {
  Draw draw(20261129);
  for (const int bulk : {0, 3, 60, 1000}) {
    const Day day;
    std::vector<std::string> to_go, to_stay;
    Daybook daybook(day.path(), Open::create);
    Daybook other(day.path(), Open::create);  // a till beside it
    const auto policy = keep_some_policy(daybook);
    std::int64_t last = 0;
    for (int i = 1; i <= 300; ++i) {
      const bool goes = i % 10 == 0;
      const auto entry = telling_entry(policy, goes ? to_go : to_stay, draw, i % 3 == 0 ? bulk : bulk / 7);
      last = (i % 2 == 0 ? daybook : other).append(entry, at_nine(i)).number;
    }
    // And beside one of them what was handed over.
    NewEntry beside;
    beside.kind = EntryKind::handed_over;
    beside.policy = policy;
    beside.about = 20;
    beside.content = fmt::format(R"({{"what":"{}"}})", to_go.emplace_back(distinctive(draw)));
    const auto handed = daybook.append(beside, at_nine(301)).number;
    REQUIRE(found_in(all_bytes(day.folder()), to_go) == to_go.size());

    for (std::int64_t number = 10; number <= 300; number += 10) {
      const auto made = daybook.forget(number, "asked for", at_nine(400 + number));
      REQUIRE(made);
      CHECK(made->number == ++last + 1);  // after the one handed over
    }
    const auto bytes = all_bytes(day.folder());
    CHECK(found_in(bytes, to_go) == 0);
    CHECK(found_in(bytes, to_stay) == to_stay.size());
    const auto result = daybook.verify();
    CHECK(result.faults.empty());
    CHECK(result.erased == 31);
    CHECK_FALSE(daybook.entry(10)->content);
    CHECK_FALSE(daybook.entry(handed)->content);
    CHECK(daybook.entry(handed + 2)->content == R"({"erased":[20,301],"format":1,"why":"asked for"})");
    // Once more says that it was gone already.
    CHECK_FALSE(daybook.forget(10, "asked for", at_nine()));
    // Nothing leads to it any more.
    Sought sought;
    sought.item = to_go[2];
    CHECK(daybook.find(sought).empty());
    CHECK(trouble_of([&] { (void)daybook.forget(9999, "", at_nine()); }) ==
          "daybook-8: The daybook has no entry 9999.");
    CHECK(trouble_of([&] { (void)daybook.forget(handed + 1, "", at_nine()); }) ==
          fmt::format("daybook-8: Entry {} records an erasure, and holds nothing of anybody.", handed + 1));
  }
}

TEST_CASE("what is older than a day is forgotten in one go") {
  Draw draw(7);
  const Day day;
  std::vector<std::string> to_go, to_stay;
  Daybook daybook(day.path(), Open::create);
  const auto policy = keep_some_policy(daybook);
  constexpr std::int64_t a_day = 86'400'000;
  for (int i = 0; i < 40; ++i)
    (void)daybook.append(telling_entry(policy, i < 25 ? to_go : to_stay, draw, 20), at_nine(i * a_day));
  const Moment sixteenth{std::chrono::days(lacestay::compiler::day_number(2026, 9, 16))};
  // 22 August and 25 days: what was written on 15 September is the last to go.
  const auto erased = daybook.forget_before(sixteenth, "older than 15 days", at_nine(40 * a_day));
  CHECK(erased.size() == 25);
  const auto bytes = all_bytes(day.folder());
  CHECK(found_in(bytes, to_go) == 0);
  CHECK(found_in(bytes, to_stay) == to_stay.size());
  CHECK(daybook.verify().erased == 25);
  CHECK(daybook.entries() == 41);
  CHECK(daybook.forget_before(sixteenth, "older than 15 days", at_nine(40 * a_day)).empty());
  CHECK(daybook.entries() == 41);
}

TEST_CASE("a shelf that another quote chose from too stays") {
  const Day day;
  Daybook daybook(day.path(), Open::create);
  const auto policy = keep_some_policy(daybook);
  for (int i = 0; i < 2; ++i) (void)daybook.append(some_entry(policy, 3), at_nine());
  (void)daybook.forget(1, "asked for", at_nine());
  CHECK(daybook.verify().faults.empty());
  (void)daybook.forget(2, "asked for", at_nine());
  CHECK(Database(day.path(), Database::Open::write).number("SELECT count(*) FROM shelf") == 0);
}

TEST_CASE("where another program reads, it is said that old bytes may be left, and the next call ends it") {
  Draw draw(8);
  const Day day;
  std::vector<std::string> words;
  Daybook daybook(day.path(), Open::create, std::chrono::milliseconds(200));
  const auto policy = keep_some_policy(daybook);
  (void)daybook.append(telling_entry(policy, words, draw, 20), at_nine());
  {
    Database reader(day.path(), Database::Open::write);
    Transaction look(reader, Transaction::Kind::read);
    CHECK(reader.number("SELECT count(*) FROM entry") == 1);
    CHECK(trouble_of([&] { (void)daybook.forget(1, "asked for", at_nine()); }).substr(0, 90) ==
          fmt::format("daybook-9: It is erased, but another program is reading the daybook '{}'", day.path())
              .substr(0, 90));
  }
  CHECK_FALSE(daybook.forget(1, "asked for", at_nine()));
  CHECK(found_in(all_bytes(day.folder()), words) == 0);
  CHECK(daybook.verify().faults.empty());
}

}  // namespace
