#include "tests/policies/fitted.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <cstdlib>

#include "compiler/space/reach.hpp"
#include "compiler/values/days.hpp"
#include "runtime/advice/words.hpp"
#include "tests/support/policy/compiled.hpp"

namespace lacestay::tests {

const runtime::Engine& haverdike() {
  static const auto built = engine_of(shipped_policy("haverdike.fitting"));
  return *built;
}

namespace {

const std::map<std::string, std::string>& middling() {
  static const std::map<std::string, std::string> all = {
      {"age", "30 years"},      {"birth_day", "1 May 1996"}, {"sex", "male"},
      {"role", "skater"},       {"position", "not_sure"},    {"hand", "left"},
      {"skill", "new"},         {"contact", "none"},         {"sessions", "1"},
      {"league", "friendly"},   {"category", "adult"},       {"toe_wish", "no_wish"},
      {"grip_wish", "no_wish"}, {"visor_wish", "no_wish"},   {"weight", "75 kg"},
      {"braces", "no"},         {"glasses", "no"},           {"insoles", "no"},
      {"height", "175 cm"},     {"foot_length", "265 mm"},   {"other_foot", "265 mm"},
      {"foot_width", "100 mm"}, {"head_girth", "57 cm"},     {"neck_girth", "38 cm"},
      {"chest", "39 in"},       {"waist", "34 in"},          {"forearm", "26 cm"},
      {"shin", "14.6 in"},
  };
  return all;
}

std::string words(const runtime::Answer& answer) {
  return runtime::possible_in_words(haverdike().policy(), answer).front();
}

}  // namespace

Fitted::Fitted(const std::map<std::string, std::string>& different) {
  auto details = middling();
  for (const auto& [detail, text] : different) details[detail] = text;
  grammar::Diagnostics problems;
  runtime::PlayerReader reader(haverdike().policy(), problems);
  for (const auto& [detail, text] : details) reader.set(detail, text);
  INFO(render(problems.sorted()));
  REQUIRE(problems.sorted().empty());
  player_ = reader.take().value();
  advice_ = runtime::advise(haverdike(), player_, compiler::day_number(2026, 10, 1));
  REQUIRE(advice_.faults == 0);
}

const runtime::PieceAdvice& Fitted::piece(const std::string& name) const {
  const auto found =
      std::find_if(advice_.pieces.begin(), advice_.pieces.end(), [&](const auto& each) { return each.name == name; });
  INFO(name);
  REQUIRE(found != advice_.pieces.end());
  return *found;
}

const runtime::Answer& Fitted::property(const std::string& piece_name, const std::string& name) const {
  const auto& all = piece(piece_name).properties;
  const auto found = std::find_if(all.begin(), all.end(), [&](const auto& each) { return each.name == name; });
  INFO(piece_name << " " << name);
  REQUIRE(found != all.end());
  return found->answer;
}

std::string Fitted::answer(const std::string& piece_name, const std::string& name) const {
  const auto& answer = property(piece_name, name);
  INFO(piece_name << " " << name);
  REQUIRE(answer.certain);
  return answer.standing == runtime::Standing::referred ? "refer" : words(answer);
}

namespace {

// "58½ in" and "20 flex" as numbers.
double number_at(const std::string& text, std::size_t at) {
  char* after = nullptr;
  const double whole = std::strtod(text.c_str() + at, &after);
  return whole + (std::string_view(after).starts_with("½") ? 0.5 : 0);
}

}  // namespace

Ends Fitted::ends(const std::string& piece_name, const std::string& name) const {
  const auto text = answer(piece_name, name);
  const auto to = text.find(" to ");
  const double low = number_at(text, 0);
  return {low, to == std::string::npos ? low : number_at(text, to + 4)};
}

std::string Fitted::presence(const std::string& name) const { return words(piece(name).presence); }

bool Fitted::in_kit(const std::string& name) const { return piece(name).may_be_in_kit; }

const std::vector<runtime::Part>& Fitted::parts(const std::string& piece_name, const std::string& name) const {
  return name.empty() ? piece(piece_name).presence.parts : property(piece_name, name).parts;
}

std::string Fitted::if_spoke(const std::string& rule, const std::string& piece_name, const std::string& name) const {
  const auto& all = parts(piece_name, name);
  const bool spoke = std::any_of(all.begin(), all.end(), [&](const auto& part) { return part.rule == rule; });
  return said_if(spoke, rule);
}

std::string Fitted::speaker(const std::string& rule, const std::string& piece_name, const std::string& name) const {
  if (!if_spoke(rule, piece_name, name).empty()) return rule;
  std::string all;
  for (const auto& part : parts(piece_name, name)) all += part.rule + "; ";
  return all;
}

std::string Fitted::because(const std::string& piece_name, const std::string& name) const {
  std::string all;
  for (const auto& part : property(piece_name, name).parts)
    if (runtime::speaks(part)) all += part.because + "\n";
  return all;
}

std::string Fitted::first_warning(const std::string& words) const {
  return found(words, advice_.cautions.empty() ? "" : advice_.cautions.front().part.says);
}

std::string Fitted::warning(const std::string& words) const {
  std::string all;
  for (const auto& caution : advice_.cautions) {
    if (caution.part.says.find(words) != std::string::npos) return words;
    all += caution.part.says + "\n";
  }
  return all;
}

std::string Fitted::if_warned(const std::string& words) const { return said_if(warning(words) == words, words); }
std::string Fitted::if_warned_first(const std::string& words) const {
  return said_if(first_warning(words) == words, words);
}

double Fitted::worked_out(const std::string& detail) const {
  const auto& policy = haverdike().policy();
  std::vector<std::int64_t> readings;
  for (const auto& reading : player_.readings) readings.push_back(reading.value());
  compiler::Reach reach(policy.tables);
  (void)reach.at(readings);  // what it gives is the places; the values are wanted
  for (std::size_t i = 0; i < policy.worked_out.size(); ++i) {
    if (policy.worked_out[i].name != detail) continue;
    const auto& value = reach.value(readings.size() + i);
    REQUIRE(compiler::compare(value.lowest, value.highest) == 0);
    const double ticks = static_cast<double>(value.lowest.numerator) / static_cast<double>(value.lowest.denominator);
    const bool length = policy.worked_out[i].scale.dimension == compiler::Dimension::length;
    return length ? ticks / static_cast<double>(compiler::ticks_per({grammar::Unit::millimetre, ""})) : ticks;
  }
  FAIL("nothing is worked out under the name " << detail);
  return 0;
}

const char* const common = "common practice, no source";

const Details child_of_nine = {{"age", "9 years"},       {"birth_day", "2017-04-01"},
                               {"category", "u10"},      {"weight", "30 kg"},
                               {"height", "134 cm"},     {"foot_length", "205 mm"},
                               {"other_foot", "205 mm"}, {"foot_width", "80 mm"},
                               {"head_girth", "52 cm"},  {"neck_girth", "27 cm"},
                               {"chest", "65 cm"},       {"waist", "58 cm"},
                               {"forearm", "19 cm"},     {"shin", "11 in"}};
const Details light_adult = {{"weight", "55 kg"}, {"height", "165 cm"}};
const Details heavy_beginner = {{"weight", "127 kg"}, {"height", "183 cm"}};
const Details teenager = {
    {"age", "14 years"}, {"birth_day", "2012-04-01"}, {"category", "u16"}, {"weight", "55 kg"}, {"height", "165 cm"}};
const Details keeper = {{"role", "goalkeeper"}};

Details with(Details details, const Details& more) {
  for (const auto& [detail, text] : more) details[detail] = text;
  return details;
}

std::string cm(double length) { return fmt::format("{:.2f} cm", length); }
std::string mm(double length) { return fmt::format("{} mm", length); }

bool says(const std::string& text, const std::string& words) { return text.find(words) != std::string::npos; }

void stands_near(const std::string& what, const std::string& source, double trade, double shop) {
  constexpr double apart = 0.15;
  INFO(what << " (" << source << "): the trade's ratio is " << trade << ", the shop's " << shop);
  CHECK(std::abs(shop - trade) <= apart * trade);
}

double middle(const Ends& ends) { return (ends.low + ends.high) / 2; }

void hold(const std::vector<Figure>& figures) {
  for (const auto& figure : figures) {
    INFO(figure.what << " (" << figure.source << ")");
    CHECK(figure.measured == figure.expected);
  }
}

std::string found(const std::string& words, const std::string& text) {
  return text.find(words) != std::string::npos ? words : text;
}
std::string other_than(const std::string& not_wanted, const std::string& is) {
  return is != not_wanted ? "other than " + not_wanted : is;
}
std::string at_most(double limit, double is) {
  return is <= limit ? fmt::format("at most {}", limit) : fmt::format("{}", is);
}
std::string at_least(double limit, double is) {
  return is >= limit ? fmt::format("at least {}", limit) : fmt::format("{}", is);
}
std::string over(double limit, double is) { return is > limit ? fmt::format("over {}", limit) : fmt::format("{}", is); }
std::string said_if(bool so, const std::string& words) { return so ? words : ""; }

}  // namespace lacestay::tests
