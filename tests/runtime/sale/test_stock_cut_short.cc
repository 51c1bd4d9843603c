// Changes cut short: at every step, twice over; at random moments; and with a spreadsheet saving at every step.
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <csignal>
#include <set>
#include <sstream>
#include <thread>

#include "runtime/sale/file_set.hpp"
#include "tests/reference/draw.hpp"
#include "tests/support/process.hpp"
#include "tests/support/settings.hpp"
#include "tests/support/shop/shop.hpp"

namespace {

using namespace lacestay::tests;
using namespace lacestay::runtime;

const std::string heading = "sale,day,file,item,make,model,price,change\n";
const Files three_files = {{"helmets.csv", "item;on hand;note\r\nH1;1;\r\n"},
                           {"sales.csv", heading},
                           {"skates.csv", "item,on hand,note\nS1,3,\nS2,2,\n"},
                           {"sticks.csv", "item,on hand,note\nT1,5,\n"}};
const std::vector<SoldItem> two_items = {{"skates.csv", "S1", "M", "m", "0.01"},
                                         {"helmets.csv", "H1", "M", "m", "0.01"}};
// The files of that sale, in its order.
const std::vector<std::string> touched = {"skates.csv", "helmets.csv", "sales.csv"};

// Something done at the n-th step, from 0.
using AtSteps = std::map<int, std::function<void()>>;

StockManner doing(const AtSteps& at_steps, bool exchange) {
  StockManner manner;
  manner.exchange = exchange;
  manner.reached = [at_steps, step = 0](std::string_view) mutable {
    const auto found = at_steps.find(step++);
    if (found != at_steps.end()) found->second();
  };
  return manner;
}

std::string take_two(const Shop& shop, const StockManner& manner) {
  return told(take(shop.path(), shop.quoted(), two_items, tea_time, manner));
}

Files after_two() {
  const Shop shop(three_files);
  take_two(shop, {});
  return shop.files();
}

TEST_CASE("ended at any step, and ended again at any step of the settling, a change is whole or nothing") {
  const auto after = after_two();
  for (const bool exchange : {true, false}) {
    int ends = 0, finished = 0;
    for (int first = 0, first_ended = 1; first_ended; ++first) {
      for (int second = 0, second_ended = 1; second_ended; ++second) {
        const Shop shop(three_files);
        first_ended = !run([&] { take_two(shop, doing({{first, die}}, exchange)); });
        second_ended = !run([&] { static_cast<void>(settle(shop.path(), doing({{second, die}}, exchange))); });
        INFO(first << " " << second);
        const auto text = told(settle(shop.path()));
        const auto files = shop.files();
        REQUIRE((files == three_files || files == after));
        CHECK((text.empty() || text == "A change that had been cut short is finished now: sale 1."));
        if (!first_ended) CHECK(files == after);
        ++ends;
        finished += files == after;
        // And the next sale goes through.
        CHECK(take_two(shop, {}).substr(0, files == after ? 7 : 5) == (files == after ? "sale-7:" : "sale "));
      }
    }
    CHECK(ends > 60);
    CHECK(finished > 30);
  }
}

TEST_CASE("a first sale cut short leaves an empty record at most") {
  auto before = three_files;
  before.erase("sales.csv");
  const auto after = after_two();
  for (int step = 0, ended = 1; ended; ++step) {
    const Shop shop(before);
    ended = !run([&] { take_two(shop, doing({{step, die}}, true)); });
    CHECK(told(settle(shop.path())).rfind("sale-", 0) != 0);
    const auto files = shop.files();
    INFO(step);
    CHECK((files == before || files == three_files || files == after));
  }
}

// A file as someone has it after an edit of what it holds now, or of what it held before the sale.
std::string edited(const std::string& bytes, int times) { return bytes + "edited " + std::to_string(times) + ",,\n"; }

struct Outcome {
  std::map<std::string, std::string> saved;  // what was last saved in each edited file
  std::string says;                          // to whoever sold, or, where that ended, to who settled
  bool died = false;
};

// No edit is lost; what was not edited is all before the sale or all after it, or is told. Nothing is undone when what
// was edited had the sale in it.
void judge(const Shop& shop, const Outcome& outcome, const Files& after) {
  auto files = shop.files();
  INFO(outcome.says);
  for (const auto& [name, bytes] : outcome.saved) {
    const bool kept = files.at(name) == bytes;
    CHECK(kept);
    const bool undone = outcome.says.rfind("sale-4", 0) == 0 || outcome.says.find(" is undone") != std::string::npos;
    if (bytes.rfind(after.at(name), 0) == 0) CHECK(!undone);
  }
  const bool by_hand = outcome.says.rfind("sale-12", 0) == 0;
  std::set<bool> sides;
  for (const auto& [name, bytes] : files) {
    if (name.rfind("cut-short-sale-1", 0) == 0 || name.rfind("saved-before-", 0) == 0) {
      CHECK(by_hand);
      CHECK(outcome.says.find(name) != std::string::npos);
      continue;
    }
    REQUIRE(after.count(name) == 1);
    if (outcome.saved.count(name) == 1 || name == "sticks.csv") continue;
    const bool sold = bytes == after.at(name);
    CHECK((sold || bytes == three_files.at(name)));
    sides.insert(sold);
  }
  CHECK(sides.size() <= 1);
  if (outcome.died || sides.empty()) return;
  if (outcome.says.rfind("sale 1:", 0) == 0) CHECK(*sides.begin());
  if (outcome.says.rfind("sale-4:", 0) == 0) CHECK(!*sides.begin());
  if (by_hand) CHECK(*sides.begin());
}

TEST_CASE("a spreadsheet saves at any step: its edit stays, and the sale is whole, nothing, or told") {
  const auto after = after_two();
  std::map<std::string, int> says;
  for (const bool exchange : {true, false})
    for (const auto how : {Saving::renamed, Saving::in_place})
      for (const bool reloaded : {true, false})
        for (const auto& name : touched)
          for (const bool dies : {false, true})
            for (int step = 0; step < 24; ++step) {
              const Shop shop(three_files);
              const auto edit = edited(reloaded ? "" : three_files.at(name), 1);
              Outcome outcome;
              // What was saved is told by a file outside of the shop, as the process may die.
              const Shop notes(Files{});
              const auto work = [&] {
                const auto saving = [&] {
                  const auto bytes = reloaded ? shop.text(name) + edit : edit;
                  save(shop / name, bytes, how);
                  save(notes / "saved", bytes);
                  if (dies) die();
                };
                save(notes / "says", take_two(shop, doing({{step, saving}}, exchange)));
              };
              outcome.died = !run(work);
              const auto noted = notes.files();
              if (noted.count("saved") == 0) continue;
              outcome.saved[name] = noted.at("saved");
              outcome.says = outcome.died ? told(settle(shop.path(), doing({}, exchange))) : noted.at("says");
              INFO(exchange << " " << int(how) << " " << reloaded << " " << name << " " << dies << " " << step);
              judge(shop, outcome, after);
              ++says[outcome.says.substr(0, 7)];
              CHECK(told(settle(shop.path())).empty());
            }
  for (const char* one : {"sale 1:", "sale-4:", "sale-12", "A chang"}) CHECK(says[one] > 5);
}

TEST_CASE("two files are saved at any two steps") {
  const auto after = after_two();
  std::map<std::string, int> says;
  for (const auto& one : touched)
    for (const auto& other : touched)
      for (int step = 3; step < 16; ++step)
        for (int later = step + 1; later < 18; ++later)
          for (const bool dies : {false, true}) {
            const Shop shop(three_files), notes(Files{});
            const auto saving = [&](const std::string& name, int times) {
              const auto bytes = edited(shop.text(name), times);
              save(shop / name, bytes);
              save(notes / name, bytes);
            };
            Outcome outcome;
            outcome.died = !run([&] {
              const AtSteps steps = {{step, [&] { saving(one, 1); }}, {later, [&] {
                                                                         saving(other, 2);
                                                                         if (dies) die();
                                                                       }}};
              save(notes / "says", take_two(shop, doing(steps, true)));
            });
            outcome.saved = notes.files();
            outcome.saved.erase("says");
            outcome.says = outcome.died ? told(settle(shop.path())) : notes.text("says");
            INFO(one << " " << other << " " << step << " " << later << " " << dies);
            judge(shop, outcome, after);
            ++says[outcome.says.substr(0, 7)];
          }
  for (const char* one : {"sale 1:", "sale-4:", "sale-12", "A chang"}) CHECK(says[one] > 5);
}

TEST_CASE("what is told when a spreadsheet saves in the very moment, or after a crash") {
  const auto edit = "item,on hand,note\nS1,3,edited\nS2,2,\n";
  {
    const Shop shop(three_files);
    const AtSteps steps = {{6, [&] { save(shop / "helmets.csv", edit); }}};
    CHECK(take_two(shop, doing(steps, true)) ==
          "sale-4: 'helmets.csv' was saved in this very moment; nothing else is changed.\n  Try: quote again.\n");
    auto expected = three_files;
    expected["helmets.csv"] = edit;
    CHECK(shop.files() == expected);
  }
  {
    const Shop shop(three_files);
    run([&] { take_two(shop, doing({{4, die}}, true)); });
    save(shop / "skates.csv", edit);
    CHECK(told(settle(shop.path())) ==
          "A change that had been cut short is undone: sale 1. 'skates.csv' was saved since.");
    auto expected = three_files;
    expected["skates.csv"] = edit;
    CHECK(shop.files() == expected);
  }
  {
    // The skates are edited after their count fell, the helmets before theirs would have.
    const Shop shop(three_files);
    run([&] { take_two(shop, doing({{8, die}}, true)); });
    save(shop / "skates.csv", "item,on hand,note\nS1,2,edited\n");
    save(shop / "helmets.csv", "item;on hand;note\r\nH1;1;edited\r\n");
    CHECK(told(settle(shop.path())) ==
          "sale-12: Sale 1 was cut short, and 'helmets.csv' was saved meanwhile, so that it is left to do by hand: "
          "'helmets.csv' should have item 'H1': 0 on hand (1 before).\n"
          "  Try: put that right in the spreadsheet, then delete 'cut-short-sale-1.txt', which says the same.\n");
    const auto files = shop.files();
    CHECK(files.at("skates.csv") == "item,on hand,note\nS1,2,edited\n");
    CHECK(files.at("helmets.csv") == "item;on hand;note\r\nH1;1;edited\r\n");
    CHECK(files.at("sales.csv") == after_two().at("sales.csv"));
    CHECK(files.size() == three_files.size() + 1);
    const auto& kept = files.at("cut-short-sale-1.txt");
    CHECK(kept.find(",item 'H1': 0 on hand (1 before)\n") != std::string::npos);
    CHECK(kept.find(",\"at its end: 1,2026-03-14T16:05:09Z,skates.csv,S1,M,m,0.01,-1\n") != std::string::npos);
  }
  {
    // Saved in the very moment, then the crash, then saved again by someone who knows nothing of that.
    const Shop shop(three_files);
    run([&] { take_two(shop, doing({{6, [&] { save(shop / "skates.csv", edit); }}, {7, die}}, true)); });
    save(shop / "skates.csv", "item,on hand,note\nS1,2,again\n");
    CHECK(told(settle(shop.path())) ==
          "sale-12: Sale 1 was cut short, and 'skates.csv' was saved meanwhile, so that it is left to do by hand: "
          "'skates.csv' should have item 'S1': 2 on hand (3 before); what was saved before is in "
          "'saved-before-skates.csv.txt'.\n"
          "  Try: put that right in the spreadsheet, then delete 'cut-short-sale-1.txt', which says the same.\n");
    auto expected = after_two();
    expected["skates.csv"] = "item,on hand,note\nS1,2,again\n";
    expected["saved-before-skates.csv.txt"] = edit;
    expected["cut-short-sale-1.txt"] = shop.text("cut-short-sale-1.txt");
    CHECK(shop.files() == expected);
  }
  {
    const Shop shop(three_files);
    save(shop / ".stock.journal", "file,before,after,by hand\nskates.csv,1,2,x\n");
    CHECK(told(settle(shop.path())) ==
          "sale-12: A change to the stock was cut short, and what it was can't be read any more.\n"
          "  Try: compare the last lines of the sales record with the counts; then delete 'cut-short.txt'.\n");
    CHECK(told(settle(shop.path())).empty());
  }
}

// Runs as the owner of the shop's folder, who is no superuser: nobody forbids a superuser anything.
std::string as_owner(const Shop& shop, const std::vector<std::string>& not_his,
                     const std::function<std::string()>& work) {
  constexpr uid_t someone = 65534;
  const Shop notes(Files{});
  if (::geteuid() == 0) {
    for (const auto& [name, bytes] : shop.files())
      if (std::count(not_his.begin(), not_his.end(), name) == 0)
        REQUIRE(::chown((shop / name).c_str(), someone, someone) == 0);
    if (not_his.empty()) REQUIRE(::chown(shop.path().c_str(), someone, someone) == 0);
    REQUIRE(::chown(notes.path().c_str(), someone, someone) == 0);
  }
  run([&] {
    if (::geteuid() == 0 && ::setuid(someone) != 0) die();
    save(notes / "says", work());
  });
  return notes.text("says");
}

TEST_CASE("a disk that fails once the change counts: undone, or ended later") {
  if (::geteuid() == 0) {
    // In a folder where everyone may write, but only replace what is his own. The second file is somebody else's.
    const Shop shop(three_files);
    REQUIRE(::chmod(shop.path().c_str(), 01777) == 0);
    REQUIRE(::chmod((shop / "helmets.csv").c_str(), 0666) == 0);
    CHECK(as_owner(shop, {"helmets.csv"}, [&] { return take_two(shop, {}); }) ==
          "sale-11: 'helmets.csv' can't be written: Operation not permitted.\n"
          "  Try: let this user write the folder and its files, then try again.\n");
    CHECK(shop.files() == three_files);
  }
  // The folder becomes read-only after the first file's change.
  const Shop shop(three_files);
  const auto lock_up = [&] { ::chmod(shop.path().c_str(), 0500); };
  CHECK(as_owner(shop, {},
                 [&] {
                   return take_two(shop, doing({{7, lock_up}}, true));
                 }) ==
        "sale-13: Sale 1 is begun and not ended: 'skates.csv' can't be written: Permission denied.\n"
        "  Try: let this user write the folder and its files, then try again; it is ended by itself when the stock is "
        "next read.\n");
  REQUIRE(::chmod(shop.path().c_str(), 0700) == 0);
  CHECK(told(settle(shop.path())) == "A change that had been cut short is finished now: sale 1.");
  CHECK(shop.files() == after_two());
}

// A shop of three files, one of them long, each item counted by a number that never runs out.
const std::vector<std::string> counted_files = {"a.csv", "b.csv", "c.csv"};
constexpr std::int64_t plenty = 1'000'000;

Files large_shop() {
  Files files;
  for (const auto& name : counted_files) {
    files[name] = "item,on hand,note\n";
    for (int i = 0; i < (name == "b.csv" ? 1'000 : 3); ++i)
      files[name] += fmt::format("{},{},a note that takes some room\n", i, plenty);
  }
  return files;
}

std::vector<std::string> cells_of(const std::string& line) {
  std::vector<std::string> cells;
  std::istringstream in(line);
  for (std::string cell; std::getline(in, cell, ',');) cells.push_back(cell);
  return cells;
}

std::vector<std::vector<std::string>> rows_of(const std::string& text) {
  std::vector<std::vector<std::string>> rows;
  std::istringstream in(text);
  std::string line;
  std::getline(in, line);
  while (std::getline(in, line)) rows.push_back(cells_of(line));
  return rows;
}

// Sells three items at a time, or gives a sale back, until it is killed. Says the number of each sale that it has been
// told is through, and of each that is given back: "number\n".
int sell_on(const Shop& shop, std::uint64_t seed, const Forked::Say& say) {
  lacestay::naive::Draw draw(seed);
  std::vector<std::int64_t> open;
  while (true) {
    std::int64_t sale = 0;
    if (!open.empty() && draw.between(1, 3) == 1) {
      const auto at = open.begin() + static_cast<std::ptrdiff_t>(draw.place(open.size()));
      sale = *at;
      open.erase(at);
      if (!give_back(shop.path(), sale, tea_time)) return 1;
    } else {
      std::vector<SoldItem> items;
      for (int i = 0; i < 3; ++i)
        items.push_back({draw.pick(counted_files), std::to_string(draw.between(0, 2)), "M", "m", "0.01"});
      const auto sold = take(shop.path(), shop.quoted(), items, tea_time);
      if (!sold) return 1;
      sale = sold->sale;
      open.push_back(sale);
    }
    say(fmt::format("{}\n", sale));
  }
}

// How long a sale takes here, in microseconds; disks differ by a hundredfold.
std::int64_t microseconds_a_sale(Shop::On where) {
  const Shop shop(large_shop(), where);
  const auto begin = std::chrono::steady_clock::now();
  constexpr int sales = 8;
  for (int i = 0; i < sales; ++i) CHECK(take(shop.path(), shop.quoted(), {{"b.csv", "1", "M", "m", "0.01"}}, tea_time));
  const auto time = std::chrono::steady_clock::now() - begin;
  return std::chrono::duration_cast<std::chrono::microseconds>(time).count() / sales;
}

void kill_tills(int kills, Shop::On where) {
  const Shop shop(large_shop(), where);
  auto longest = 4 * microseconds_a_sale(where);
  constexpr std::uint64_t seed = 20260314;
  lacestay::naive::Draw draw(seed);
  std::map<std::int64_t, int> told_lines;  // by sale, how many lines it must have: 3 sold, and 3 given back
  int in_the_middle = 0, finished = 0;
  const auto begin = std::chrono::steady_clock::now();
  const auto enough = [&] {
    return told_lines.size() > static_cast<std::size_t>(kills) / 8 && in_the_middle > kills / 10 && finished > 0;
  };
  // What a busy machine lets a till do in its time is chance: it is killed again until all has been met often enough.
  int kill = 0;
  for (; kill < kills || (kill < 10 * kills && !enough()); ++kill) {
    Forked till([&](const Forked::Say& say) { return sell_on(shop, seed + static_cast<std::uint64_t>(kill), say); });
    std::this_thread::sleep_for(std::chrono::microseconds(draw.between(0, longest - 1)));
    const auto ran = till.killed();
    REQUIRE(ran.signal == SIGKILL);  // it had not ended by itself
    std::istringstream said(ran.out.substr(0, ran.out.rfind('\n') + 1));
    for (std::int64_t sale = 0; said >> sale;) told_lines[sale] += 3;
    // A till that shares its processor takes longer than one alone did: then each has longer, till enough get through.
    if (told_lines.size() * 4 < static_cast<std::size_t>(kill)) longest += longest / 16 + 1;

    in_the_middle += something_left(ShopFolder(shop.path(), {}));
    const auto text = told(settle(shop.path()));
    REQUIRE((text.empty() || text.find("finished now") != std::string::npos));
    finished += !text.empty();

    const auto files = shop.files();
    std::map<std::pair<std::string, std::string>, std::int64_t> counts;
    std::map<std::int64_t, int> lines;
    if (files.count("sales.csv") == 1)
      for (const auto& cells : rows_of(files.at("sales.csv"))) {
        counts[{cells[2], cells[3]}] += std::stoi(cells[7]);
        ++lines[std::stoll(cells[0])];
      }
    bool right = files.size() <= counted_files.size() + 1;
    for (const auto& name : counted_files)
      for (const auto& cells : rows_of(files.at(name)))
        if (std::stoll(cells[1]) != plenty + counts[{name, cells[0]}]) right = false;
    for (const auto& [sale, count] : lines)
      if (count != 3 && count != 6) right = false;
    for (const auto& [sale, count] : told_lines)
      if (lines[sale] < count) right = false;
    REQUIRE(right);
  }
  const auto seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
  fmt::print("{} kills in {:.1f} s: {} sales told, {} cut short, {} of those finished after it\n", kill, seconds,
             told_lines.size(), in_the_middle, finished);
  CHECK(enough());
}

TEST_CASE("killed at random moments, no sale is half done and none that was told is missing") {
  kill_tills(whole() ? 3'000 : 300, Shop::On::memory);
  kill_tills(whole() ? 200 : 40, Shop::On::disk);
}

}  // namespace
