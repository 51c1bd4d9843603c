#include <fmt/format.h>
#include <sys/resource.h>
#include <z3++.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdlib>
#include <fstream>
#include <map>

#include "compiler/compile.hpp"
#include "compiler/proof.hpp"
#include "tests/bench/proof_cases.hpp"

namespace {

using namespace lacestay;
using Clock = std::chrono::steady_clock;

double ms_since(Clock::time_point start) {
  return std::chrono::duration<double, std::milli>(Clock::now() - start).count();
}

template <typename Work>
double median_ms(int runs, Work work) {
  std::vector<double> times;
  for (int i = 0; i < runs; ++i) {
    const auto start = Clock::now();
    work();
    times.push_back(ms_since(start));
  }
  std::sort(times.begin(), times.end());
  return times[times.size() / 2];
}

std::shared_ptr<const compiler::Policy> compiled(const bench::CaseTable& table) {
  const auto read_none = [](const std::string&) { return compiler::FileText{std::nullopt, "there is none"}; };
  const auto made = compiler::compile("case.fitting", table.text(), read_none);
  if (!made.policy) {
    fmt::print(stderr, "{}", grammar::render(made.diagnostics));
    std::exit(1);
  }
  return made.policy;
}

}  // namespace

int main(int count, char** words) {
  if (count == 4) {
    auto t = words[1][0] == 'h' ? bench::mostly_any(1, atoi(words[2]), atoi(words[3])) : bench::perturbed_tree(1, atoi(words[2]), atoi(words[3]));
    auto p = compiled(t);
    compiler::Proof proof;
    auto ms = median_ms(1, [&] { proof = compiler::prove(*p); });
    std::map<int, int> kinds;
    for (auto& f : proof.findings) ++kinds[int(f.kind)];
    fmt::print("{} x {}: {:.1f} ms, left out {}", words[2], words[3], ms, proof.left_out);
    for (auto [k, n] : kinds) fmt::print("  kind {}: {}", k, n);
    rusage usage; getrusage(RUSAGE_SELF, &usage);
    fmt::print("  rss {} MB\n", usage.ru_maxrss / 1024);
  }
}
