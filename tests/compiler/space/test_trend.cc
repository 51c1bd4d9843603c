// How a worked-out detail moves with an asked one, against its values at every place.
#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <map>

#include "compiler/space/reach.hpp"
#include "compiler/space/trend.hpp"
#include "tests/reference/draw.hpp"
#include "tests/support/policy/compiled.hpp"

namespace {

using namespace lacestay;
using namespace lacestay::tests;
using compiler::Trend;
using naive::Draw;

constexpr int most = 6;  // the highest value of each of two asked details

// A chart over two details, its values mostly rising along each, or over one.
std::string chart(Draw& draw, const std::string& name, const std::string& down, const std::string& across) {
  std::string text = fmt::format("chart {0} gives {0}\n", name);
  const bool two = draw.chance(80);
  if (two) text += fmt::format("  across {}  under 2,  under 4,  the rest\n", across);
  text += fmt::format("  down {}\n", down);
  const auto by_row = draw.between(-1, 2), by_column = draw.between(-1, 2);
  const bool uneven = draw.chance(30);
  const char* const heads[] = {"under 3", "under 5", "the rest"};
  for (int row = 0; row < 3; ++row) {
    text += fmt::format("    {}:", heads[row]);
    for (int column = 0; column < (two ? 3 : 1); ++column)
      text += fmt::format("{} {}", column == 0 ? "" : ",",
                          20 + by_row * row + by_column * column + (uneven ? draw.between(-1, 1) : 0));
    text += "\n";
  }
  return text;
}

TEST_CASE("trends hold at every place, and of charts none is missed") {
  std::map<Trend, int> told;
  int missed = 0;
  for (std::uint64_t seed = 1; seed <= 400; ++seed) {
    Draw draw(seed);
    std::string text =
        "policy \"Trends\"\nedition 1, in force from 1 September 2026\nmoney GBP\n"
        "ask a 0 to 6, whole\nask b 0 to 6, whole\npiece helmet always\n";
    text += chart(draw, "plain", "a", "b");
    text += "work out turned = 30 - plain\n";
    text += "work out higher = the larger of plain and a + 18\n";
    // Its own columns move with what is asked, up or down.
    text += fmt::format("work out moved = {}\n", draw.chance(50) ? "a + b" : "6 - a");
    text += chart(draw, "over_moved", "moved", draw.chance(50) ? "b" : "a");
    // Rows that look at them, so that they are worked out.
    for (const char* name : {"plain", "turned", "higher", "moved", "over_moved"})
      text += fmt::format("rule of_{0}\n  caution \"x\"\n  for {0} over 3\n", name);
    INFO(text);
    const auto policy = policy_of("trends.fitting", text);
    const auto& tables = policy->tables;
    const auto all = compiler::trends(tables);
    REQUIRE(all.size() == 5);
    compiler::Reach reach(tables);
    const auto value = [&](std::size_t detail, int a, int b) {
      const auto per = [&](std::size_t asked, int n) {
        return tables.asked[asked].lowest + n * (tables.asked[asked].highest - tables.asked[asked].lowest) / most;
      };
      (void)reach.at(std::vector<std::int64_t>{per(0, a), per(1, b)});
      return reach.value(2 + detail).lowest;
    };
    for (std::size_t detail = 0; detail < all.size(); ++detail)
      for (std::size_t asked = 0; asked < 2; ++asked) {
        bool rises = false, falls = false;
        for (int held = 0; held <= most; ++held)
          for (int at = 1; at <= most; ++at) {
            const auto before = asked == 0 ? value(detail, at - 1, held) : value(detail, held, at - 1);
            const auto after = asked == 0 ? value(detail, at, held) : value(detail, held, at);
            const auto order = compiler::compare(before, after);
            (order < 0 ? rises : falls) |= order != 0;
          }
        const auto trend = all[detail][asked];
        INFO(policy->worked_out[detail].name << " with detail " << asked << ": " << static_cast<int>(trend));
        if (trend == Trend::level) CHECK_FALSE((rises || falls));
        if (trend == Trend::rising) CHECK_FALSE(falls);
        if (trend == Trend::falling) CHECK_FALSE(rises);
        if (policy->worked_out[detail].name == "plain" && trend == Trend::unknown) CHECK((rises && falls));
        missed += trend == Trend::unknown && !(rises && falls);
        ++told[trend];
      }
  }
  fmt::print("trends: {} level, {} rising, {} falling, {} unknown, {} of these though they never turn\n",
             told[Trend::level], told[Trend::rising], told[Trend::falling], told[Trend::unknown], missed);
  for (const auto trend : {Trend::level, Trend::rising, Trend::falling, Trend::unknown}) CHECK(told[trend] > 100);
}

}  // namespace
