// A comparison as a page: all that can be read on it, that it is well formed, fetches nothing and runs nothing, and
// that its tables and pictures say what they are to those who can't see them.
#include <algorithm>
#include <catch2/catch.hpp>
#include <set>
#include <vector>

#include "runtime/compare/change_map.hpp"
#include "runtime/compare/html.hpp"
#include "tests/support/golden.hpp"
#include "tests/support/policy/compiled.hpp"
#include "tests/support/well_formed.hpp"

namespace {

using namespace lacestay;

const std::string earlier_text = R"(policy "Corner & <shop>"
edition 1, in force from 1 September 2025
ask age 4 to 90 years, whole
ask weight 12 to 180 kg
ask height 90 to 215 cm
ask skill grades new, improving, league

piece skates always
  tier grades entry, club, performance
piece neck_guard optional
piece bag optional

chart boot_chart gives skates tier
  across weight  under 40 kg,  under 60 kg,  the rest
  down skill
    new:         entry,        entry,        club
    improving:   entry,        club,         performance
    league:      club,         performance,  performance
  because "The boot holds the ankle."

rule big
  floor skates tier at club
  for weight over 50 kg, height over 150 cm
  because "A soft boot gives way."

rule necks
  need neck_guard
  for age under 16
  because "Cuts are rare."

rule guests
  omit neck_guard
  for age at least 80

rule carry
  suggest bag
  for age under 12
)";

std::string edited(std::string text, const std::vector<std::pair<std::string, std::string>>& edits) {
  for (const auto& [was, is] : edits) {
    const auto at = text.find(was);
    INFO(was);
    REQUIRE(at != std::string::npos);
    text.replace(at, was.size(), is);
  }
  return text;
}

std::string later_text() {
  return edited(earlier_text,
                {{"edition 1, in force from 1 September 2025", "edition 2, in force from 1 September 2026"},
                 {"age 4 to 90", "age 5 to 90"},
                 {"    improving:   entry, ", "    improving:   club,  "},
                 {"weight over 50 kg, height over 150 cm", "weight over 48 kg, height over 140 cm"},
                 {"Cuts are rare.", "Cuts are rare & can <b>kill."},
                 {"age under 16", "age under 18"},
                 {"rule guests\n  omit neck_guard\n  for age at least 80\n\n", ""}});
}

// The page for two texts.
std::string page_for(const std::string& before, const std::string& now) {
  const auto earlier = tests::engine_of("old.fitting", before), later = tests::engine_of("new.fitting", now);
  const auto difference = compiler::differences(earlier->policy(), later->policy());
  auto comparison = runtime::comparison_of(*earlier, *later, difference);
  comparison.earlier.file = "old.fitting";
  comparison.later.file = "new.fitting";
  return runtime::page_of(comparison, difference);
}

// What can be read: the text between tags, a line each, without the style.
std::string readable(const std::string& page) {
  std::string out;
  for (auto at = page.find("<main>"); at < page.size();) {
    const auto close = page.find('>', at), open = std::min(page.find('<', close), page.size());
    const auto text = page.substr(close + 1, open - close - 1);
    if (text.find_first_not_of(" \n") != std::string::npos) out += text.substr(text.find_first_not_of('\n')) + "\n";
    at = open;
  }
  return out;
}

TEST_CASE("all that can be read on the page") {
  tests::golden("comparison/page_in_words.txt", readable(page_for(earlier_text, later_text())));
}

TEST_CASE("the page is well formed and stands for itself") {
  const auto page = page_for(earlier_text, later_text());
  const auto tags = tests::well_formed(page, tests::Drawings::may_be);
  CHECK(tags.count("h1") == 1);
  CHECK(tags.count("svg") == 1);
  CHECK(tags.count("title") == 2);  // the page's, and the map's
  CHECK(tags.count("desc") == 1);
  for (const auto* never : {"script", "link", "img", "iframe", "a"}) CHECK(tags.count(never) == 0);
  CHECK(page.find("http") == std::string::npos);
  CHECK(page.rfind("<!DOCTYPE html>\n<html lang=\"en\">\n", 0) == 0);
  CHECK(page.find("<td class=\"changed\">club<span class=\"was\">was entry</span></td>") != std::string::npos);
  CHECK(page.find("aria-labelledby=\"map-1-2-title map-1-2-says\"") != std::string::npos);
  CHECK(page.find("<b>") == std::string::npos);
}

TEST_CASE("two editions that say the same, or share no player") {
  const auto same = page_for(earlier_text, earlier_text);
  tests::well_formed(same, tests::Drawings::may_be);
  CHECK(same.find("No answer changes for any player.") != std::string::npos);
  const auto apart =
      page_for(edited(earlier_text, {{"age 4 to 90", "age 4 to 89"}, {"age at least 80", "age at least 70"}}),
               edited(earlier_text, {{"age 4 to 90", "age 90 to 95"},
                                     {"age under 16", "age under 92"},
                                     {"age at least 80", "age at least 92"},
                                     {"age under 12", "age under 93"}}));
  tests::well_formed(apart, tests::Drawings::may_be);
  CHECK(apart.find("No player can be advised under both editions.") != std::string::npos);
}

TEST_CASE("a map where two number details decide, and none elsewhere") {
  const auto earlier = tests::engine_of("old.fitting", earlier_text),
             later = tests::engine_of("new.fitting", later_text());
  const auto difference = compiler::differences(earlier->policy(), later->policy());
  const auto& statements = difference.changes.front().statements;
  REQUIRE(statements.size() == 2);
  CHECK_FALSE(runtime::map_of(difference, statements[0]));
  const auto map = runtime::map_of(difference, statements[1]);
  REQUIRE(map);
  CHECK(map->who == "skill new");
  CHECK(map->across.name == "weight");
  CHECK(map->up.name == "height");
  std::vector<std::string> edges;
  for (const auto* axis : {&map->across, &map->up})
    for (const auto& [at, written] : axis->edges) edges.push_back(written);
  CHECK(edges == std::vector<std::string>{"48 kg", "50 kg", "60 kg", "140 cm", "150 cm", "215 cm"});
  CHECK(map->regions.size() == 1);
  CHECK(map->kept.size() == 1);
}

}  // namespace
