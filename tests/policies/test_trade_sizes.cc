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

// A published study of children's feet: mean lengths in cm at 3 and at 17 or 18 years. What the policy has a foot grow,
// year by year, adds up to that.
TEST_CASE("growth: feet, year by year, add up to the published whole") {
  struct Whole {
    const char* sex;
    double at_3, grown;
    int last;
  };
  for (const auto& row : {Whole{"female", 15.3, 23.4, 17}, Whole{"male", 15.6, 25.8, 18}}) {
    double sum = 0;
    for (int age = 3; age < row.last; ++age)
      sum += Fitted(with(child_of_nine, {{"sex", row.sex}, {"age", fmt::format("{} years", std::max(age, 4))}}))
                 .worked_out("foot_growth");
    INFO(row.sex << ": " << sum << " mm");
    CHECK(sum == Approx((row.grown - row.at_3) * 10).margin(2));
    // Half a size, a sixth of an inch, in four months at 3 to 5.
    const double first = Fitted(with(child_of_nine, {{"sex", row.sex}, {"age", "5 years"}})).worked_out("foot_growth");
    CHECK(first == Approx(3 * 25.4 / 6).margin(0.5));
    // And hardly any on the plateau: from 12 in girls, from 14 to 15 in boys.
    const int plateau = row.sex == std::string("female") ? 12 : 15;
    for (int age = plateau; age <= 17; ++age)
      CHECK(Fitted(with(child_of_nine, {{"sex", row.sex}, {"age", fmt::format("{} years", age)}}))
                .worked_out("foot_growth") <= 2);
  }
}

// One size is a third of an inch, 8.47 mm. What an item may have more than the advice, test_quote_shipped looks at.
TEST_CASE("growth: the room in a boot, and how long it is likely to last") {
  constexpr double one_size = 25.4 / 3;
  // What the words mean, in months.
  const std::map<std::string, Ends> months = {
      {"a few months", {0, 6}}, {"season", {6, 10.8}}, {"year", {10.8, 15.6}}, {"longer", {15.6, 400}}};
  std::map<std::string, int> met;
  for (const char* sex : {"female", "male"})
    for (int age = 4; age <= 17; ++age)
      for (int foot = 180; foot < 230; ++foot)
        for (const auto& [piece, role] : {std::pair{"skates", "skater"}, {"goal_skates", "goalkeeper"}}) {
          const Fitted child(with(child_of_nine, {{"sex", sex},
                                                  {"age", fmt::format("{} years", age)},
                                                  {"category", age < 12 ? "u12" : "u18"},
                                                  {"foot_length", mm(foot)},
                                                  {"other_foot", mm(foot)},
                                                  {"role", role}}));
          const double room = child.ends(piece, "size").low - foot, a_year = child.worked_out("foot_growth");
          const auto said = child.answer(piece, "lasts");
          INFO(sex << " of " << age << ", foot " << foot << " mm: " << room << " mm, " << said);
          CHECK(room <= one_size);
          CHECK(child.worked_out("boot_left") == Approx(room));
          ++met[said];
          if (a_year <= 1) {
            CHECK(said == "lasting");
            continue;
          }
          CHECK(room / a_year * 12 >= months.at(said).low - 1e-9);
          CHECK(room / a_year * 12 <= months.at(said).high + 1e-9);
          // Nobody so young gets a boot for longer than a year.
          if (age <= 5) CHECK((said == "a few months" || said == "season"));
        }
  CHECK(met.size() == 5);
  hold({{"it is an average, not a forecast", "published study of children's feet", "an average, not a forecast",
         Fitted(child_of_nine).warning("an average, not a forecast")},
        {"a grown foot's boot lasts till it is worn out", common, "lasting", Fitted().answer("skates", "lasts")},
        {"a girl of sixteen has done growing", common, "lasting",
         Fitted(with(teenager, {{"sex", "female"}, {"age", "16 years"}, {"birth_day", "2010-05-01"}}))
             .answer("skates", "lasts")}});
}

TEST_CASE("growth: every child is told when to look again, and no grown-up is") {
  struct Again {
    const char* sex;
    int age;
    const char* told;
  };
  for (const auto& row : {Again{"female", 5, "again in 3 months"}, Again{"female", 11, "again in 4 months"},
                          Again{"female", 12, "again in 6 months"}, Again{"female", 14, "again in 12 months"},
                          Again{"male", 5, "again in 3 months"}, Again{"male", 13, "again in 4 months"},
                          Again{"male", 14, "again in 6 months"}, Again{"male", 17, "again in 12 months"}})
    hold({{fmt::format("{} of {}", row.sex, row.age), "published averages of growth", row.told,
           Fitted(with(child_of_nine, {{"sex", row.sex},
                                       {"age", fmt::format("{} years", row.age)},
                                       {"category", row.age < 12 ? "u12" : "u18"}}))
               .warning(row.told)}});
  CHECK(Fitted().worked_out("see_again") == 0);
  CHECK_FALSE(Fitted().warned("height and head again"));
}

}  // namespace
