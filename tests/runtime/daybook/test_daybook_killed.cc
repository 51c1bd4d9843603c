// Writers killed at random moments, one and three at once: what was acknowledged is there, the chain holds, and the
// file is sound.
#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <csignal>
#include <iostream>
#include <sstream>
#include <thread>

#include "tests/reference/draw.hpp"
#include "tests/support/process.hpp"
#include "tests/support/shop/day.hpp"

namespace {

using namespace lacestay::runtime;
using namespace lacestay::tests;

// Opens the daybook, or makes it, and appends until it is killed; says what it was acknowledged: "number hash\n" each.
Forked writer(const std::string& path, int first) {
  return Forked([&](const Forked::Say& say) -> int {
    Daybook daybook(path, Daybook::Open::create);
    const auto policy = keep_some_policy(daybook);
    for (int i = first;; ++i) {
      const auto made = daybook.append(some_entry(policy, i), this_moment());
      say(fmt::format("{} {}\n", made.number, made.hash));
    }
  });
}

// Kills it; what it was acknowledged.
std::vector<EntryReference> end_writer(Forked& writer) {
  const auto ran = writer.killed();
  CHECK(ran.signal == SIGKILL);  // it had not ended by itself
  std::vector<EntryReference> all;
  std::istringstream lines(ran.out.substr(0, ran.out.rfind('\n') + 1));
  for (EntryReference each; lines >> each.number >> each.hash;) all.push_back(each);
  return all;
}

void run_kills(int kills, int writers_at_once, std::uint64_t seed) {
  lacestay::naive::Draw draw(seed);
  constexpr int kills_a_daybook = 25;
  std::size_t acknowledged_in_all = 0, entries_in_all = 0;
  int done = 0;
  // How far a writer gets before it is killed is chance, on a busy machine more so: they are killed until enough got
  // far.
  const auto enough = [&] { return acknowledged_in_all > static_cast<std::size_t>(kills); };
  while (done < kills || (done < 10 * kills && !enough())) {
    const Day day;
    std::vector<EntryReference> acknowledged;
    for (int round = 0; round < kills_a_daybook; round += writers_at_once) {
      std::vector<Forked> writers;
      for (int i = 0; i < writers_at_once; ++i)
        writers.push_back(writer(day.path(), static_cast<int>(draw.between(0, 999))));
      // Some are killed while they open the file, or make it.
      std::this_thread::sleep_for(std::chrono::microseconds(draw.between(0, 24'999)));
      for (auto& each : writers) {
        const auto more = end_writer(each);
        acknowledged.insert(acknowledged.end(), more.begin(), more.end());
        ++done;
      }
      std::error_code none_yet;
      if (!std::filesystem::exists(day.path(), none_yet)) continue;
      Daybook daybook(day.path(), Daybook::Open::create);
      const auto result = daybook.verify();
      REQUIRE(result.faults.empty());
      for (const auto& each : acknowledged) {
        const auto there = daybook.entry(each.number);
        REQUIRE(there);
        REQUIRE(there->hash == each.hash);
      }
      Database base(day.path(), Database::Open::write);
      REQUIRE(base.text("PRAGMA integrity_check") == "ok");
      REQUIRE(base.number("SELECT count(*) FROM pragma_foreign_key_check") == 0);
      // And it can go on.
      const auto policy = keep_some_policy(daybook);
      acknowledged.push_back(daybook.append(some_entry(policy, 1), this_moment()));
    }
    acknowledged_in_all += acknowledged.size();
    if (std::filesystem::exists(day.path()))
      entries_in_all += static_cast<std::size_t>(Daybook(day.path(), Daybook::Open::read).entries());
  }
  std::cout << done << " kills with " << writers_at_once << " at once: " << acknowledged_in_all << " acknowledged, "
            << entries_in_all << " there\n";
  CHECK(done >= kills);
  CHECK(enough());
}

TEST_CASE("one writer, killed at random moments") { run_kills(300, 1, 20261129); }
TEST_CASE("three writers at once, killed at random moments") { run_kills(300, 3, 20261130); }

}  // namespace
