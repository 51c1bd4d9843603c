// How long the shop's stock takes to load, and a quote from it to make; no test. Beside each load stands a plain read
// of the same bytes that only counts their line ends, so that a slow disk or a busy machine shows.
//
//   .build/tests/stock_bench policies
//
// The larger stocks are the shipped one over and over, each time with item numbers of its own, and prices and counts a
// little apart. Each figure is the least of three runs.
#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <filesystem>
#include <fstream>

#include "compiler/check/compile.hpp"
#include "compiler/values/days.hpp"
#include "runtime/quote/quote.hpp"
#include "runtime/rehearse/rehearsal.hpp"

namespace {

using namespace lacestay;
namespace fs = std::filesystem;

std::string text_of(const fs::path& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

template <typename Work>
double least_ms(Work work) {
  using Clock = std::chrono::steady_clock;
  auto least = 1e9;
  for (int i = 0; i < 3; ++i) {
    const auto start = Clock::now();
    work();
    least = std::min(least, std::chrono::duration<double, std::milli>(Clock::now() - start).count());
  }
  return least;
}

// Whole copies of the shipped stock until there are so many items.
void write_stock(const fs::path& from, const fs::path& to, std::size_t items) {
  fs::create_directories(to);
  for (const auto& entry : fs::directory_iterator(from)) fs::copy_file(entry.path(), to / entry.path().filename());
  std::size_t written = 0;
  for (std::size_t copy = 1; written < items; ++copy)
    for (const auto& entry : fs::directory_iterator(from)) {
      const auto text = text_of(entry.path());
      std::ofstream out(to / entry.path().filename(), std::ios::binary | std::ios::app);
      for (auto at = text.find('\n') + 1; at < text.size() && written < items; ++written) {
        const auto end = text.find('\n', at);
        // item,make,model,price,...: a model's name may hold a comma, but then it is quoted.
        auto price = text.find(',', text.find(',', at) + 1) + 1;
        price = text[price] == '"' ? text.find('"', price + 1) + 2 : text.find(',', price) + 1;
        const auto digits = text.find('.', price);
        out << copy << '-' << text.substr(at, digits + 1 - at) << fmt::format("{:02}", copy * 7 % 100)
            << text.substr(digits + 3, end + 1 - digits - 3);
        at = end + 1;
      }
    }
}

std::size_t plain_read(const fs::path& folder) {
  std::size_t lines = 0;
  for (const auto& entry : fs::directory_iterator(folder)) {
    const auto text = text_of(entry.path());
    lines += static_cast<std::size_t>(std::count(text.begin(), text.end(), '\n'));
  }
  return lines;
}

}  // namespace

int main(int count, char** words) {
  const fs::path policies = count > 1 ? words[1] : "policies";
  const auto compiled = compiler::compile_file((policies / "northgate.fitting").string());
  if (!compiled.policy) return fmt::print("{}", render(compiled.diagnostics)), 1;
  const auto engine = runtime::Engine::build(compiled.policy).value();
  grammar::Diagnostics problems;
  const auto players =
      runtime::read_players(*compiled.policy, "saturday.players", text_of(policies / "saturday.players"), problems);
  const auto day = compiler::day_number(2026, 10, 3);
  const auto scratch = fs::temp_directory_path() / "lacestay_stock_bench";
  for (const std::size_t items : {std::size_t{0}, std::size_t{100'000}, std::size_t{1'000'000}}) {
    fs::remove_all(scratch);
    write_stock(policies / "stock", scratch, items);
    runtime::Stock stock;
    const auto plain = least_ms([&] { (void)plain_read(scratch); });
    const auto load = least_ms([&] { stock = runtime::read_stock(*compiled.policy, scratch, {}); });
    fmt::print("{:9} items, {} set aside: loaded in {:.0f} ms; a plain read of the bytes {:.0f} ms\n",
               stock.items.size(), stock.problems.size(), load, plain);
    double worst = 0, all = 0;
    std::string slowest;
    std::size_t quotes = 0;
    for (const auto& sample : players.players) {
      if (!sample.player.complete()) continue;
      const auto once = [&] { (void)runtime::quote(*engine, sample.player, stock, day, std::nullopt); };
      const auto took = least_ms(once);
      if (took > worst) worst = took, slowest = sample.name;
      all += took, ++quotes;
    }
    fmt::print("          quotes of {} whole kits: {:.1f} ms on average, {:.1f} at the worst ({})\n", quotes,
               all / static_cast<double>(quotes), worst, slowest);
  }
  fs::remove_all(scratch);
}
