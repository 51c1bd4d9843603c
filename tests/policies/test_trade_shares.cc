// How the shipped policy's answers fall on grown-ups, beside what is published of such bodies.
//
// The people: Debian package r-cran-gclus 1.3.2, object body in gclus/data/body.RData, 507 active adults (Heinz et al.
// 2003), with age, height, weight, chest and waist of their own. The rest is supplied, seeded: feet by the published
// quantiles of breadth over length and the published length over height (ANSUR II, the U.S. Army's survey of 2012,
// 1,986 women and 4,082 men), heads and necks by its means and deviations (unverified, from memory), arms and legs by
// Drillis and Contini's proportions (1966).
#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <cstdlib>

#include "tests/policies/fitted.hpp"
#include "tests/reference/draw.hpp"
#include "tests/runtime/compare/people.hpp"

namespace {

using namespace lacestay;
using namespace lacestay::tests;

struct Published {
  // Foot breadth over foot length at 5, 25, 50, 75 and 95 %.
  std::vector<double> foot_ratio;
  double foot_over_height;
  double head, head_deviation, neck, neck_deviation;  // cm
  double weight, weight_deviation, height, height_deviation;
};
const std::map<std::string, Published> ansur = {
    {"female", {{0.348, 0.364, 0.377, 0.389, 0.406}, 0.151, 56.1, 1.8, 33.0, 1.8, 67.8, 11.0, 162.8, 6.4}},
    {"male", {{0.349, 0.364, 0.376, 0.387, 0.404}, 0.154, 57.4, 1.6, 39.8, 2.4, 85.5, 14.2, 175.6, 6.9}}};
const double shares[] = {0.05, 0.25, 0.5, 0.75, 0.95};

double unit(naive::Draw& draw) { return static_cast<double>(draw.between(0, 999'999)) / 1e6; }
double normal(naive::Draw& draw) {  // the sum of twelve, less six
  double sum = -6;
  for (int i = 0; i < 12; ++i) sum += unit(draw);
  return sum;
}
double below(double value, double mean, double deviation) {
  return 0.5 * std::erfc((mean - value) / deviation / std::sqrt(2.0));
}

// Between the published quantiles in a straight line, past them as far again as the next one lies inside.
double at_share(const std::vector<double>& quantiles, double share) {
  std::size_t above = 1;
  while (above + 1 < quantiles.size() && shares[above] < share) ++above;
  const double of = (share - shares[above - 1]) / (shares[above] - shares[above - 1]);
  return quantiles[above - 1] + of * (quantiles[above] - quantiles[above - 1]);
}
double share_below(const std::vector<double>& quantiles, double value) {
  std::size_t above = 1;
  while (above + 1 < quantiles.size() && quantiles[above] < value) ++above;
  const double of = (value - quantiles[above - 1]) / (quantiles[above] - quantiles[above - 1]);
  return std::clamp(shares[above - 1] + of * (shares[above] - shares[above - 1]), 0.0, 1.0);
}

Details details_of(const Person& person, naive::Draw& draw) {
  const auto& of_body = ansur.at(person.sex);
  const double height = std::strtod(person.measured.at("height").c_str(), nullptr);
  const double foot = height * 10 * of_body.foot_over_height * (1 + 0.03 * normal(draw));
  const double ratio = at_share(of_body.foot_ratio, unit(draw));
  const int age = std::atoi(person.measured.at("age").c_str());
  return {{"age", fmt::format("{} years", age)},
          {"birth_day", fmt::format("{}-05-01", 2026 - age)},
          {"sex", person.sex},
          {"skill", "improving"},
          {"weight", person.measured.at("weight") + " kg"},
          {"height", person.measured.at("height") + " cm"},
          {"chest", person.measured.at("chest") + " cm"},
          {"waist", person.measured.at("waist") + " cm"},
          {"foot_length", fmt::format("{:.0f} mm", foot)},
          {"other_foot", fmt::format("{:.0f} mm", foot - std::abs(2.5 * normal(draw)))},
          {"foot_width", fmt::format("{:.0f} mm", std::round(foot) * ratio)},
          {"head_girth", fmt::format("{:.1f} cm", of_body.head + of_body.head_deviation * normal(draw))},
          {"neck_girth", fmt::format("{:.1f} cm", of_body.neck + of_body.neck_deviation * normal(draw))},
          {"forearm", fmt::format("{:.1f} cm", height * 0.146)},
          {"shin", fmt::format("{:.1f} cm", height * 0.205)}};
}

// By sex, then answer: how many.
using Counted = std::map<std::string, std::map<std::string, std::map<std::string, double>>>;  // property, sex, answer

void table(const std::string& what, Counted& counted, const std::string& property,
           const std::map<std::string, std::map<std::string, double>>& published, double most_apart) {
  for (auto& [sex, answers] : counted.at(property)) {
    double all = 0;
    for (const auto& [answer, count] : answers) all += count;
    for (const auto& [answer, expected] : published.at(sex)) {
      const double share = answers[answer] / all;
      fmt::print("trade: {:28} {:7} {:12} {:5.1f} %  published {:5.1f} %\n", what, sex, answer, 100 * share,
                 100 * expected);
      INFO(what << ", " << sex << ", " << answer);
      CHECK(std::abs(share - expected) <= most_apart);
    }
  }
}

TEST_CASE("open adults: whole advices, and shares beside what is published") {
  const auto rows = rows_of("adults_body.csv");
  if (!rows) return;
  REQUIRE(rows->size() == 507);
  const auto people = people_of("adults_body.csv", *rows,
                                {{"age", "Age"},
                                 {"height", "Height"},
                                 {"weight", "Weight"},
                                 {"chest", "ChestG"},
                                 {"waist", "AbdG"},
                                 {"sex", "Gender"}});
  naive::Draw draw(2012);
  Counted counted;
  std::size_t without_fitter = 0;
  std::map<std::string, int> to_fitter;
  for (const auto& person : people) {
    const auto who = details_of(person, draw);
    const Fitted fitted(who);
    bool referred = false;
    for (const auto& piece : fitted.advice().pieces)
      for (const auto& property : piece.properties)
        if (property.answer.standing == runtime::Standing::referred) {
          referred = true;
          ++to_fitter[piece.name + " " + property.name];
        }
    without_fitter += referred ? 0 : 1;
    for (const auto& [piece, property] : {std::pair{"skates", "width"},
                                          {"skates", "tier"},
                                          {"stick", "flex"},
                                          {"helmet", "size"},
                                          {"body_pads", "size"},
                                          {"padded_pants", "size"},
                                          {"gloves", "size"}})
      counted[fmt::format("{} {}", piece, property)][person.sex][fitted.answer(piece, property)] += 1;
  }
  fmt::print("trade: {} of 507 open adults get a whole advice without the fitter, {:.1f} %\n", without_fitter,
             100.0 * static_cast<double>(without_fitter) / 507);
  for (const auto& [about, count] : to_fitter) fmt::print("trade: left to the fitter: {}: {}\n", about, count);
  CHECK(static_cast<double>(without_fitter) >= 0.97 * 507);

  std::map<std::string, std::map<std::string, double>> width, helmet, flex, grade, gloves;
  for (const auto& [sex, of_body] : ansur) {
    const double narrow = share_below(of_body.foot_ratio, 0.365), not_wide = share_below(of_body.foot_ratio, 0.385);
    width[sex] = {{"narrow", narrow}, {"regular", not_wide - narrow}, {"wide", 1 - not_wide}};
    const auto between = [](double low, double high, double mean, double deviation) {
      return below(high, mean, deviation) - below(low, mean, deviation);
    };
    for (const auto& [size, low, high] : {std::tuple{"x_small", 0.0, 51.0},
                                          {"small", 51.0, 55.0},
                                          {"medium", 55.0, 58.0},
                                          {"large", 58.0, 61.0},
                                          {"x_large", 61.0, 64.0}})
      helmet[sex][size] = between(low, high, of_body.head, of_body.head_deviation);
    for (const auto& [answer, low, high] : {std::tuple{"50 to 60 flex", 48.0, 56.0},
                                            {"60 to 70 flex", 56.0, 66.0},
                                            {"65 to 75 flex", 66.0, 76.0},
                                            {"75 to 85 flex", 76.0, 86.0},
                                            {"85 to 95 flex", 86.0, 98.0},
                                            {"85 to 100 flex", 98.0, 200.0}})
      flex[sex][answer] = between(low, high, of_body.weight, of_body.weight_deviation);
    for (const auto& [answer, low, high] : {std::tuple{"club", 40.0, 95.0}, {"performance", 95.0, 200.0}})
      grade[sex][answer] = between(low, high, of_body.weight, of_body.weight_deviation);
    for (const auto& [answer, low, high] :
         {std::tuple{"12 in", 140.0, 150.0}, {"13 in", 150.0, 168.0}, {"14 in", 168.0, 183.0}, {"15 in", 183.0, 215.0}})
      gloves[sex][answer] = between(low, high, of_body.height, of_body.height_deviation);
  }
  // Feet and heads were drawn from what is published; these people are lighter than the Army's, and taller.
  table("width", counted, "skates width", width, 0.08);
  table("helmet", counted, "helmet size", helmet, 0.10);
  table("flex, by the Army's weights", counted, "stick flex", flex, 0.35);
  table("grade, by the Army's weights", counted, "skates tier", grade, 0.35);
  table("gloves, by its heights", counted, "gloves size", gloves, 0.35);
  for (const char* property : {"body_pads size", "padded_pants size"})
    for (const auto& [sex, answers] : counted.at(property))
      for (const auto& [answer, count] : answers)
        fmt::print("trade: {:28} {:7} {:12} {:5.0f} people\n", property, sex, answer, count);
}

// Of each piece's plan the middle; a step of 5 EUR is what rounding may add.
TEST_CASE("sums: no neighbour pays a third more, line by line") {
  naive::Draw draw(1926);
  std::size_t lines = 0;
  double most = 1;
  std::string where;
  for (int i = 0; i < 250; ++i) {
    const int age = static_cast<int>(draw.between(4, 60));
    const double grown = std::min(1.0, 0.62 + 0.38 * (age - 4) / 12.0);
    const double height = (158 + static_cast<double>(draw.between(0, 36))) * grown;
    const double weight = height * height / 10'000 * (15 + static_cast<double>(draw.between(0, 16)) * grown);
    const auto player = [&](double kg, double tall, int years) {
      const double foot = tall * 1.53;
      return Details{{"age", fmt::format("{} years", years)},
                     {"birth_day", fmt::format("{}-05-01", 2026 - years)},
                     {"category", years > 17 ? "adult" : fmt::format("u{}", std::max(8, years / 2 * 2 + 2))},
                     {"weight", fmt::format("{:.1f} kg", kg)},
                     {"height", fmt::format("{:.1f} cm", tall)},
                     {"foot_length", fmt::format("{:.0f} mm", foot)},
                     {"other_foot", fmt::format("{:.0f} mm", foot)},
                     {"foot_width", fmt::format("{:.0f} mm", foot * 0.378)},
                     {"head_girth", fmt::format("{:.1f} cm", 49 + 8 * grown)},
                     {"neck_girth", fmt::format("{:.1f} cm", tall * 0.21)},
                     {"chest", fmt::format("{:.1f} cm", tall * 0.54)},
                     {"waist", fmt::format("{:.1f} cm", tall * 0.46)},
                     {"forearm", fmt::format("{:.1f} cm", tall * 0.146)},
                     {"shin", fmt::format("{:.1f} cm", tall * 0.205)}};
    };
    const Details play = {{"role", draw.chance(70) ? "skater" : "goalkeeper"},
                          {"skill", draw.pick(std::vector<std::string>{"new", "improving", "league", "elite"})},
                          {"contact", draw.pick(std::vector<std::string>{"none", "incidental", "full"})},
                          {"sessions", fmt::format("{}", draw.between(1, 6))}};
    const auto sums = [&](const Details& who) {
      std::map<std::string, double> all;
      const Fitted fitted(with(who, play));
      for (const auto& piece : fitted.advice().pieces)
        if (piece.may_be_in_kit) all[piece.name] = middle(fitted.ends(piece.name, "sum"));
      return all;
    };
    const auto here = sums(player(weight, height, age));
    for (const auto& other :
         {player(weight + 1, height, age), player(weight, height + 1, age), player(weight, height, age + 1)})
      for (const auto& [piece, sum] : sums(other)) {
        const auto found = here.find(piece);
        if (found == here.end()) continue;
        ++lines;
        const double less = std::min(sum, found->second), more = std::max(sum, found->second);
        INFO(piece << ": " << less << " and " << more);
        CHECK(more <= less * 4 / 3 + 5);
        if (more / less > most) most = more / less, where = fmt::format("{}: {} and {} EUR", piece, less, more);
      }
  }
  fmt::print("trade: {} lines of neighbours (1 kg, 1 cm, a birthday): the furthest apart {}\n", lines, where);
  CHECK(lines > 5'000);
}

}  // namespace
