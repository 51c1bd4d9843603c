// The shipped earlier edition beside today's: what changed, and how many of the children of an open data set get
// another answer, counted by the comparison and again by both engines, answer by answer.
//
// The set holds age, sex, height and weight. All else is supplied, the same for everyone: a skater of the youngest
// grade in a friendly league, with middling measures.
#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <chrono>
#include <fstream>
#include <iostream>
#include <set>
#include <sstream>

#include "compiler/proof/proof.hpp"
#include "runtime/compare/comparison.hpp"
#include "runtime/compare/matched_outcome.hpp"
#include "tests/support/places.hpp"
#include "tests/support/policy/compiled.hpp"
#include "tests/support/policy/shipped.hpp"
#include "tests/support/settings.hpp"

namespace {

using namespace lacestay;
using compiler::Side;

const runtime::Engine& earlier() {
  static const auto engine = tests::engine_of(tests::shipped_policy("northgate_edition_3.fitting"));
  return *engine;
}

// As a shop's list would have them; empty where the set could not be had, which is then a skip (in CI a failure).
std::string children() {
  const auto path = tests::oracle("children_fdgs.csv");
  std::ifstream in(path);
  if (!in) {
    tests::skipped(path + " has not been fetched (tests/oracles/fetch.sh)");
    return "";
  }
  std::string out =
      "player,age,sex,height (cm),weight (kg),role,position,hand,skill,contact,sessions,league,category,birth_day,"
      "toe_wish,grip_wish,visor_wish,foot_length (mm),other_foot (mm),foot_width (mm),head_girth (cm),neck_girth (cm),"
      "chest (cm),waist (cm),forearm (cm),shin (cm)\n";
  std::string line;
  std::getline(in, line);
  REQUIRE(line.rfind("id,reg,age,sex,hgt,wgt,", 0) == 0);
  while (std::getline(in, line)) {
    std::stringstream fields(line);
    std::string id, region, age, sex, height, weight;
    for (auto* field : {&id, &region, &age, &sex, &height, &weight}) std::getline(fields, *field, ',');
    out += fmt::format("{},{},{},{},{},skater,forward,left,new,none,1,friendly,u12,2014-05-01,", id,
                       age.substr(0, age.find('.')), sex == "boy" ? "male" : "female", height, weight);
    out += "no_wish,no_wish,no_wish,220,219,85,53,30,70,62,21,32\n";
  }
  return out;
}

// How many answers of a complete player are others, table by table.
std::size_t answers_changed(const compiler::Difference& difference, const runtime::Player& player) {
  auto before = earlier().scratch(), after = tests::shipped().scratch();
  const auto readings = runtime::readings_of(player);  // both editions ask the same, from one part
  earlier().place(readings, before);
  tests::shipped().place(readings, after);
  std::size_t changed = 0;
  const auto count = [&](const compiler::MatchedAnswer& answer) {
    const auto was = runtime::outcome_of(earlier(), answer, Side::earlier, before);
    const auto is = runtime::outcome_of(tests::shipped(), answer, Side::later, after);
    changed += was && is && !answer.same(*was, *is);
  };
  for (const auto& answer : difference.same) count(answer);
  for (const auto& change : difference.changes) count(change.answer);
  return changed;
}

TEST_CASE("the earlier edition gives every player an answer too") {
  CHECK_FALSE(compiler::prove(earlier().policy()).refused());
}

TEST_CASE("what edition 4 changed") {
  const auto difference = compiler::differences(earlier().policy(), tests::shipped().policy());
  CHECK(difference.settled());
  const auto comparison = runtime::comparison_of(earlier(), tests::shipped(), difference);
  std::vector<std::string> changed;
  for (const auto& change : comparison.changes) changed.push_back(change.answer);
  CHECK(changed == std::vector<std::string>{"stick flex", "face_protection kind", "goal_stick paddle", "neck_guard",
                                            "mouthguard", "junior: book_decides", "international: longer_by_waiver",
                                            "international: blade_limits", "international: book_decides"});
  REQUIRE(comparison.changes.front().statements.size() == 2);
  const auto& edges = comparison.changes.front().statements[0];
  CHECK(edges.who == "role skater, weight 35 kg up to 40 kg or 50 kg up to 55 kg");
  REQUIRE(edges.becomes.size() == 2);
  CHECK(edges.becomes[0].before + " becomes " + edges.becomes[0].after == "35 to 45 flex becomes 40 to 50 flex");
  CHECK(edges.becomes[1].before + " becomes " + edges.becomes[1].after == "40 to 50 flex becomes 60 to 75 flex");
  CHECK(comparison.asked.empty());
  CHECK(comparison.texts.empty());
}

TEST_CASE("how many children of the open data set get another answer") {
  const auto text = children();
  if (text.empty()) return;
  const auto start = std::chrono::steady_clock::now();
  const auto difference = compiler::differences(earlier().policy(), tests::shipped().policy());
  grammar::Diagnostics problems;
  const auto people = runtime::read_people("children.csv", text, problems);
  const auto lines = runtime::compare_people(earlier(), tests::shipped(), difference, people);
  const std::chrono::duration<double, std::milli> took = std::chrono::steady_clock::now() - start;
  CHECK(problems.empty());
  std::cout << fmt::format("{} of {} children get another answer; {:.0f} ms\n", lines.changed.size(), lines.compared,
                           took.count());
  CHECK(lines.people == 10'030);
  CHECK(lines.compared + lines.outside.size() == lines.people);

  std::size_t compared = 0;
  std::set<std::string> blanks;
  std::vector<std::pair<std::string, std::size_t>> changed, told;
  for (const auto& person : people.people) {
    grammar::Diagnostics ignored;
    runtime::PlayerReader reader(tests::shipped().policy(), ignored);
    for (const auto& [name, value] : person.details) reader.set(name, value);
    if (!ignored.empty()) continue;
    const auto let_in = reader.take();
    if (!let_in) continue;
    const auto& player = *let_in;
    ++compared;
    // A measure the set lacks leaves more than one answer possible: that is not counted plainly.
    if (!player.complete()) {
      blanks.insert(person.name);
      continue;
    }
    if (const auto count = answers_changed(difference, player)) changed.emplace_back(person.name, count);
  }
  for (const auto& each : lines.changed)
    if (blanks.count(each.name) == 0) told.emplace_back(each.name, each.answers.size());
  CHECK(blanks.size() < 100);
  CHECK(compared == lines.compared);
  CHECK(told == changed);
  CHECK(lines.changed.size() > 1'000);
}

}  // namespace
