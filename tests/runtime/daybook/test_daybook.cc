// The record by itself: what is put in comes out, is found, and holds; what was altered is found out.
#include <fcntl.h>
#include <fmt/format.h>
#include <sched.h>
#include <signal.h>
#include <sys/mount.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

#include <catch2/catch.hpp>
#include <fstream>
#include <iostream>
#include <set>

#include "compiler/values/days.hpp"
#include "compiler/values/quantity.hpp"
#include "runtime/daybook/chain.hpp"
#include "tests/reference/draw.hpp"
#include "tests/support/process.hpp"
#include "tests/support/shop/day.hpp"

namespace {

using namespace lacestay::runtime;
using namespace lacestay::tests;
namespace fs = std::filesystem;
using Open = Daybook::Open;

std::string filled(const Day& day, int entries) {
  Daybook daybook(day.path(), Open::create);
  const auto policy = keep_some_policy(daybook);
  for (int i = 1; i <= entries; ++i) (void)daybook.append(some_entry(policy, i), at_nine(i * 60'000));
  return policy;
}

std::string first_fault(const Day& day) {
  const auto result = Daybook(day.path(), Open::read).verify();
  return result.faults.empty() ? "" : fmt::format("{}: {}", result.faults.front().number, result.faults.front().what);
}

void alter(const Day& day, const char* sql) {
  Database base(day.path(), Database::Open::write);
  base.run(sql);
}

Moment at_midnight(int year, int month, int day) {
  return Moment{std::chrono::days(lacestay::compiler::day_number(year, month, day))};
}

TEST_CASE("moments are written as ISO 8601 has them, in UTC") {
  CHECK(written(at_nine(62'007)) == "2026-08-22T09:01:02.007Z");
}

TEST_CASE("what is put in comes out again, and the file is its maker's alone") {
  const Day day;
  const auto policy = filled(day, 7);
  struct stat status {};
  REQUIRE(::stat(day.path().c_str(), &status) == 0);
  CHECK((status.st_mode & 0777) == 0600);
  Daybook daybook(day.path(), Open::read);
  CHECK(daybook.entries() == 7);
  const auto entry = daybook.entry(3);
  REQUIRE(entry);
  CHECK(entry->number == 3);
  CHECK(entry->at == "2026-08-22T09:03:00.000Z");
  CHECK(entry->kind == EntryKind::quote);
  CHECK(entry->policy == policy);
  CHECK(entry->stock == std::string(64, 'c'));
  CHECK_FALSE(entry->about);
  CHECK(entry->content == some_entry(policy, 3).content);
  CHECK(entry->hash.size() == 64);
  CHECK_FALSE(daybook.entry(8));
  CHECK(daybook.entry_of_hash(entry->hash.substr(0, 16))->number == 3);
  CHECK_FALSE(daybook.entry_of_hash(std::string(64, '0')));
  const auto kept = daybook.policy(policy);
  REQUIRE(kept);
  CHECK(kept->document == R"({"a":"policy"})");
  CHECK(kept->edition == 3);
  CHECK(first_fault(day) == "");
}

TEST_CASE("entries are found by day, name and item, newest first") {
  const Day day;
  filled(day, 2000);  // a minute apart: from 09:01 of one day to 18:20 of the next
  Daybook daybook(day.path(), Open::read);
  const auto naive = [&](const std::function<bool(int)>& is) {
    std::vector<std::int64_t> all;
    for (int i = 2000; i > 0; --i)
      if (is(i)) all.push_back(i);
    return all;
  };
  Sought sought;
  CHECK(daybook.find(sought) == naive([](int) { return true; }));
  sought.most = 5;
  CHECK(daybook.find(sought) == std::vector<std::int64_t>{2000, 1999, 1998, 1997, 1996});
  sought = {};
  sought.names = {"rule rule_7"};
  CHECK(daybook.find(sought) == naive([](int i) { return i % 40 == 7; }));
  sought.names = {"rule rule_7", "rule other_3", "piece skates"};
  CHECK(daybook.find(sought) == naive([](int i) { return i % 40 == 7 && i % 7 == 3; }));
  sought.names = {"rule rule_7", "rule nobody_knows"};
  CHECK(daybook.find(sought).empty());
  sought = {};
  sought.item = "SK-9";
  CHECK(daybook.find(sought) == naive([](int i) { return i % 500 == 9 && i % 3 == 0; }));
  sought.names = {"rule other_2"};
  CHECK(daybook.find(sought) == naive([](int i) { return i % 500 == 9 && i % 3 == 0 && i % 7 == 2; }));
  sought = {};
  sought.from = at_midnight(2026, 8, 23);
  CHECK(daybook.find(sought) == naive([](int i) { return i >= 900; }));  // 15 hours after nine
  sought.before = at_midnight(2026, 8, 24);
  CHECK(daybook.find(sought) == naive([](int i) { return i >= 900; }));
  sought.from.reset();
  sought.before = at_midnight(2026, 8, 23);
  sought.names = {"rule rule_7"};
  sought.most = 3;
  CHECK(daybook.find(sought) == std::vector<std::int64_t>{887, 847, 807});
}

TEST_CASE("the hash of an entry is the published one") {
  // The bytes hashed are written down in runtime/daybook/tables.md; the SHA-256 is from coreutils' sha256sum.
  EntryHead head;
  head.number = 1;
  head.at = "2026-08-22T09:00:00.000Z";
  head.kind = "advice";
  head.content_hash = hash_of_content("salt", "content");
  head.previous = hash_before_first("00");
  const auto sum = [](const std::string& bytes) {
    return run_program({"sha256sum"}, {.input = bytes}).out.substr(0, 64);
  };
  CHECK(head.previous == sum("lacestay daybook 00"));
  CHECK(head.content_hash == sum("saltcontent"));
  CHECK(hash_of(head) == sum(fmt::format(R"({{"about":null,"at":"2026-08-22T09:00:00.000Z","content":"{}",)"
                                         R"("kind":"advice","number":1,"policy":null,"previous":"{}","stock":null}})",
                                         head.content_hash, head.previous)));
}

TEST_CASE("an altered, dropped, swapped or repeated entry is found, and the first is named") {
  const auto fault_after = [](const char* sql) {
    const Day day;
    filled(day, 9);
    REQUIRE(first_fault(day) == "");
    alter(day, sql);
    return first_fault(day);
  };
  CHECK(fault_after("UPDATE entry SET at = '2026-08-22T09:05:00.001Z' WHERE number = 5") == "5: it was altered");
  CHECK(fault_after("UPDATE entry SET kind = 'quote' WHERE number = 5") == "5: it was altered");
  CHECK(fault_after("UPDATE entry SET policy = NULL WHERE number = 5") == "5: it was altered");
  CHECK(fault_after("UPDATE entry SET stock = 'x' WHERE number = 6") == "6: it was altered");
  CHECK(fault_after("UPDATE entry SET about = 2 WHERE number = 6") == "6: it was altered");
  CHECK(fault_after("UPDATE entry SET content = replace(content, 'kg', 'lb') WHERE number = 5") ==
        "5: its content was altered");
  CHECK(fault_after("UPDATE entry SET salt = randomblob(32) WHERE number = 5") == "5: its content was altered");
  CHECK(fault_after("UPDATE entry SET content = NULL WHERE number = 5") == "5: its content was altered");
  CHECK(fault_after("UPDATE entry SET content = NULL, salt = NULL WHERE number = 5") ==
        "5: its content is gone, and no entry says that it was erased");
  CHECK(fault_after("UPDATE sealed_policy SET document = '{}'") ==
        "1: the policy it rests on was altered, or is not there");
  CHECK(fault_after("UPDATE shelf SET items = '[]' WHERE id = 2") ==
        "6: what it chose from was altered, or is not there");
  CHECK(fault_after("PRAGMA foreign_keys = OFF; DELETE FROM shelf") ==
        "3: what it chose from was altered, or is not there");
  CHECK(fault_after("PRAGMA foreign_keys = OFF; DELETE FROM entry WHERE number = 5") == "5: it is missing");
  CHECK(fault_after("PRAGMA foreign_keys = OFF; DELETE FROM entry WHERE number = 1") == "1: it is missing");
  CHECK(fault_after("PRAGMA foreign_keys = OFF; DELETE FROM entry WHERE number = 5;"
                    "UPDATE entry SET number = number - 1 WHERE number > 5") == "5: it was altered");
  CHECK(fault_after("PRAGMA foreign_keys = OFF; UPDATE entry SET number = 99 WHERE number = 5;"
                    "UPDATE entry SET number = 5 WHERE number = 6; UPDATE entry SET number = 6 WHERE number = 99") ==
        "5: it was altered");
  // Another first digit, whatever it was: no two entries may have one hash, and hashes differ by the run.
  CHECK(
      fault_after("INSERT INTO entry SELECT 10, at, kind, policy, stock, about, content, salt, content_hash, previous,"
                  " CASE substr(hash, 1, 1) WHEN 'a' THEN 'b' ELSE 'a' END || substr(hash, 2)"
                  " FROM entry WHERE number = 4") == "10: it was altered");
  CHECK(fault_after("UPDATE daybook SET value = '00'") ==
        "1: it does not follow the entry before it: one was altered, dropped or put elsewhere");
  // Whole entries of another daybook, hash and all, without its shelves and with them.
  const Day one, other;
  filled(one, 5);
  filled(other, 9);
  alter(one, fmt::format("ATTACH '{}' AS other; PRAGMA foreign_keys = OFF;"
                         "INSERT INTO entry SELECT * FROM other.entry WHERE number > 5",
                         other.path())
                 .c_str());
  CHECK(first_fault(one) == "6: what it chose from was altered, or is not there");
  alter(one, fmt::format("ATTACH '{}' AS other; INSERT OR IGNORE INTO shelf (sha256, items) "
                         "SELECT sha256, items FROM other.shelf",
                         other.path())
                 .c_str());
  CHECK(first_fault(one) == "6: it does not follow the entry before it: one was altered, dropped or put elsewhere");
}

TEST_CASE("each single byte changed of an entry among ten thousand is found") {
  const Day day;
  filled(day, 10'000);
  lacestay::naive::Draw draw(20261129);
  std::vector<std::int64_t> numbers(10'000);
  for (std::size_t i = 0; i < numbers.size(); ++i) numbers[i] = static_cast<std::int64_t>(i) + 1;
  draw.shuffle(numbers);
  numbers.resize(1'000);
  std::set<std::int64_t> changed(numbers.begin(), numbers.end());
  {
    Database base(day.path(), Database::Open::write);
    Transaction change(base, Transaction::Kind::write);
    const std::vector<std::string> columns = {"at",   "kind",         "stock",    "content",
                                              "salt", "content_hash", "previous", "hash"};
    for (const auto number : changed) {
      std::string column;
      std::string bytes;
      do {
        column = draw.pick(columns);
        auto asked = base.statement(fmt::format("SELECT CAST({} AS BLOB) FROM entry WHERE number = ?", column));
        REQUIRE(asked.with(number).next());
        bytes = asked.bytes(0);
      } while (bytes.empty());
      auto& byte = bytes[draw.place(bytes.size())];
      const auto was = byte;
      while (byte == was) byte = static_cast<char>(draw.between(0, 255));
      auto put = base.statement(
          fmt::format("UPDATE entry SET {} = {} WHERE number = ?", column, column == "salt" ? "?" : "CAST(? AS TEXT)"));
      put.with_bytes(bytes).with(number).run();
    }
    change.keep();
  }
  const auto result = Daybook(day.path(), Open::read).verify(20'000);
  std::set<std::int64_t> found;
  for (const auto& fault : result.faults) found.insert(fault.number);
  std::size_t missed = 0;
  for (const auto number : changed) missed += found.count(number) == 0;
  CHECK(missed == 0);
  CHECK(result.faults.front().number == *changed.begin());
  // Beside those, only an entry whose predecessor's hash was changed is told of.
  for (const auto number : found) CHECK((changed.count(number) != 0 || changed.count(number - 1) != 0));
}

TEST_CASE("a file of another program, and one of a later lacestay, are told of and left as they are") {
  const Day day;
  const auto untouched = [&](const std::string& name, const std::string& bytes, const std::string& says) {
    const auto path = day / name;
    std::ofstream(path, std::ios::binary) << bytes;
    for (const auto open : {Open::create, Open::write, Open::read})
      CHECK(trouble_of([&] { Daybook(path, open); }) == fmt::format(fmt::runtime(says), path));
    std::stringstream now;
    now << std::ifstream(path, std::ios::binary).rdbuf();
    CHECK(now.str() == bytes);
  };
  untouched("letter.txt", std::string(5000, 'x'),
            "daybook-2: '{}' is no daybook, but a file of another program. It is left as it is.");
  untouched("short.txt", "x", "daybook-2: '{}' is no daybook, but a file of another program. It is left as it is.");
  {
    std::ofstream(day.folder() / "other.db");
    Database base(day / "other.db", Database::Open::write);
    base.run("CREATE TABLE stuff (a); INSERT INTO stuff VALUES (1)");
  }
  const auto bytes = all_bytes(day.folder());
  CHECK(trouble_of([&] { Daybook(day / "other.db", Open::create); }) ==
        fmt::format("daybook-2: '{}' is no daybook, but a file of another program. It is left as it is.",
                    day / "other.db"));
  CHECK(all_bytes(day.folder()) == bytes);
  CHECK(trouble_of([&] { Daybook(day.folder().string(), Open::create); }).substr(0, 10) == "daybook-2:");
  CHECK(trouble_of([&] { Daybook(day / "none", Open::read); }) ==
        fmt::format("daybook-1: There is no daybook '{}'.", day / "none"));
  CHECK(trouble_of([&] { Daybook(day / "no/such", Open::create); }) ==
        fmt::format("daybook-1: The daybook '{}' can't be made: No such file or directory.", day / "no/such"));

  const Day later;
  filled(later, 2);
  alter(later, "PRAGMA user_version = 2");
  const auto as_it_was = all_bytes(later.folder());
  for (const auto open : {Open::create, Open::write, Open::read})
    CHECK(
        trouble_of([&] { Daybook(later.path(), open); }) ==
        fmt::format("daybook-3: The daybook '{}' was made by a later lacestay: its form is 2, and this one reads form "
                    "1. It is left as it is.",
                    later.path()));
  CHECK(all_bytes(later.folder()) == as_it_was);
}

TEST_CASE("a file that may not be written is read, and not written") {
  const Day day;
  const auto policy = filled(day, 5);
  ::chmod(day.path().c_str(), 0444);
  ::chmod(day.folder().c_str(), 0555);
  Forked till([&] {
    // Root may write what it likes.
    if (::getuid() == 0 && ::setresuid(65534, 65534, 65534) != 0) return 2;
    const auto told = trouble_of([&] {
      Daybook daybook(day.path(), Open::create);
      (void)daybook.append(some_entry(policy, 6), at_nine());
    });
    if (told != "daybook-4: The daybook '" + day.path() + "' can't be written: it is read-only here.") {
      std::cerr << told << "\n";
      return 3;
    }
    return Daybook(day.path(), Open::read).verify().entries == 5 ? 0 : 4;
  });
  const int code = till.ended().code;
  ::chmod(day.folder().c_str(), 0755);
  CHECK(code == 0);
  CHECK(first_fault(day) == "");
}

// Appends until it can't; how it was told, and how many are on record then.
int fill_up(const std::string& path, const std::string& code, const std::string& policy) {
  std::int64_t recorded = 0;
  std::string told;
  try {
    Daybook daybook(path, Open::create);
    const auto kept = policy.empty() ? keep_some_policy(daybook) : policy;
    for (int i = 1; i < 100'000; ++i) {
      recorded = daybook.append(some_entry(kept, i), at_nine()).number;
    }
  } catch (const lacestay::Error& error) {
    told = error.problem().code;
  }
  if (told.rfind(code, 0) != 0) {
    std::cerr << "told: " << told << "\n";
    return 3;
  }
  const auto result = Daybook(path, Open::read).verify();
  return result.faults.empty() && result.entries == recorded && recorded > 10 ? 0 : 4;
}

TEST_CASE("on a full disk nothing is recorded, nothing is lost, and it goes on when there is room") {
  const Day day;
  Forked till([&] {
    if (::unshare(CLONE_NEWNS) != 0 || ::mount("none", "/", nullptr, MS_REC | MS_PRIVATE, nullptr) != 0 ||
        ::mount("none", day.folder().c_str(), "tmpfs", 0, "size=2m") != 0)
      return 2;
    const auto ballast = day / "ballast";
    std::ofstream(ballast, std::ios::binary) << std::string(100'000, 'x');
    if (const int full = fill_up(day.path(), "daybook-5", "")) return full;
    fs::remove(ballast);
    Daybook daybook(day.path(), Open::write);
    const auto before = daybook.entries();
    (void)daybook.append(some_entry(keep_some_policy(daybook), 1), at_nine());
    return daybook.verify().entries == before + 1 ? 0 : 5;
  });
  const int code = till.ended().code;
  // No failure even where skips are: in a changed root not even root may mount. The next test is held everywhere.
  if (code == 2)
    WARN("skipped: no small disk can be mounted here (it takes root, and a root folder that is a mount)");
  else
    CHECK(code == 0);
}

TEST_CASE("where the system lets no file grow, nothing is recorded and nothing is lost") {
  const Day day;
  const auto policy = filled(day, 20);
  const auto size = fs::file_size(day.path());
  Forked till([&] {
    ::signal(SIGXFSZ, SIG_IGN);
    const rlimit most{size + 200'000, size + 200'000};
    ::setrlimit(RLIMIT_FSIZE, &most);
    return fill_up(day.path(), "daybook-", policy);
  });
  const int code = till.ended().code;
  CHECK(code == 0);
  CHECK(first_fault(day) == "");
  CHECK(Daybook(day.path(), Open::write).append(some_entry(policy, 1), at_nine()).number > 20);
}

TEST_CASE("one entry alone is held to its hashes too") {
  const auto fault_after = [](std::int64_t number, const char* sql) {
    const Day day;
    filled(day, 6);
    CHECK_FALSE(Daybook(day.path(), Open::read).fault_of(number));
    alter(day, sql);
    return Daybook(day.path(), Open::read).fault_of(number).value_or("");
  };
  CHECK(fault_after(2, "UPDATE entry SET content = replace(content, 'kg', 'lb') WHERE number = 2") ==
        "its content was altered");
  CHECK(fault_after(2, "UPDATE entry SET at = 'x' WHERE number = 2") == "it was altered");
  CHECK(fault_after(2, "UPDATE sealed_policy SET document = 'x'") ==
        "the policy it rests on was altered, or is not there");
  CHECK(fault_after(3, "UPDATE shelf SET items = 'x'") == "what it chose from was altered, or is not there");
  CHECK(fault_after(2, "PRAGMA foreign_keys = OFF; DELETE FROM entry WHERE number = 2") == "it is missing");
}

TEST_CASE("nothing is put beside an entry that was erased meanwhile") {
  const Day day;
  const auto policy = filled(day, 2);
  Daybook daybook(day.path(), Open::write);
  auto beside = some_entry(policy, 1);
  beside.kind = EntryKind::handed_over;
  beside.about = 1;
  CHECK(daybook.append(beside, at_nine()).number == 3);
  (void)daybook.forget(1, "asked for", at_nine());
  CHECK(trouble_of([&] { (void)daybook.append(beside, at_nine()); }) ==
        "daybook-8: Entry 1 is not there, or was erased meanwhile.");
  beside.about = 77;
  CHECK(trouble_of([&] { (void)daybook.append(beside, at_nine()); }).substr(0, 10) == "daybook-8:");
  CHECK(daybook.erasure_of(1)->number == 4);
  CHECK_FALSE(daybook.erasure_of(2));
  CHECK(daybook.append(some_entry(policy, 1), at_nine()).number == 5);
  CHECK(first_fault(day) == "");
}

TEST_CASE("whatever somebody put into the file, nothing of it is run, and nothing runs away") {
  const auto told_after = [](const char* sql) {
    const Day day;
    const auto policy = filled(day, 9);
    alter(day, sql);
    return trouble_of([&] { (void)Daybook(day.path(), Open::write).append(some_entry(policy, 1), at_nine()); })
        .substr(0, 10);
  };
  CHECK(told_after("UPDATE entry SET number = 9223372036854775807 WHERE number = 9") == "daybook-7:");
  CHECK(told_after("UPDATE name SET id = 9000000000000000000 WHERE text = 'piece skates'") == "daybook-7:");
  CHECK(told_after("UPDATE name SET id = -4 WHERE text = 'piece skates'") == "daybook-7:");

  const Day day;
  filled(day, 9);
  alter(day, "PRAGMA foreign_keys = OFF; UPDATE entry SET number = 9000000000000000000 WHERE number = 9");
  CHECK(first_fault(day) == "9: it is missing, and so are all before entry 9000000000000000000");

  const Day traps;
  filled(traps, 3);
  // As another program would: Database itself makes no triggers.
  const std::string trap =
      "CREATE TABLE copy (c); CREATE TRIGGER t AFTER UPDATE ON entry BEGIN INSERT INTO copy VALUES (old.content); END";
  REQUIRE(run_program({"sqlite3", traps.path(), trap}).code == 0);
  Daybook daybook(traps.path(), Open::write);
  (void)daybook.forget(2, "asked for", at_nine());
  CHECK(Database(traps.path(), Database::Open::write).number("SELECT count(*) FROM copy") == 0);
  CHECK(daybook.verify().faults.empty());
}

TEST_CASE("a name that names no file") {
  CHECK(trouble_of([] { Daybook("", Open::create); }) == "daybook-1: '' names no file.");
}

}  // namespace
