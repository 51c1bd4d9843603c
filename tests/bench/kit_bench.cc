// How long the best kit takes; no test.
#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <vector>

#include "runtime/kit_builder.hpp"
#include "tests/kit/shops.hpp"
using namespace lacestay;
int main(int argc, char** argv) {
  using Clock = std::chrono::steady_clock;
  std::size_t pieces = 12, items = 50, makes = 8, deals = 4; int n = 200;
  if (argc > 1) items = std::stoul(argv[1]);
  if (argc > 2) n = std::stoi(argv[2]);
  if (argc > 3) deals = std::stoul(argv[3]);
  std::vector<std::pair<double,int>> t; int none = 0;
  for (int s = 1; s <= n; ++s) {
    auto pr = kits::shop(s, {pieces, items, makes, deals});
    auto a = Clock::now();
    auto r = runtime::build_kit(pr);
    double ms = std::chrono::duration<double, std::milli>(Clock::now() - a).count();
    t.push_back({ms, s});
    none += r.status == runtime::KitStatus::none;
    if (ms > 20) fmt::print("seed {} {:.1f} ms work {} status {}\n", s, ms, r.work, (int)r.status);
  }
  std::sort(t.begin(), t.end());
  fmt::print("median {:.2f} p90 {:.2f} worst {:.2f} (seed {}), none {}\n", t[t.size()/2].first, t[t.size()*9/10].first, t.back().first, t.back().second, none);
}
