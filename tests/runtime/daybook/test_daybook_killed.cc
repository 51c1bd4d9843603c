// Writers killed at random moments, one and three at once: what was acknowledged is there, the chain holds, and the
// file is sound.
#include <fmt/format.h>
#include <poll.h>
#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <catch2/catch.hpp>
#include <iostream>
#include <random>
#include <sstream>
#include <thread>

#include "tests/support/shop/day.hpp"

namespace {

using namespace lacestay::runtime;
using namespace lacestay::tests;

struct Writer {
  pid_t process = 0;
  int pipe = -1;  // what it acknowledged: "number hash\n" each
};

// Opens the daybook, or makes it, and appends until it is killed.
Writer start_writer(const std::string& path, int seed) {
  std::array<int, 2> ends{};
  REQUIRE(::pipe(ends.data()) == 0);
  Writer writer;
  writer.process = ::fork();
  if (writer.process == 0) {
    ::close(ends[0]);
    try {
      Daybook daybook(path, Daybook::Open::create);
      const auto policy = keep_some_policy(daybook);
      for (int i = seed;; ++i) {
        const auto made = daybook.append(some_entry(policy, i), this_moment());
        const auto line = fmt::format("{} {}\n", made.number, made.hash);
        if (::write(ends[1], line.data(), line.size()) < 0) break;
      }
    } catch (const lacestay::Error& error) {
      std::cerr << render(error.problem());
      ::_exit(1);
    }
    ::_exit(2);
  }
  ::close(ends[1]);
  writer.pipe = ends[0];
  return writer;
}

// Kills it; what it acknowledged.
std::vector<EntryReference> end_writer(const Writer& writer) {
  ::kill(writer.process, SIGKILL);
  int status = 0;
  ::waitpid(writer.process, &status, 0);
  CHECK(WIFSIGNALED(status));  // it had not ended by itself
  std::string text;
  std::array<char, 4096> some{};
  for (ssize_t got = 0; (got = ::read(writer.pipe, some.data(), some.size())) > 0;)
    text.append(some.data(), static_cast<std::size_t>(got));
  ::close(writer.pipe);
  std::vector<EntryReference> all;
  std::istringstream lines(text.substr(0, text.rfind('\n') + 1));
  for (EntryReference each; lines >> each.number >> each.hash;) all.push_back(each);
  return all;
}

void run_kills(int kills, int writers_at_once, unsigned seed) {
  std::mt19937 random(seed);
  constexpr int kills_a_daybook = 25;
  std::size_t acknowledged_in_all = 0, entries_in_all = 0;
  int done = 0;
  while (done < kills) {
    const Day day;
    std::vector<EntryReference> acknowledged;
    for (int round = 0; round < kills_a_daybook && done < kills; round += writers_at_once) {
      std::vector<Writer> writers;
      for (int i = 0; i < writers_at_once; ++i)
        writers.push_back(start_writer(day.path(), static_cast<int>(random() % 1000)));
      // Some are killed while they open the file, or make it.
      std::this_thread::sleep_for(std::chrono::microseconds(random() % 25'000));
      for (const auto& writer : writers) {
        const auto more = end_writer(writer);
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
  CHECK(acknowledged_in_all > static_cast<std::size_t>(kills));
}

TEST_CASE("one writer, killed at random moments") { run_kills(300, 1, 20261129); }
TEST_CASE("three writers at once, killed at random moments") { run_kills(300, 3, 20261130); }

}  // namespace
