// Linked with one source of the law that carries a planted fault: exits 0 when the two forms differ, and says where.
#include <fmt/format.h>

#include "tests/compiler/law/both_forms.hpp"

int main() {
  const auto tally = lacestay::law::compare_forms();
  if (tally.first_difference.empty()) {
    fmt::print("the planted fault was not noticed:\n{}", tally.told());
    return 1;
  }
  fmt::print("{}", tally.first_difference);
  return 0;
}
