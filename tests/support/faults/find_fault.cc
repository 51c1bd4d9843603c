// Linked with one source of the program that carries a planted fault: exits 0 when the agreement with the naive
// evaluator shows it, and says after how many players.
#include <fmt/format.h>

#include "tests/runtime/engine/agreement.hpp"

int main() {
  lacestay::agreement::Tally tally;
  lacestay::agreement::run({1, 2'000, 60, 0}, tally);
  if (tally.first_difference.empty()) {
    fmt::print("the planted fault was not noticed in {} players\n", tally.pairs);
    return 1;
  }
  fmt::print("noticed after {} players of {} policies\n", tally.pairs, tally.policies);
  return 0;
}
