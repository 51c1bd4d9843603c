// A million and more (policy, player) pairs, each answered twice: by the engine, and by the naive evaluator.
#include <fmt/format.h>

#include <catch2/catch.hpp>

#include "tests/runtime/engine/agreement.hpp"

namespace {

using namespace lacestay::agreement;

void print(const char* title, const std::map<std::string, std::size_t>& counts) {
  fmt::print("{}\n", title);
  for (const auto& [name, times] : counts) fmt::print("  {:34} {:12}\n", name, times);
}

TEST_CASE("the engine and the naive evaluator agree on a million pairs and more") {
  Tally tally;
  run({1, 3'000, 200, 0}, tally);              // free details: numbers, days, worked-out ones, units mixed
  run({100'001, 4'000, 0, 400}, tally);        // small domains, every player
  run({200'001, 1'000, 100, 0, true}, tally);  // the same look-ups by way of diagrams
  run({300'001, 1'000, 100, 0, false, true}, tally);
  fmt::print("{} policies ({} refused as too large to keep), {} players, {} answers\n", tally.policies, tally.refused,
             tally.pairs, tally.answers);
  print("what the policies wrote", tally.constructs);
  print("how the answers came about", tally.laws);
  INFO(tally.first_difference);
  CHECK(tally.first_difference.empty());
  CHECK(tally.pairs >= 1'000'000);
  CHECK(tally.refused * 100 < tally.policies);
  for (const auto* law :
       {"answered", "referred", "gap", "clash", "needed", "suggested", "left out", "not in kit", "spoken", "silent",
        "moved by a floor, cap or keep", "silenced by outranks", "beaten by the law"}) {
    INFO(law);
    CHECK(tally.laws[law] > 1'000);
  }
}

}  // namespace
