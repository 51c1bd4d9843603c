// Trees to decision tables: one table of {source, tables} for each construct and law of lowering.
#include <fmt/format.h>

#include <catch2/catch.hpp>

#include "compiler/check/compile.hpp"

namespace {

using namespace lacestay::compiler;

// A table as text: its rows one a line, "column=places …: effect low..high by rule", then who outranks whom.
std::string dump(const Policy& policy, const Table& table) {
  static constexpr const char* effects[] = {"base",    "keep", "floor",   "cap",  "step",    "refer",
                                            "present", "need", "suggest", "omit", "caution", "value"};
  std::string out;
  for (const auto& row : table.rows) {
    for (const auto& cell : row.box) {
      out += policy.name_of(cell.column) + "=";
      for (const auto& range : cell.places)
        out += range.first == range.last ? fmt::format("{} ", range.first)
                                         : fmt::format("{}-{} ", range.first, range.last);
    }
    const auto step = [](std::int64_t at) {
      return leaves_open(at) ? fmt::format("any {}", members_of(at)) : fmt::to_string(at);
    };
    out += fmt::format("{} {}..{} by {}{}\n", effects[static_cast<int>(row.effect)], step(row.low), step(row.high),
                       policy.rules[row.rule].name, row.safety ? ", safety" : "");
  }
  for (const auto& [over, under] : table.outranks)
    out += fmt::format("{} outranks {}\n", policy.rules[over].name, policy.rules[under].name);
  return out;
}

std::string dump_cuts(const Policy& policy, ColumnId column) {
  std::string out;
  for (const auto& cut : policy.tables.columns[column].cuts) out += fmt::format("{}{} ", cut.at, cut.after ? "+" : "");
  return out;
}

std::shared_ptr<const Policy> compiled(const std::string& items) {
  const std::string prelude =
      "policy \"P\"\nedition 1, in force from 1 September 2026\nmoney GBP\n"
      "ask age 4 to 90 years, whole\nask weight 12 to 180 kg\nask skill grades new, improving, league, elite\n"
      "ask role choice skater, goalkeeper\nask count 0 to 9, whole\n";
  auto result = compile("test.fitting", prelude + items, [](const std::string&) {
    return lacestay::Problem{"file-5", "there is none"};
  });
  INFO(items << lacestay::render(result.diagnostics));
  REQUIRE(result.policy);
  return result.policy;
}

struct Example {
  const char* items;
  const char* table;
};

const Example examples[] = {
    // A chart down a number: places run from the edge above; `at most` takes its edge in.
    {"piece p always\n  q grades a, b\nchart c gives p q\n  down count\n    under 3: a\n    at most 5: b\n    the "
     "rest: a\n",
     "count=0 base 0..0 by c\ncount=1 base 1..1 by c\ncount=2 base 0..0 by c\n"},
    // Two axes, and a chart's own `for`.
    {"piece p always\n  q grades a, b\nchart c gives p q\n  across age under 10, the rest\n  down skill\n    new, "
     "league: a, b\n    improving, elite: b, a\n  for role skater\n",
     "age=0 skill=0 2 role=0 base 0..0 by c\nage=1 skill=0 2 role=0 base 1..1 by c\nage=0 skill=1 3 role=0 base 1..1 "
     "by c\nage=1 skill=1 3 role=0 base 0..0 by c\n"},
    // `for` on the detail the chart runs down: the two are met together, and a row nobody meets is left out.
    {"piece p always\n  q grades a, b\nchart c gives p q\n  down count\n    under 3: a\n    under 6: b\n    the rest: "
     "a\n  for count at least 4\n",
     "count=2 base 1..1 by c\ncount=3 base 0..0 by c\n"},
    // Every effect of a property, with outranks closed.
    {"piece p always\n  q grades a, b, c\nrule x\n  set p q to a\nrule y\n  set p q to b\n  outranks x\n  for skill at "
     "least league\nrule z\n  set p q to c\n  outranks y\n  for skill elite\n"
     "rule f\n  floor p q at b\n  safety\nrule g\n  cap p q at b\n  for role skater\nrule h\n  refer p\n  for age "
     "under 6\n",
     "base 0..0 by x\nskill=2-3 base 1..1 by y\nskill=3 base 2..2 by z\nfloor 1..1 by f, safety\nrole=0 cap 1..1 by "
     "g\nage=0 refer 0..0 by h\ny outranks x\nz outranks x\nz outranks y\n"},
    // A band and what narrows it.
    {"piece p always\n  q band 20 to 60 flex step 10 flex\nrule x\n  set p q to 30 to 50 flex\nrule k\n  keep p q "
     "within 20 to 40 flex\n",
     "base 1..3 by x\nkeep 0..2 by k\n"},
    // A choice that is left open, and what narrows it: a bit for each member, but a place where one is left.
    {"piece p always\n  q choice a, b, c\nrule x\n  set p q to any of them\nrule k\n  keep p q within c or a\nrule l\n"
     "  keep p q within b\n  for role skater\n",
     "base any 7..any 7 by x\nkeep any 5..any 5 by k\nrole=0 keep 1..1 by l\n"},
    // Steps from the base; up is above 0.
    {"piece p always\n  q grades a, b, c\nrule x\n  set p q to a\nrule u\n  two steps up in p q\n  for role "
     "skater\nrule "
     "d\n  one step down in p q\n  safety\n",
     "base 0..0 by x\nrole=0 step 2..2 by u\nstep -1..-1 by d, safety\n"},
    // `size … from`: each step answers what lies past the one below it.
    {"piece p always\n  q 10 to 30 kg step 10 kg\nwork out w = weight / 4\nrule x\n  size p q from w\nrule y\n  refer "
     "p q\n  for weight over 120 kg\n  outranks x\n",
     "w=0 base 0..0 by x\nw=1 base 1..1 by x\nw=2 base 2..2 by x\nweight=1 refer 0..0 by y\ny outranks x\n"},
};

TEST_CASE("each construct is lowered to the rows it means") {
  for (const auto& example : examples) {
    const auto policy = compiled(example.items);
    INFO(example.items);
    CHECK(dump(*policy, policy->tables.tables[policy->tables.property_table(0)]) == example.table);
  }
}

TEST_CASE("presence, cautions and charts of details have tables of their own") {
  const auto policy = compiled(
      "piece p for role goalkeeper\npiece o optional\n"
      "rule n\n  need o\n  for age under 18\n  safety\nrule s\n  suggest o\nrule l\n  omit o\n  for age at least 60\n"
      "rule c\n  caution \"Mind.\"\n  for skill new\n"
      "chart room gives room\n  down age\n    under 13: 8 mm\n    the rest: 0 mm\n");
  const auto& tables = policy->tables;
  REQUIRE(tables.tables.size() == 4);
  CHECK(dump(*policy, tables.tables[tables.piece_table(0)]) == "role=1 present 0..0 by p\n");
  CHECK(dump(*policy, tables.tables[tables.piece_table(1)]) ==
        "age=0-1 need 0..0 by n, safety\nsuggest 0..0 by s\nage=3 omit 0..0 by l\n");
  CHECK(dump(*policy, tables.tables[tables.first_caution_table()]) == "skill=0 caution 0..0 by c\n");
  CHECK(dump(*policy, tables.tables[tables.worked_out[0].chart]) ==
        "age=0 value 8000000..8000000 by room\nage=1-3 value 0..0 by room\n");
}

TEST_CASE("a detail's name may begin with another's") {
  const auto policy = compiled(
      "ask course choice learn, kit_one\nask course_kit choice full, learn\npiece cap optional\n"
      "rule a\n  need cap\n  for course_kit full\nrule b\n  need cap\n  for course kit_one\n"
      "rule c\n  need cap\n  for course_kit learn, course learn\n");
  CHECK(dump(*policy, policy->tables.tables[policy->tables.piece_table(0)]) ==
        "course_kit=0 need 0..0 by a\ncourse=1 need 0..0 by b\ncourse=0 course_kit=1 need 0..0 by c\n");
}

TEST_CASE("edges of the whole policy are gathered once, and equal edges are one") {
  const auto policy = compiled(
      "piece p always\n  q grades a, b\nchart c gives p q\n  down weight\n    under 14 st: a\n    the rest: b\n"
      "rule f\n  floor p q at b\n  for weight at least 196 lb, count over 4, age under 18\n"
      "rule g\n  cap p q at b\n  for weight under 88.90410452 kg, count at least 5, age at least 18\n"
      "work out half = weight / 2\nrule h\n  floor p q at a\n  for half over 40 kg, half at least 40 kg\n");
  CHECK(dump_cuts(*policy, 1) == "889041045200000 ");  // 14 st = 196 lb = 88.90410452 kg
  CHECK(dump_cuts(*policy, 0) == "216 ");              // 18 years in months
  CHECK(dump_cuts(*policy, 4) == "5000000000 ");       // over 4 is at least 5, of whole counts
  CHECK(dump_cuts(*policy, 5) == "400000000000000 400000000000000+ ");
}

TEST_CASE("worked-out details carry exact bounds and the details they rest on") {
  const auto policy = compiled(
      "piece p always\nwork out half = weight / 2\nwork out twice = half * 4 rounded up to 7 kg\n"
      "chart room gives room\n  down age\n    under 13: 8 mm\n    the rest: 2 mm\n"
      "work out shifted = room + 1 in\nwork out ratio = weight / (weight + 1 kg)\n");
  const auto& worked_out = policy->tables.worked_out;
  const auto bounds = [&](std::size_t i) {
    return fmt::format("{}/{} to {}/{}", static_cast<std::int64_t>(worked_out[i].lowest.numerator),
                       static_cast<std::int64_t>(worked_out[i].lowest.denominator),
                       static_cast<std::int64_t>(worked_out[i].highest.numerator),
                       static_cast<std::int64_t>(worked_out[i].highest.denominator));
  };
  REQUIRE(worked_out.size() == 5);
  CHECK(bounds(0) == "60000000000000/1 to 900000000000000/1");
  CHECK(bounds(1) == "280000000000000/1 to 3640000000000000/1");
  CHECK(bounds(2) == "2000000/1 to 8000000/1");
  CHECK(bounds(3) == "27400000/1 to 33400000/1");
  CHECK(worked_out[3].inputs == std::vector<std::uint16_t>{0});
  CHECK(worked_out[1].inputs == std::vector<std::uint16_t>{1});
  CHECK(worked_out[4].plain_number);
}

}  // namespace
