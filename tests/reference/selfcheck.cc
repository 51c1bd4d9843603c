// The naive evaluator against values worked by hand: units, days, conditions, charts, formulas.
#include <catch2/catch.hpp>

#include "tests/reference/by_hand.hpp"

using namespace lacestay::naive;

TEST_CASE("fractions are exact, and say so where they can't be") {
  CHECK(Rational::of(6, -4) == Rational::of(-3, 2));
  CHECK(Rational::of(1, 3) + Rational::of(1, 6) == Rational::of(1, 2));
  CHECK(Rational::of(1, 3) < Rational::of(33334, 100000));
  CHECK(Rational::of(-7, 2).floor() == -4);
  CHECK(Rational::of(-7, 2).ceiling() == -3);
  CHECK(Rational(5).floor() == 5);
  CHECK(Rational(5).ceiling() == 5);
  CHECK_THROWS_AS(Rational(1) / Rational(0), std::domain_error);
  const Rational large = INT64_MAX;
  CHECK_THROWS_AS(large * large * large, std::overflow_error);
}

TEST_CASE("one weight, one length and one day in every spelling") {
  const auto policy = policy_of(
      "ask weight 12 to 180 kg\nask height 90 to 215 cm\nask girth 100 to 900 mm\nask share 0 to 50 %\n"
      "ask day 1 January 1936 to 31 December 2023\nask age 4 to 90 years, whole\n");
  const auto read = [&](const char* name, const char* text) { return read_player(policy, {{name, text}}).at(name); };
  for (const auto* text : {"14 st", "196 lb", "88.90410452 kg", "88904.10452 g", "195 lb 16 oz", "13 st 14 lb"})
    CHECK(read("weight", text) == Exact(Rational::of(8890410452, 100000)));
  for (const auto* text : {"5 ft 9 in", "175.26 cm", "69 in", "1.7526 m", "1752.6 mm"})
    CHECK(read("height", text) == Exact(Rational::of(17526, 10)));
  CHECK(read("girth", "12½ in") == Exact(Rational::of(3175, 10)));
  CHECK(read("share", "16%") == Exact(Rational::of(4, 25)));
  CHECK(read("day", "1 September 2010") == read("day", "2010-09-01"));
  for (const auto* text : {"9 years", "108 months", "9", "8 years 12 months"})
    CHECK(read("age", text) == Exact(Rational(9)));
  CHECK(spellings(Rational::of(8890410452, 100000), Dimension::weight) ==
        std::vector<std::string>{"88.90410452 kg", "88904.10452 g", "196 lb", "14 st"});
  CHECK(spellings(Rational::of(17526, 10), Dimension::length) ==
        std::vector<std::string>{"1752.6 mm", "175.26 cm", "1.7526 m", "69 in", "5.75 ft", "5 ft 9 in"});
}

TEST_CASE("whole years are complete years, and 29 February is reached on 1 March of a common year") {
  using namespace std::chrono_literals;
  const auto years = [](int y, unsigned m, unsigned d, int y2, unsigned m2, unsigned d2) {
    return whole_years(std::chrono::year(y) / std::chrono::month(m) / std::chrono::day(d),
                       std::chrono::year(y2) / std::chrono::month(m2) / std::chrono::day(d2));
  };
  CHECK(years(2010, 9, 1, 2026, 8, 31) == 15);
  CHECK(years(2010, 9, 1, 2026, 9, 1) == 16);
  CHECK(years(2012, 2, 29, 2026, 2, 28) == 13);
  CHECK(years(2012, 2, 29, 2026, 3, 1) == 14);
  CHECK(years(2012, 2, 29, 2028, 2, 28) == 15);
  CHECK(years(2012, 2, 29, 2028, 2, 29) == 16);
  CHECK(years(2026, 9, 1, 2026, 9, 1) == 0);
  CHECK(years(2026, 9, 1, 2026, 8, 31) == -1);
}

TEST_CASE("conditions: open and closed edges, exact ones, grades, members, days; commas mean and") {
  const auto policy = policy_of(
      "ask weight 12 to 180 kg\nask age 4 to 90 years, whole\nask skill grades new, improving, league, elite\n"
      "ask role choice skater, goalkeeper\nask day 1 January 2000 to 31 December 2020\n"
      "rule under_\n  caution \"x\"\n  for weight under 60 lb\n"
      "rule at_least_\n  caution \"x\"\n  for weight at least 60 lb\n"
      "rule over_\n  caution \"x\"\n  for weight over 27.2155422 kg\n"
      "rule at_most_\n  caution \"x\"\n  for weight at most 4 st 4 lb\n"
      "rule young\n  caution \"x\"\n  for age under 13 years\n"
      "rule grown\n  caution \"x\"\n  for age at least 13\n"
      "rule good\n  caution \"x\"\n  for skill at least league\n"
      "rule learning\n  caution \"x\"\n  for skill at most improving\n"
      "rule ends\n  caution \"x\"\n  for skill new, elite, role skater\n"
      "rule middle\n  caution \"x\"\n  for skill improving or league\n"
      "rule before_\n  caution \"x\"\n  for day before 1 March 2012\n"
      "rule since_\n  caution \"x\"\n  for day since 2012-03-01\n");
  std::map<std::string, std::string> player = {
      {"weight", "60 lb"}, {"age", "12"}, {"skill", "new"}, {"role", "skater"}, {"day", "29 February 2012"}};
  CHECK(told(policy, player) ==
        "caution at_least_\ncaution at_most_\ncaution before_\ncaution ends\ncaution learning\ncaution young\n");
  player = {
      {"weight", "27.21554221 kg"}, {"age", "13"}, {"skill", "elite"}, {"role", "goalkeeper"}, {"day", "1 March 2012"}};
  CHECK(told(policy, player) == "caution at_least_\ncaution good\ncaution grown\ncaution over_\ncaution since_\n");
  player = {
      {"weight", "27.21554219 kg"}, {"age", "13"}, {"skill", "league"}, {"role", "skater"}, {"day", "1 March 2012"}};
  CHECK(told(policy, player) ==
        "caution at_most_\ncaution good\ncaution grown\ncaution middle\ncaution since_\ncaution under_\n");
}

