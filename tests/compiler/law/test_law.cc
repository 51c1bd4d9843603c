// The two forms of the law agree on every small table.
#include <catch2/catch.hpp>
#include <iostream>

#include "tests/compiler/law/both_forms.hpp"

TEST_CASE("what the law says of the rows that apply, its sets say of the player") {
  const auto tally = lacestay::law::compare_forms();
  std::cout << tally.told() << std::flush;
  CHECK(tally.first_difference == "");
}
