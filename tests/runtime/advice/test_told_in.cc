// What a customer told in stone comes back in stone: where people read it, and nowhere that is hashed.
#include <catch2/catch.hpp>

#include "runtime/advice/html.hpp"
#include "runtime/advice/json.hpp"
#include "runtime/advice/text.hpp"
#include "runtime/player/player.hpp"
#include "tests/support/policy/compiled.hpp"

namespace {

using namespace lacestay;

constexpr auto text = R"(policy "Told"
edition 1, in force from 1 September 2026
ask age     4 to 90 years, whole
ask weight  12 to 180 kg
ask height  90 to 215 cm
piece helmet always
piece pads optional
rule light
  need pads
  for weight under 40 kg
  because "They bruise."
)";

struct Faces {
  std::string text, json, page;
};

Faces advised(const std::vector<std::pair<std::string, std::string>>& details) {
  static const auto engine = tests::engine_of(tests::policy_of("told.fitting", text));
  grammar::Diagnostics problems;
  runtime::PlayerReader reader(engine->policy(), problems);
  for (const auto& [name, value] : details) reader.set(name, value);
  REQUIRE(problems.empty());
  const auto advice = runtime::advise(*engine, reader.take().value(), engine->policy().in_force_from);
  return {runtime::text_of(advice), runtime::json_of(advice).dump(), runtime::page_of(advice)};
}

TEST_CASE(
    "a detail is shown in the units it was told in, beside the policy's where it has others, and hashed in these") {
  const auto told = advised({{"age", "9"}, {"weight", "4 st 10½ lb"}, {"height", "4'6\""}});
  const auto same = advised({{"age", "9 years"}, {"weight", "30.16389260500 kg"}, {"height", "137.16 cm"}});
  CHECK(told.text.find("age 9 years, weight 30.16 kg (4 st 10½ lb), height 137.16 cm (4 ft 6 in)") !=
        std::string::npos);
  CHECK(told.text.find("weight 4 st 10½ lb (9.84 kg under the edge of 40 kg)") != std::string::npos);
  CHECK(told.page.find("30.16 kg (4 st 10½ lb)") != std::string::npos);
  CHECK(told.json == same.json);
  CHECK(told.json.find("30.16 kg") != std::string::npos);
  CHECK(same.text.find("age 9 years, weight 30.163892605 kg, height 137.16 cm") != std::string::npos);
}

TEST_CASE("a slip of the tape is told in the units that the measure was told in") {
  const auto told = advised({{"age", "9"}, {"weight", "6 st 4 lb"}, {"height", "4'6\""}});
  INFO(told.text);
  CHECK(told.text.find("measure weight again: at 40.32 kg (6 st 4.9 lb)") != std::string::npos);
  CHECK(told.json.find("st 4") == std::string::npos);
}

TEST_CASE("a distance that would read as nothing is told in a finer unit") {
  const auto engine = tests::engine_of("near.fitting", R"(policy "Near"
edition 1, in force from 1 September 2026
ask height 90 to 215 cm shown in ft and in
ask weight 12 to 180 kg
piece pads optional
rule small
  need pads
  for height under 5 ft 5 in, weight under 100 kg
  because "They fit."
)");
  grammar::Diagnostics problems;
  runtime::PlayerReader reader(engine->policy(), problems);
  reader.set("height", "165 cm");
  reader.set("weight", "99.999 kg");
  const auto advice = runtime::advise(*engine, reader.take().value(), engine->policy().in_force_from);
  const auto text = runtime::text_of(advice);
  INFO(text);
  CHECK(text.find("0.04 in under the edge of 5 ft 5 in") != std::string::npos);
  CHECK(text.find("weight 99.999 kg (1 g") != std::string::npos);
}

}  // namespace
