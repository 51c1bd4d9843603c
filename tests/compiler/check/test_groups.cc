// What is said of a group is what the same lines say, written out for each of its pieces.
#include <catch2/catch.hpp>

#include "runtime/chart/chart_json.hpp"
#include "tests/support/policy/compiled.hpp"

namespace {

using namespace lacestay;

const std::string kit = R"(policy "Rink shop"
edition 1, in force from 1 September 2026
ask age     4 to 90 years, whole
ask contact grades none, incidental, full
ask hand    150 to 260 mm
piece helmet optional
piece visor optional
piece body_pads always
  tier grades light, medium, heavy
piece gloves always
  tier grades light, medium, heavy
  size 140 to 280 mm step 20 mm
piece mitts for age under 8
  size 140 to 280 mm step 20 mm
piece tape always
  width choice thin, wide
rule usual_width
  set tape width to thin
)";

// A group's lines, and the same for each of its pieces by itself; of rules the names are told apart by a letter.
struct Example {
  const char *grouped, *written_out;
};
const Example examples[] = {
    {"group head is helmet, visor\nrule r\n  need head\n  for age under 18\n  safety\n",
     "rule r\n  need helmet, visor\n  for age under 18\n  safety\n"},
    {"group head is helmet, visor\nrule r\n  suggest tape, head\n", "rule r\n  suggest tape, helmet, visor\n"},
    {"group head is helmet, visor\nrule r\n  omit head\n  for age at least 60\n",
     "rule r\n  omit helmet, visor\n  for age at least 60\n"},
    {"group padding is gloves, body pads\nrule r\n  floor padding tier at medium\n  for contact full\n",
     "rule r_a\n  floor gloves tier at medium\n  for contact full\n"
     "rule r_b\n  floor body_pads tier at medium\n  for contact full\n"},
    {"rule r\n  cap every piece tier at medium\n  safety\n",
     "rule r_a\n  cap body_pads tier at medium\n  safety\nrule r_b\n  cap gloves tier at medium\n  safety\n"},
    {"group hands is gloves, mitts\nrule r\n  size hands size from hand\nrule s\n  one step up in hands.size\n  for "
     "age "
     "under 14\nrule t\n  refer hands size\n  for hand over 250 mm\n",
     "rule r_a\n  size gloves size from hand\nrule r_b\n  size mitts size from hand\n"
     "rule s_a\n  one step up in gloves size\n  for age under 14\nrule s_b\n  one step up in mitts size\n  for age "
     "under "
     "14\nrule t_a\n  refer gloves size\n  for hand over 250 mm\nrule t_b\n  refer mitts size\n  for hand over 250 "
     "mm\n"},
    {"group hands is gloves, mitts\nrule r\n  refer hands\n", "rule r_a\n  refer gloves\nrule r_b\n  refer mitts\n"},
    {"group padding is body_pads, gloves\nchart c gives padding tier\n  down contact\n    none, incidental: light\n    "
     "full: "
     "heavy\n",
     "chart c_a gives body_pads tier\n  down contact\n    none, incidental: light\n    full: heavy\n"
     "chart c_b gives gloves tier\n  down contact\n    none, incidental: light\n    full: heavy\n"},
};

// The tables of answers, with what each row says and for whom; not by which rule, nor where that stands.
std::string tables_of(const std::string& items) {
  // Each property has an answer whatever the example says.
  static const std::string answered =
      "rule any_pads\n  refer body_pads\n  for age under 5\nrule any_gloves\n  refer gloves\n  for age under 5\n"
      "rule any_mitts\n  refer mitts\n  for age under 5\n";
  auto made = tests::compile_files({{"shop.fitting", kit + answered + items}});
  INFO(items << render(made.diagnostics));
  REQUIRE(made.policy);
  auto chart = runtime::chart_json(*made.policy);
  for (auto& table : chart["tables"])
    for (auto& row : table["rows"]) row.erase("rule"), row.erase("line"), row.erase("file");
  return chart["tables"].dump(1);
}

TEST_CASE("a rule or chart of a group says the same of each of its pieces") {
  for (const auto& each : examples) {
    INFO(each.grouped);
    CHECK(tables_of(each.grouped) == tables_of(each.written_out));
  }
}

TEST_CASE("a claim, an accept line and protection of a group are of each of its pieces") {
  const auto shop = [](const char* items) {
    auto made = tests::compile_files(
        {{"shop.fitting", kit +
                              "rule pads\n  set body_pads tier to light\nrule gloves_tier\n  set gloves tier to light\n"
                              "rule gloves_size\n  size gloves size from hand\nrule mitts_size\n  size mitts size from "
                              "hand\ngroup padding is gloves, body_pads\ngroup head is helmet, visor\n" +
                              std::string(items)}});
    INFO(items << render(made.diagnostics));
    REQUIRE(made.policy);
    return made.policy;
  };
  const auto grouped = shop(
      "make sure padding tier is at most medium for age under 10\nmake sure head is left out for age at least 60\n"
      "accept padding with padding tier at least advised, condition new\n  if none in stock, one step down in tier\n"
      "protection is head\n");
  const auto written = shop(
      "make sure gloves tier is at most medium for age under 10\nmake sure body_pads tier is at most medium for age "
      "under "
      "10\nmake sure helmet is left out for age at least 60\nmake sure visor is left out for age at least 60\n"
      "accept body_pads with tier at least advised, condition new\n  if none in stock, one step down in tier\n"
      "accept gloves with tier at least advised, condition new\n  if none in stock, one step down in tier\n"
      "protection is helmet, visor\n");
  REQUIRE(grouped->sures.size() == written->sures.size());
  for (std::size_t i = 0; i < grouped->sures.size(); ++i) {
    const auto &a = grouped->sures[i], &b = written->sures[i];
    CHECK(a.kind == b.kind);
    CHECK(a.target == b.target);
    CHECK(a.high == b.high);
    CHECK(a.when.size() == b.when.size());
  }
  CHECK(grouped->shop.protection == written->shop.protection);
  REQUIRE(grouped->shop.accepts.size() == written->shop.accepts.size());
  for (std::size_t i = 0; i < grouped->shop.accepts.size(); ++i) {
    REQUIRE(grouped->shop.accepts[i].size() == written->shop.accepts[i].size());
    if (grouped->shop.accepts[i].empty()) continue;
    const auto &a = grouped->shop.accepts[i].front(), &b = written->shop.accepts[i].front();
    REQUIRE(a.requirements.size() == b.requirements.size());
    for (std::size_t k = 0; k < a.requirements.size(); ++k) {
      CHECK(a.requirements[k].kind == b.requirements[k].kind);
      CHECK(a.requirements[k].property == b.requirements[k].property);
    }
    REQUIRE(a.instead.size() == b.instead.size());
    CHECK(a.instead.front().property == b.instead.front().property);
    CHECK(a.instead.front().steps == b.instead.front().steps);
  }
}

}  // namespace
