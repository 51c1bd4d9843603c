// How long the best kit takes, with glpsol and cbc (solvers) beside it in the same run; no test. Times are the
// processor's, since machines are shared; each of ours is the least of three runs, and ratios say more than times.
//
//   .build/tests/kit_bench
//
// The shops are those of tests/runtime/kit/shops.hpp: deals of all kinds, some of which add, limits from none to ones
// no kit is within. A solver's time is its whole process's, reading the model included, and it is given so many
// seconds.
#include <fmt/format.h>

#include <algorithm>
#include <cstdint>
#include <ctime>
#include <vector>

#include "runtime/kit/builder.hpp"
#include "tests/runtime/kit/shops.hpp"
#include "tests/runtime/kit/solver_model.hpp"
#include "tests/support/process.hpp"

namespace {

using namespace lacestay;
using kits::SolverModel;

constexpr int solver_limit_s = 20;

template <typename Work>
double least_ms(Work work) {
  auto least = 1e9;
  for (int i = 0; i < 3; ++i) {
    const auto start = std::clock();
    work();
    least = std::min(least, 1e3 * static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC);
  }
  return least;
}

void build(const runtime::KitProblem& problem) {
  const auto kit = runtime::build_kit(problem);
  if (kit.status != runtime::KitStatus::best && kit.status != runtime::KitStatus::none)
    fmt::print("  the budget ended\n");
}

void build_with_runners_up(const runtime::KitProblem& problem) {
  const auto kit = runtime::build_kit(problem);
  for (std::size_t p = 0; p < problem.pieces.size(); ++p) (void)runtime::runner_up(problem, kit, p);
}

struct Spread {
  double median, ninth, worst;
};
Spread spread(std::vector<double> times) {
  std::sort(times.begin(), times.end());
  return {times[times.size() / 2], times[times.size() * 9 / 10], times.back()};
}

void over_shops(const kits::ShopShape& shape, std::uint64_t shops, void (*work)(const runtime::KitProblem&) = build) {
  std::vector<double> times;
  for (std::uint64_t seed = 1; seed <= shops; ++seed) {
    const auto problem = kits::shop(seed, shape);
    times.push_back(least_ms([&] { work(problem); }));
  }
  const auto [median, ninth, worst] = spread(times);
  fmt::print(
      "{:3} pieces x {:5} items x {} makes, {} deals, {:3} shops: median {:7.2f}, 9 in 10 within {:7.2f}, worst "
      "{:7.2f} ms\n",
      shape.pieces, shape.items, shape.makes, shape.deals, shops, median, ninth, worst);
}

template <typename Ask>
void beside(const char* name, const kits::ShopShape& shape, std::uint64_t shops, Ask ask) {
  if (!tests::installed(name)) {
    fmt::print("skipped: there is no {} here\n", name);
    return;
  }
  std::vector<double> times, ratios;
  std::size_t gave_up = 0;
  for (std::uint64_t seed = 1; seed <= shops; ++seed) {
    const auto problem = kits::shop(seed, shape);
    const SolverModel::Answer answer = ask(SolverModel(problem));
    gave_up += answer.verdict == SolverModel::Verdict::gave_up ? 1 : 0;
    times.push_back(answer.seconds * 1'000);
    ratios.push_back(times.back() / least_ms([&] { build(problem); }));
  }
  const auto time = spread(times), ratio = spread(ratios);
  fmt::print("{} on {} of them: median {:.0f}, worst {:.0f} ms, {} given up at {} s; {:.0f} times ours in the median\n",
             name, shops, time.median, time.worst, gave_up, solver_limit_s, ratio.median);
}

}  // namespace

int main() {
  const kits::ShopShape usual{12, 50, 8, 4};
  over_shops(usual, 200);
  beside("glpsol", usual, 20, [](const SolverModel& model) { return model.ask_glpsol(solver_limit_s); });
  beside("cbc", usual, 20, [](const SolverModel& model) { return model.ask_cbc(solver_limit_s); });
  fmt::print("the same with each piece's runner-up:\n");
  over_shops(usual, 40, build_with_runners_up);
  for (const std::size_t items : {100, 200, 500, 1'000}) over_shops({12, items, 8, 4}, 40);
  for (const std::size_t pieces : {8, 16, 20}) over_shops({pieces, 50, 8, 4}, 40);
  for (const std::size_t deals : {1, 2, 6}) over_shops({12, 50, 8, deals}, 40);
}