TEST_CASE("charts: rows run from the edge above, members stand once, one axis or two") {
  const auto policy = policy_of(
      "ask weight 12 to 180 kg\nask age 4 to 90 years, whole\nask skill grades new, improving, league\n"
      "ask day 1 January 2000 to 31 December 2020\n"
      "piece stick always\n  flex band 20 to 110 flex step 5 flex\n  kick choice low, mid\n  toe grades round, square\n"
      "  mould choice senior, junior, youth\n"
      "chart a gives stick flex\n  down weight\n    under 27 kg: 20 to 30 flex\n    at most 60 lb: 30 to 40 flex\n"
      "    the rest: 75 to 90 flex\n"
      "chart b gives stick.kick\n  across age under 13, the rest\n  low, mid\n"
      "chart c gives stick toe\n  across weight under 50 kg, the rest\n  down skill\n    new: round, square\n"
      "    league, improving: square, round\n"
      "chart d gives stick mould\n  down day\n    before 1 January 2009: senior\n    before 1 January 2016: junior\n"
      "    the rest: youth\n");
  const auto stick = [&](const char* weight, const char* age, const char* skill, const char* day) {
    return told(policy, {{"weight", weight}, {"age", age}, {"skill", skill}, {"day", day}});
  };
  CHECK(stick("26.99 kg", "12", "new", "31 December 2008") ==
        "stick: needed\n  flex: 20 to 30 flex\n  kick: low\n  mould: senior\n  toe: round\n");
  CHECK(stick("27 kg", "13", "improving", "1 January 2009") ==
        "stick: needed\n  flex: 30 to 40 flex\n  kick: mid\n  mould: junior\n  toe: square\n");
  CHECK(stick("60 lb", "13", "league", "31 December 2015") ==
        "stick: needed\n  flex: 30 to 40 flex\n  kick: mid\n  mould: junior\n  toe: square\n");
  CHECK(stick("50 kg", "13", "league", "1 January 2016") ==
        "stick: needed\n  flex: 75 to 90 flex\n  kick: mid\n  mould: youth\n  toe: round\n");
}

TEST_CASE("worked-out details are exact, and do what their formula says in its order") {
  const auto policy = policy_of(
      "ask foot 140 to 330 mm\nask weight 12 to 180 kg\nask age 4 to 90 years, whole\n"
      "ask day 1 January 1990 to 31 December 2020\nask count 0 to 9, whole\n"
      "chart room gives room\n  down age\n    under 13: 8 mm\n    the rest: 0 mm\n"
      "work out boot = foot + room\n"
      "work out half_pounds = weight / 1 lb / 2\n"
      "work out season = whole years from day to 31 December 2026\n"
      "work out mixed = foot + 2 * 3 mm - 1 cm * count\n"
      "work out bracketed = (foot + 2 mm) * 3\n"
      "work out capped = (the smaller of foot * 3% and 8 mm) rounded up to 1 mm\n"
      "work out larger_one = the larger of foot and boot\n"
      "work out down_ = foot rounded down to 5 mm\n"
      "work out near = foot rounded to the nearest 5 mm\n"
      "work out up = foot + 1 mm rounded up to 5 mm\n"
      "work out below = (foot - 20 cm) rounded to the nearest 5 mm\n");
  const auto player = read_player(
      policy, {{"foot", "182.5 mm"}, {"weight", "81 lb"}, {"age", "12"}, {"day", "1 January 2010"}, {"count", "4"}});
  std::map<std::string, Rational> values;
  for (std::size_t i = 0; i < policy.details.size(); ++i)
    if (!policy.details[i].ask) values[policy.details[i].name] = detail_number(policy, player, i);
  const std::map<std::string, Rational> wanted = {{"room", 8},
                                                  {"boot", Rational::of(381, 2)},
                                                  {"half_pounds", Rational::of(81, 2)},
                                                  {"season", 16},
                                                  {"mixed", Rational::of(297, 2)},
                                                  {"bracketed", Rational::of(1107, 2)},
                                                  {"capped", 6},
                                                  {"larger_one", Rational::of(381, 2)},
                                                  {"down_", 180},
                                                  {"near", 185},
                                                  {"up", 185},
                                                  {"below", -15}};
  CHECK(values == wanted);
}
