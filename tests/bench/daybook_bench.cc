// How long the daybook takes as it grows: appending beside the disk's own flush, searching, verifying. Run by hand:
// .build/tests/daybook_bench [ENTRIES [FOLDER]]
//
// The baseline is what any durable record costs: as many bytes written to a plain file, and a flush (fdatasync), in the
// same run and folder. The appends are timed once as a shop has them, each flushed, and once without a flush, which
// leaves what the daybook itself costs.
#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <cstdlib>
#include <filesystem>
#include <functional>
#include <nlohmann/json.hpp>
#include <vector>

#include "runtime/base/sha256.hpp"
#include "runtime/daybook/daybook.hpp"

namespace {

using namespace lacestay::runtime;
using Clock = std::chrono::steady_clock;

double milliseconds(const std::function<void()>& what) {
  const auto from = Clock::now();
  what();
  return std::chrono::duration<double, std::milli>(Clock::now() - from).count();
}

double median(std::vector<double> all) {
  std::nth_element(all.begin(), all.begin() + static_cast<std::ptrdiff_t>(all.size() / 2), all.end());
  return all[all.size() / 2];
}

// As large as the shipped policy's advice (5 kB, 110 names), and every third a quote of 13 items from 25 shelves.
NewEntry an_entry(const std::string& policy, int number) {
  NewEntry entry;
  entry.policy = policy;
  nlohmann::json content = {{"format", 1}, {"number", number}, {"day", "2026-11-29"}};
  for (int i = 0; i < 80; ++i)
    content["answers"].push_back({{"about", fmt::format("piece_{} property", i)},
                                  {"decided", {fmt::format("rule_{}", (i * 7 + number) % 400)}},
                                  {"possible", {fmt::format("{} mm", (i * 31 + number) % 400)}}});
  for (int i = 0; i < 27; ++i) entry.names.push_back(fmt::format("piece piece_{}", i));
  for (int i = 0; i < 80; ++i) entry.names.push_back(fmt::format("rule rule_{}", (i * 7 + number) % 400));
  std::sort(entry.names.begin(), entry.names.end());
  if (number % 3 == 0) {
    entry.kind = EntryKind::quote;
    entry.stock = std::string(64, 'c');
    for (int i = 0; i < 13; ++i) entry.items.push_back(fmt::format("IT-{}", (number * 13 + i * 97) % 2000));
    for (int i = 0; i < 25; ++i) {
      entry.shelves.push_back(fmt::format("[{},{}]{}", i, (number / 3 + i) % 300, std::string(2000, 'x')));
      content["shelves"].push_back(sha256(entry.shelves.back()));
    }
  }
  entry.content = content.dump();
  return entry;
}

double plain_flush(const std::string& folder, std::size_t bytes) {
  const auto path = folder + "/plain";
  const int file = ::open(path.c_str(), O_WRONLY | O_CREAT | O_APPEND, 0600);
  const std::string some(bytes, 'x');
  std::vector<double> each;
  for (int i = 0; i < 300; ++i)
    each.push_back(milliseconds([&] {
      if (::write(file, some.data(), some.size()) < 0 || ::fdatasync(file) != 0) std::abort();
    }));
  ::close(file);
  return median(each);
}

}  // namespace

int main(int count, char** words) {
  const int entries = count > 1 ? std::atoi(words[1]) : 100'000;
  auto folder = (std::filesystem::path(count > 2 ? words[2] : std::filesystem::temp_directory_path().c_str()) /
                 "lacestay-daybook-bench-XXXXXX")
                    .string();
  if (!::mkdtemp(folder.data())) return 1;
  const auto path = folder + "/bench.daybook";
  try {
    const auto policy =
        Daybook(path, Daybook::Open::create).keep_policy({"Bench", 1, std::string(64, 'a'), std::string(600'000, 'p')});
    const auto timed = [&](int from, int to) {
      Daybook daybook(path, Daybook::Open::write);
      std::vector<double> each;
      for (int i = from; i < to; ++i) {
        const auto entry = an_entry(policy, i);
        each.push_back(milliseconds([&] { (void)daybook.append(entry, this_moment()); }));
      }
      return each;
    };
    const int measured = std::min(2'000, entries / 4);
    (void)timed(1, entries - measured);
    const auto appended = timed(entries - measured, entries + 1);
    const auto flush = plain_flush(folder, 40'000);
    fmt::print("{} entries, {} MB\n", entries, std::filesystem::file_size(path) / 1'000'000);
    fmt::print("append, on the disk when it comes back   median {:.3f} ms\n", median(appended));
    fmt::print("40 kB to a plain file, and a flush       median {:.3f} ms\n", flush);
    fmt::print("so beyond the flush                      {:.3f} ms (aim 1)\n", std::max(0.0, median(appended) - flush));
    Daybook daybook(path, Daybook::Open::read);
    const auto search = [&](const char* what, const Sought& sought) {
      std::vector<double> each;
      std::size_t found = 0;
      for (int i = 0; i < 15; ++i) each.push_back(milliseconds([&] { found = daybook.find(sought).size(); }));
      fmt::print("{:<40} median {:.1f} ms, {} found (aim 50)\n", what, median(each), found);
    };
    Sought sought;
    sought.names = {"rule rule_7"};
    search("search by a rule's name", sought);
    sought.names = {"piece piece_3", "rule rule_7", "rule rule_14"};
    search("by a piece and two rules", sought);
    sought.most = 41;
    search("the newest 41 of these", sought);
    sought = {};
    sought.item = "IT-97";
    search("by an item", sought);
    sought = {};
    sought.from = Moment{};
    search("by day, all of them", sought);
    ChainResult result;
    const auto took = milliseconds([&] { result = daybook.verify(); });
    fmt::print("the chain, verified: {} entries in {:.0f} ms, {} faults\n", result.entries, took, result.faults.size());
  } catch (const lacestay::Error& error) {
    fmt::print("{}", render(error.problem()));
  }
  std::filesystem::remove_all(folder);
}
