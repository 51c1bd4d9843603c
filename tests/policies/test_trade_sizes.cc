// Shoe sizes worked out, and how children grow (see test_trade.cc).
#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <cmath>

#include "tests/policies/fitted.hpp"

namespace {

using namespace lacestay::tests;

// ---- shoe sizes ------------------------------------------------------------------------------------------

TEST_CASE("shoe sizes: worked rows, the last 15 mm longer than the foot") {
  struct Worked {
    double foot, uk, eu, gauge;
  };
  for (const auto& row : {Worked{230, 3.937, 36.75, 5.165}, Worked{250, 6.299, 39.75, 7.528},
                          Worked{270, 8.661, 42.75, 9.890}, Worked{285, 10.433, 45.00, 11.661}}) {
    const Fitted player(Details{{"foot_length", mm(row.foot)}, {"other_foot", mm(row.foot)}});
    INFO("foot " << row.foot
                 << " mm: UK adult = 3 × last in inches - 25, EU = 1.5 × last in cm, foot gauge men's = 3 × "
                 << "foot in inches - 22");
    CHECK(player.worked_out("uk_adult") == Approx(row.uk).margin(0.0005));
    CHECK(player.worked_out("eu_shoe") == Approx(row.eu).margin(0.0005));
    CHECK(player.worked_out("gauge_men") == Approx(row.gauge).margin(0.0005));
    INFO("US men = 3 × last in inches - 24; UK child = 3 × last in inches - 12");
    CHECK(player.worked_out("us_men") - player.worked_out("uk_adult") == Approx(1));
    CHECK(player.worked_out("uk_child") - player.worked_out("uk_adult") == Approx(13));
    INFO("Mondopoint: the foot in mm (ISO 9407:2019)");
    CHECK(player.worked_out("foot_mm") == Approx(row.foot));
    CHECK(std::abs(player.ends("skates", "shoe").low - row.eu) <= 0.25);
  }
}

TEST_CASE("shoe sizes: boots stand as far apart as Mondopoint sizes do") {
  for (const auto& [piece, who] : {std::pair{"skates", Details{}}, {"goal_skates", keeper}}) {
    double last = 0;
    for (int foot = 150; foot <= 315; ++foot) {
      const Fitted player(with(who, {{"foot_length", mm(foot)}, {"other_foot", mm(foot)}}));
      const double boot = player.ends(piece, "size").low;
      INFO("steps of 5 or 7.5 mm (ISO/TS 19407): ours of 5, foot " << foot << " mm, " << piece);
      if (last != 0 && boot != last) CHECK(boot - last == 5);
      last = boot;
    }
    CHECK(last == 315);
  }
}

// ---- growth ----------------------------------------------------------------------------------------------

// CDC growth charts 2000, stature for age: L, M and S at 114.5 months, with the 5th and 95th percentile, in cm.
TEST_CASE("growth: stature at nine years and a half") {
  struct Stature {
    const char* sex;
    double l, m, s, fifth, ninety_fifth;
  };
  for (const auto& row : {Stature{"male", 0.461030578, 136.3342577, 0.046896817, 126.0358, 147.0699},
                          Stature{"female", 0.169805275, 135.634186, 0.047670085, 125.3393, 146.6215}}) {
    const double z = 1.6448536269514722;
    const auto at = [&](double score) { return row.m * std::pow(1 + row.l * row.s * score, 1 / row.l); };
    INFO(row.sex << ": X = M (1 + L S z)^(1/L)");
    CHECK(at(-z) == Approx(row.fifth).margin(0.00005));
    CHECK(at(z) == Approx(row.ninety_fifth).margin(0.00005));
    const Fitted child(with(child_of_nine, {{"sex", row.sex}}));
    CHECK(child.worked_out("shortest_usual") / 10 == Approx(row.fifth).margin(0.05));
    CHECK(child.worked_out("tallest_usual") / 10 == Approx(row.ninety_fifth).margin(0.05));
    CHECK_FALSE(child.warned("nineteen in twenty"));
    CHECK(Fitted(with(child_of_nine, {{"sex", row.sex}, {"height", "148 cm"}})).warned("Taller than nineteen"));
    CHECK(Fitted(with(child_of_nine, {{"sex", row.sex}, {"height", "124 cm"}})).warned("Shorter than nineteen"));
  }
}

// The same, for other ages, from the published L, M and S in the middle of the year of age.
TEST_CASE("growth: the charts of stature hold what the published L, M and S give") {
  struct Stature {
    int age;
    const char* sex;
    double l, m, s;
  };
  for (const auto& row : {Stature{4, "male", 1.133652119, 105.8812823, 0.041955723},
                          {4, "female", 0.075698881, 104.4634511, 0.043816701},
                          {6, "male", 0.954853043, 118.8668123, 0.044069112},
                          {6, "female", -0.234772114, 118.4496481, 0.045226249},
                          {12, "male", 0.531951655, 152.6623878, 0.050273285},
                          {12, "female", 1.358162799, 154.755501, 0.046198356},
                          {17, "male", 1.543252982, 175.8359757, 0.040938463},
                          {17, "female", 1.025142554, 163.0401953, 0.039706971}}) {
    const double z = 1.6448536269514722;
    const Fitted child(with(child_of_nine, {{"sex", row.sex}, {"age", fmt::format("{} years", row.age)}}));
    INFO(row.sex << " of " << row.age);
    const auto at = [&](double score) { return row.m * std::pow(1 + row.l * row.s * score, 1 / row.l); };
    CHECK(child.worked_out("shortest_usual") / 10 == Approx(at(-z)).margin(0.05001));
    CHECK(child.worked_out("tallest_usual") / 10 == Approx(at(z)).margin(0.05001));
  }
}

// A published study of children's feet: mean lengths in cm at 3 and at 17 or 18 years.
TEST_CASE("growth: feet, and how long a boot is likely to last") {
  const double boys = (25.8 - 15.6) * 10 / (18 - 3), girls = (23.4 - 15.3) * 10 / (17 - 3);
  CHECK(boys == Approx(6.8).margin(0.05));
  CHECK(girls == Approx(5.8).margin(0.05));
  // What the words mean, in months; a millimetre of the tape is a month and a half.
  const std::map<std::string, Ends> months = {{"season", {8, 11}}, {"year", {10, 15}}, {"longer", {12, 21}}};
  for (const auto& [sex, a_year] : {std::pair{"male", 6.8}, std::pair{"female", 5.8}})
    for (int foot = 180; foot < 230; ++foot) {
      const Fitted child(with(child_of_nine, {{"sex", sex}, {"foot_length", mm(foot)}, {"other_foot", mm(foot)}}));
      const double lasts = (child.ends("skates", "size").low - foot) / a_year * 12;
      const auto said = child.answer("skates", "lasts");
      INFO(sex << ", foot " << foot << " mm: " << lasts << " months, " << said);
      CHECK(lasts >= months.at(said).low);
      CHECK(lasts <= months.at(said).high);
      CHECK(Fitted(with(child_of_nine,
                        {{"sex", sex}, {"foot_length", mm(foot)}, {"other_foot", mm(foot)}, {"role", "goalkeeper"}}))
                .answer("goal_skates", "lasts") == said);
    }
  hold({{"it is an average, not a forecast", "published study of children's feet", "an average, not a forecast",
         Fitted(child_of_nine).warning("an average, not a forecast")},
        {"a grown foot's boot lasts till it is worn out", common, "lasting", Fitted().answer("skates", "lasts")}});
}

}  // namespace
