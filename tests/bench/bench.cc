// The benchmark, not a test: how long the work takes, beside a named baseline in the same run. Machines are noisy, so
// each figure is the median of several runs, and ratios say more than times.
//
//   .build/tests/bench POLICY
#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <random>

#include "compiler/check/compile.hpp"
#include "compiler/proof/memory.hpp"
#include "runtime/advice/advice.hpp"
#include "runtime/advice/text.hpp"
#include "tests/bench/nested_ifs.hpp"

namespace {

using namespace lacestay;
using Clock = std::chrono::steady_clock;

template <typename Work>
double median_ms(int runs, Work work) {
  std::vector<double> times;
  for (int i = 0; i < runs; ++i) {
    const auto start = Clock::now();
    work();
    times.push_back(std::chrono::duration<double, std::milli>(Clock::now() - start).count());
  }
  std::sort(times.begin(), times.end());
  return times[times.size() / 2];
}

// 10,000 rows: charts of 100 rows over twelve details, each giving a property of its own.
std::string large_policy(int rows) {
  std::string out = "policy \"Large\"\nedition 1, in force from 1 September 2026\n";
  for (int i = 0; i < 12; ++i) out += fmt::format("ask d{} 0 to 200 kg\n", i);
  const int charts = rows / 100;
  out += "piece p always\n";
  for (int i = 0; i < charts; ++i) out += fmt::format("  q{} grades a, b, c, d\n", i);
  for (int i = 0; i < charts; ++i) {
    out += fmt::format(
        "chart c{} gives p q{}\n  across d{}  under 50 kg, under 100 kg, under 150 kg, the rest\n  down d{}\n", i, i,
        i % 12, (i + 1 + i / 12 % 11) % 12);
    for (int k = 1; k < 100; ++k) out += fmt::format("    under {}.{} kg: a, b, c, d\n", k * 2 - 1, i % 10);
    out += "    the rest: d, c, b, a\n";
  }
  return out;
}

std::vector<std::vector<std::int64_t>> random_players(const compiler::Policy& policy, std::size_t count) {
  std::mt19937_64 random(20260901);
  std::vector<std::vector<std::int64_t>> players(count);
  for (auto& player : players)
    for (const auto& domain : policy.tables.asked) {
      const auto steps = static_cast<std::uint64_t>((domain.highest - domain.lowest) / domain.grain) + 1;
      player.push_back(domain.lowest + static_cast<std::int64_t>(random() % steps) * domain.grain);
    }
  return players;
}

}  // namespace

int main(int count, char** words) {
  if (count != 2) {
    fmt::print(stderr, "Which policy? Write: bench policies/northgate.fitting\n");
    return 2;
  }
  const auto compile_shipped = median_ms(21, [&] { static_cast<void>(compiler::compile_file(words[1])); });
  auto policy = compiler::compile_file(words[1]).policy;
  if (!policy) return 1;
  const auto prove_shipped = median_ms(11, [&] { static_cast<void>(compiler::prove(*policy)); });
  const auto large = large_policy(10'000);
  const auto read_none = [](const std::string&) { return Problem{"file-5", "there is none"}; };
  std::shared_ptr<const compiler::Policy> large_compiled;
  const auto compile_large =
      median_ms(5, [&] { large_compiled = compiler::compile("large.fitting", large, read_none).policy; });
  if (!large_compiled) return 1;
  const auto engine_large = median_ms(3, [&] { static_cast<void>(runtime::Engine::build(large_compiled)); });
  const auto prove_large = median_ms(3, [&] { static_cast<void>(compiler::prove(*large_compiled)); });
  // One edge of one chart moved, before an editor that has proved the policy already.
  auto edited_text = large;
  edited_text.replace(edited_text.find("under 51.0 kg"), 13, "under 51.5 kg");
  const auto edited = compiler::compile("large.fitting", edited_text, read_none).policy;
  if (!edited) return 1;
  compiler::ProofMemory memory;
  static_cast<void>(compiler::prove(*large_compiled, memory));
  bool other = false;
  const auto prove_again =
      median_ms(5, [&] { static_cast<void>(compiler::prove((other = !other) ? *edited : *large_compiled, memory)); });
  const auto proved_again = memory.proved;
  fmt::print("compile, the shipped policy          {:9.2f} ms   (aim: under 20)\n", compile_shipped);
  fmt::print("compile, 10,000 rows, {:4.1f} MB        {:9.2f} ms   (aim: under 1000)\n",
             static_cast<double>(large.size()) / 1e6, compile_large);
  fmt::print("lay out for the engine, 10,000 rows  {:9.2f} ms\n", engine_large);
  fmt::print("prove, the shipped policy            {:9.2f} ms\n", prove_shipped);
  fmt::print("prove, 10,000 rows                   {:9.2f} ms\n", prove_large);
  fmt::print("prove again, one row edited          {:9.2f} ms   ({} of {} tables proved again)\n", prove_again,
             proved_again, proved_again + memory.reused);

  const auto engine = runtime::Engine::build(policy).value();
  const auto players = random_players(*policy, 20'000);
  auto scratch = engine->scratch();
  std::vector<runtime::ClassId> classes(engine->answers());
  std::vector<bench::Result> results(engine->answers());
  std::size_t apart = 0;
  for (const auto& player : players) {
    engine->answer(player, scratch, classes);
    bench::nested_ifs(player.data(), results.data());
    for (std::size_t table = 0; table < classes.size(); ++table) {
      const auto& outcome = engine->outcome(static_cast<runtime::TableId>(table), classes[table]);
      apart += outcome.standing != results[table].standing || outcome.low != results[table].low ||
                       outcome.high != results[table].high
                   ? 1
                   : 0;
    }
  }
  if (apart > 0) {
    fmt::print(stderr, "The engine and the nested ifs differ in {} answers: nothing was timed.\n", apart);
    return 1;
  }
  std::int64_t sum = 0;  // keeps the work from being left out
  const auto by_engine = median_ms(11, [&] {
    for (const auto& player : players) engine->answer(player, scratch, classes), sum += classes[0];
  });
  const auto by_ifs = median_ms(11, [&] {
    for (const auto& player : players) bench::nested_ifs(player.data(), results.data()), sum += results[0].low;
  });
  constexpr std::size_t few = 400;
  runtime::Player held;
  const auto by_reasons = median_ms(5, [&] {
    for (std::size_t i = 0; i < few; ++i) {
      held.readings.assign(players[i].begin(), players[i].end());
      sum += static_cast<std::int64_t>(runtime::text_of(runtime::advise(*engine, held, 20'000)).size());
    }
  });
  const auto each = [&](double ms, std::size_t of) { return ms * 1e6 / static_cast<double>(of); };
  fmt::print("\n{} answers a player, {} details, random players, one core; both agree on {} players\n",
             engine->answers(), policy->details.size(), players.size());
  fmt::print("the engine, without reasons          {:9.0f} ns a player  {:12.0f} a second\n",
             each(by_engine, players.size()), 1e9 / each(by_engine, players.size()));
  fmt::print("nested ifs in C++ (the baseline)     {:9.0f} ns a player  {:12.0f} a second\n",
             each(by_ifs, players.size()), 1e9 / each(by_ifs, players.size()));
  fmt::print("the engine is                        {:9.2f} times as fast as the baseline\n", by_ifs / by_engine);
  fmt::print("an advice with every reason, as text {:9.0f} ns a player  {:12.0f} a second\n", each(by_reasons, few),
             1e9 / each(by_reasons, few));
  return sum == 42 ? 3 : 0;
}
