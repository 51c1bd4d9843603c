// Which detail to take next, where several are blank: the one that leaves the fewest answers in the worst case, by
// counting every completion through.
#include <algorithm>

#include "tests/runtime/engine/counted_through.hpp"
#include "tests/runtime/engine/direct_details.hpp"
#include "tests/support/shop/small_shop.hpp"

namespace {

using namespace lacestay;
using namespace lacestay::tests;

// Answers left beyond one for each table.
std::size_t left_over(const Engine& engine, const runtime::Player& player) {
  const auto counted = count_through(engine, player);
  std::size_t left = 0;
  for (std::size_t table = 0; table < counted.outcomes.size(); ++table)
    if (counted.concerns[table]) left += counted.outcomes[table].size() - 1;
  return left;
}

std::size_t worst_after(const Engine& engine, const runtime::Player& player, std::size_t detail) {
  std::size_t worst = 0;
  for (const auto value : values_of(engine, detail)) {
    auto with = player;
    with.readings[detail] = value;
    worst = std::max(worst, left_over(engine, with));
  }
  return worst;
}

const char* const two_axes = R"(
ask size  0 to 9, whole
ask age   4 to 9 years, whole
ask hand  choice left, right
ask skill grades new, improving, league
piece stick always
  flex 20 to 100 flex step 10 flex
  toe  choice round, square
piece bag optional
chart flex_chart gives stick flex
  across skill  new,      improving,  league
  down size
    under 2:    20 flex,  30 flex,    30 flex
    under 5:    20 flex,  40 flex,    50 flex
    under 7:    60 flex,  70 flex,    80 flex
    the rest:   60 flex,  90 flex,    100 flex
chart toe_chart gives stick toe
  across hand  left,   right
  down age
    under 6:   round,  square
    the rest:  round,  round
rule carry
  suggest bag
  for age at least 8, skill league
)";

TEST_CASE("the next detail to take leaves the fewest answers in the worst case") {
  std::size_t asked = 0, certain = 0, ties = 0;
  for (const auto* items : {direct, two_axes}) {
    const auto engine = tests::small_shop(items);
    const auto details = engine->policy().details.size();
    naive::Draw draw(1959);
    for (std::uint32_t blank = 1; blank < (1u << details); ++blank) {
      for (int each = 0; each < 4; ++each) {
        auto player = somebody(*engine, draw);
        for (std::size_t i = 0; i < details; ++i)
          if ((blank >> i & 1) != 0) player.readings[i] = std::nullopt;
        INFO(described(*engine, player));
        const auto now = left_over(*engine, player);
        const auto next = runtime::next_to_take(*engine, player, runtime::possible_answers(*engine, player));
        if (now == 0) {
          CHECK_FALSE(next);
          ++certain;
          continue;
        }
        std::vector<std::size_t> worst;
        for (std::size_t i = 0; i < details; ++i)
          if (!player.readings[i]) worst.push_back(worst_after(*engine, player, i));
        REQUIRE(next);
        REQUIRE_FALSE(player.readings[next->detail]);
        const auto least = *std::min_element(worst.begin(), worst.end());
        CHECK(next->left == least);
        CHECK(worst_after(*engine, player, next->detail) == least);
        ++asked;
        ties += std::count(worst.begin(), worst.end(), least) > 1 ? 1 : 0;
      }
    }
  }
  fmt::print("possible: the next detail is the best one for {} players ({} with a tie); {} had nothing open\n", asked,
             ties, certain);
  CHECK(asked > ties);
  CHECK(certain > 0);
}

}  // namespace
