#include "tests/policies/fitted.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cstdlib>

#include "compiler/space/reach.hpp"
#include "compiler/values/days.hpp"
#include "runtime/advice/words.hpp"
#include "tests/support/shipped.hpp"

namespace lacestay::tests {

namespace {

const std::map<std::string, std::string>& middling() {
  static const std::map<std::string, std::string> all = {
      {"age", "30 years"},      {"birth_day", "1 May 1996"}, {"sex", "male"},
      {"role", "skater"},       {"position", "not_sure"},    {"hand", "left"},
      {"skill", "new"},         {"contact", "none"},         {"sessions", "1"},
      {"league", "friendly"},   {"category", "adult"},       {"toe_wish", "no_wish"},
      {"grip_wish", "no_wish"}, {"visor_wish", "no_wish"},   {"weight", "75 kg"},
      {"height", "175 cm"},     {"foot_length", "265 mm"},   {"other_foot", "265 mm"},
      {"foot_width", "102 mm"}, {"head_girth", "57 cm"},     {"neck_girth", "38 cm"},
      {"chest", "39 in"},       {"waist", "34 in"},          {"forearm", "26 cm"},
      {"shin", "14.6 in"},
  };
  return all;
}

std::string words(const runtime::Answer& answer) {
  return runtime::possible_in_words(shipped().policy(), answer).front();
}

}  // namespace

Fitted::Fitted(const std::map<std::string, std::string>& different) {
  auto details = middling();
  for (const auto& [detail, text] : different) details[detail] = text;
  grammar::Diagnostics problems;
  runtime::PlayerReader reader(shipped().policy(), problems);
  for (const auto& [detail, text] : details) reader.set(detail, text);
  INFO(render(problems.sorted()));
  REQUIRE(problems.sorted().empty());
  player_ = reader.take();
  advice_ = runtime::advise(shipped(), player_, compiler::day_number(2026, 10, 1));
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

Ends Fitted::ends(const std::string& piece_name, const std::string& name) const {
  const auto text = answer(piece_name, name);
  const auto to = text.find(" to ");
  const double low = std::strtod(text.c_str(), nullptr);
  return {low, to == std::string::npos ? low : std::strtod(text.c_str() + to + 4, nullptr)};
}

std::string Fitted::presence(const std::string& name) const { return words(piece(name).presence); }

bool Fitted::in_kit(const std::string& name) const { return piece(name).may_be_in_kit; }

bool Fitted::spoke(const std::string& rule, const std::string& piece_name, const std::string& name) const {
  const auto& parts = name.empty() ? piece(piece_name).presence.parts : property(piece_name, name).parts;
  return std::any_of(parts.begin(), parts.end(), [&](const auto& part) { return part.rule == rule; });
}

std::string Fitted::because(const std::string& piece_name, const std::string& name) const {
  std::string all;
  for (const auto& part : property(piece_name, name).parts)
    if (runtime::speaks(part)) all += part.because + "\n";
  return all;
}

bool Fitted::warned_first(const std::string& words) const {
  return !advice_.cautions.empty() && advice_.cautions.front().part.says.find(words) != std::string::npos;
}

bool Fitted::warned(const std::string& words) const {
  const auto& all = advice_.cautions;
  return std::any_of(all.begin(), all.end(),
                     [&](const auto& caution) { return caution.part.says.find(words) != std::string::npos; });
}

double Fitted::worked_out(const std::string& detail) const {
  const auto& policy = shipped().policy();
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

}  // namespace lacestay::tests
