// Real people through the shipped policy: each is advised without a fault, or is told which measure the policy does
// not accept and what it does.
//
// The data sets hold age, height and weight (Davis and pspp's no age), sex but for selfreport, and some a girth. The
// other details are supplied here, from a seed:
//   drawn        role, skill, contact, sessions, league, wishes (no set knows them); age where the set has none (18 to
//                60); sex where it has none; the age class, to fit the age
//   in the first pass drawn, near the body's size: feet, head, neck, chest, waist, forearm and shin; position and hand;
//                and birth_day, to fit the age. So each detail is known, and the kit must be complete: one answer each
//   in the second pass left blank       the same, and whatever the set itself lacks but for the first line
// Of the 507 adults' 21 girths and breadths two are measures the shop takes: the chest's girth (ChestG), and, as the
// waist, which the shop takes at the navel, the abdomen's there (AbdG), not the waist at its narrowest (WaistG). The
// others fit no detail: girths of shoulder, hip, thigh, upper arm, forearm, knee, calf, ankle and wrist, and nine
// breadths of bones (shoulders, hips twice, chest twice, elbow, wrist, knee, ankle). Of forearm and shin the shop takes
// the length; of foot, head and neck, which it takes too, the set has nothing.
// Each test prints the counts, and for the first pass how many got which grade, size and flex, and what was left to the
// fitter and by which rule. LACESTAY_WHOLE takes everyone in the first pass, and ten times as many in the second.
#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <map>
#include <sstream>

#include "compiler/values/days.hpp"
#include "runtime/advice/advice.hpp"
#include "runtime/advice/words.hpp"
#include "tests/reference/draw.hpp"
#include "tests/support/places.hpp"
#include "tests/support/policy/shipped.hpp"
#include "tests/support/settings.hpp"

namespace {

using namespace lacestay;

// ---- the policy ------------------------------------------------------------------------------------------

const runtime::Engine& engine() { return tests::shipped(); }

// The domains the shop declares, written again here by hand, in the unit the people are given in; and as the policy
// says them.
struct Accepted {
  double lowest, highest;
  const char* told;
};
const std::map<std::string, Accepted>& accepted() {
  static const std::map<std::string, Accepted> all = {
      {"age", {4, 90, "4 years to 90 years"}},      {"weight", {12, 180, "12 kg to 180 kg"}},
      {"height", {90, 215, "90 cm to 215 cm"}},     {"head_girth", {44, 66, "44 cm to 66 cm"}},
      {"chest", {50, 150, "19.69 in to 59.06 in"}}, {"waist", {40, 150, "15.75 in to 59.06 in"}},
  };
  return all;
}

// ---- the people ------------------------------------------------------------------------------------------

struct Person {
  std::string from;                             // set and line
  std::map<std::string, std::string> measured;  // by detail: a number, in years, kg or cm
  std::string sex;                              // empty where the set does not say
};

using Row = std::map<std::string, std::string>;

// The rows of a fetched set, or nothing where it could not be had, which is then a skip (in CI a failure).
std::optional<std::vector<Row>> rows_of(const std::string& set) {
  const auto path = tests::oracle(set);
  std::ifstream in(path);
  if (!in) {
    std::ifstream missing(path + ".missing");
    std::string reason = "it has not been fetched (tests/oracles/fetch.sh)";
    if (missing) std::getline(missing, reason);
    tests::skipped(set + ": " + reason);
    return std::nullopt;
  }
  const auto cut = [](const std::string& line) {
    std::vector<std::string> fields;
    std::stringstream stream(line);
    for (std::string field; std::getline(stream, field, ',');) fields.push_back(field);
    return fields;
  };
  std::string line;
  std::getline(in, line);
  const auto names = cut(line);
  std::vector<Row> rows;
  while (std::getline(in, line)) {
    const auto fields = cut(line);
    Row row;
    for (std::size_t i = 0; i < fields.size() && i < names.size(); ++i)
      if (!fields[i].empty()) row[names[i]] = fields[i];
    rows.push_back(std::move(row));
  }
  return rows;
}

// Columns of the set, by the details they hold. Ages are cut to whole years.
std::vector<Person> people_of(const std::string& set, const std::vector<Row>& rows,
                              const std::map<std::string, std::string>& columns) {
  std::vector<Person> people;
  for (std::size_t i = 0; i < rows.size(); ++i) {
    Person person{fmt::format("{}, line {}", set, i + 2), {}, ""};
    for (const auto& [detail, column] : columns) {
      const auto found = rows[i].find(column);
      if (found == rows[i].end()) continue;
      if (detail == "sex") {
        static const std::map<std::string, const char*> told = {{"boy", "male"}, {"girl", "female"}, {"1", "male"},
                                                                {"0", "female"}, {"M", "male"},      {"F", "female"}};
        person.sex = told.at(found->second);
        continue;
      }
      person.measured[detail] = detail == "age" ? found->second.substr(0, found->second.find('.')) : found->second;
    }
    people.push_back(std::move(person));
  }
  return people;
}

// `count` of them in their order, or everyone where there are no more.
std::vector<Person> sampled(std::vector<Person> people, std::size_t count, std::uint64_t seed) {
  if (people.size() <= count) return people;
  naive::Draw draw(seed);
  std::vector<Person> some;
  for (std::size_t i = 0; i < people.size(); ++i) {
    const auto left = people.size() - i, wanted = count - some.size();
    if (draw.between(1, static_cast<std::int64_t>(left)) <= static_cast<std::int64_t>(wanted))
      some.push_back(std::move(people[i]));
  }
  return some;
}

// ---- advising them ---------------------------------------------------------------------------------------

// Inside the edition, and the day ages are reckoned on.
std::int64_t today() { return compiler::day_number(2026, 10, 1); }

enum class Rest { drawn, blank };

std::map<std::string, std::string> details_of(const Person& person, Rest rest, naive::Draw& draw) {
  std::map<std::string, std::string> details;
  const std::map<std::string, const char*> units = {{"age", " years"}, {"weight", " kg"}};
  for (const auto& [detail, number] : person.measured)
    details[detail] = number + (units.count(detail) ? units.at(detail) : " cm");
  if (!details.count("age")) details["age"] = fmt::format("{} years", draw.between(18, 60));
  const auto age = std::atoi(details["age"].c_str());
  const auto one_of = [&](const std::vector<const char*>& all) { return draw.pick(all); };
  details["role"] = one_of({"skater", "skater", "goalkeeper"});
  details["skill"] = one_of({"new", "improving", "league", "elite"});
  details["contact"] = one_of({"none", "incidental", "full"});
  details["sessions"] = fmt::format("{}", draw.between(0, 14));
  details["league"] =
      one_of({"friendly", "international", "north_american_youth", "canadian_minor", "quebec", "british"});
  details["category"] = age < 18 ? fmt::format("u{}", std::max(8, age / 2 * 2 + 2)) : "adult";
  if (!person.sex.empty()) details["sex"] = person.sex;
  if (rest == Rest::blank) return details;
  if (person.sex.empty()) details["sex"] = one_of({"female", "male"});
  details["position"] = one_of({"forward", "defence", "not_sure"});
  details["hand"] = one_of({"left", "right"});
  details["toe_wish"] = one_of({"no_wish", "round", "square"});
  details["grip_wish"] = one_of({"no_wish", "smooth", "tacky"});
  details["visor_wish"] = one_of({"no_wish", "visor", "full_face"});
  if (age >= 4) {
    const auto birthday = compiler::day_number(2026 - age, 10, 1);  // who was born later that year is a year younger
    details["birth_day"] = compiler::show(birthday - draw.between(0, 364), compiler::Dimension::day, {});
  }
  const double height =
      std::clamp(person.measured.count("height") ? std::strtod(person.measured.at("height").c_str(), nullptr) : 170.0,
                 100.0, 200.0);
  const auto share = [&](const char* detail, std::int64_t least, std::int64_t most) {  // in thousandths of the height
    const auto drawn = draw.between(least, most);
    const auto millimetres = std::llround(height * 10.0 * static_cast<double>(drawn) / 1000.0);
    if (!details.count(detail)) details[detail] = fmt::format("{} mm", millimetres);
    return millimetres;
  };
  const auto foot = share("foot_length", 140, 165);
  details["other_foot"] = fmt::format("{} mm", foot - draw.between(0, std::min<std::int64_t>(8, foot - 140)));
  details["foot_width"] = fmt::format("{} mm", foot * draw.between(340, 440) / 1000);
  share("neck_girth", 195, 240);
  share("chest", 510, 700);
  share("waist", 410, 700);
  share("forearm", 138, 155);
  share("shin", 185, 215);
  const auto head = draw.between(480, 640);
  if (!details.count("head_girth")) details["head_girth"] = fmt::format("{} mm", head);
  return details;
}

// What a set of people left with: by property, how many got which answer.
struct Tally {
  std::map<std::string, std::map<std::string, std::size_t>> answers;
  std::map<std::string, std::size_t> referred;  // by rule
};

struct Counts {
  std::size_t advised = 0, incomplete = 0, outside = 0, answers = 0, open = 0, inexact = 0;
  std::map<std::string, std::size_t> outside_by;
  Tally tally;  // of those whose every detail is known
};

std::string in_words(const runtime::Answer& answer) {
  return runtime::possible_in_words(engine().policy(), answer).front();
}

// Everything in the kit of someone whose every detail is known has one answer.
void tally_kit(const runtime::Advice& advice, Tally& tally) {
  for (const auto& piece : advice.pieces) {
    CHECK(piece.presence.certain);
    for (const auto& property : piece.properties) {
      CHECK(property.answer.certain);
      const auto name = piece.name + " " + property.name;
      if (property.answer.standing == runtime::Standing::referred) {
        for (const auto& part : property.answer.parts)
          if (part.role == compiler::Role::Kind::decides) ++tally.referred[name + ", by " + part.rule];
        ++tally.answers[name]["the fitter"];
      } else {
        CHECK(property.answer.standing == runtime::Standing::answered);
        ++tally.answers[name][in_words(property.answer)];
      }
    }
  }
}

void check_answer(const runtime::Answer& answer, Counts& counts) {
  ++counts.answers;
  counts.open += answer.certain ? 0 : 1;
  counts.inexact += answer.exact ? 0 : 1;
  CHECK_FALSE(answer.possible.empty());
  CHECK_FALSE(answer.fault());
  // Not even among several that are open.
  for (const auto& outcome : answer.possible) {
    CHECK(outcome.standing != runtime::Standing::gap);
    CHECK(outcome.standing != runtime::Standing::clash);
  }
}

void advise_one(const Person& person, Rest rest, naive::Draw& draw, Counts& counts) {
  const auto details = details_of(person, rest, draw);
  grammar::Diagnostics problems;
  runtime::PlayerReader reader(engine().policy(), problems);
  for (const auto& [detail, text] : details) reader.set(detail, text);
  std::vector<std::string> expected;  // by this file's own table
  for (const auto& [detail, number] : person.measured) {
    const auto& domain = accepted().at(detail);
    const double value = std::strtod(number.c_str(), nullptr);
    if (value < domain.lowest || value > domain.highest) expected.push_back(detail);
  }
  const auto sorted = problems.sorted();
  INFO(person.from << "\n" << render(sorted));
  REQUIRE(sorted.size() == expected.size());
  if (!expected.empty()) {
    ++counts.outside;
    // A child under four is no player of ours yet, whatever the tape says.
    if (person.measured.count("age")) CHECK(std::strtod(person.measured.at("age").c_str(), nullptr) < 4);
    for (std::size_t i = 0; i < expected.size(); ++i) {
      ++counts.outside_by[expected[i]];
      CHECK(sorted[i].code == "player-2");
      CHECK(sorted[i].message.rfind(expected[i] + " is ", 0) == 0);
      const auto end = fmt::format(", but the policy accepts {}.", accepted().at(expected[i]).told);
      CHECK(sorted[i].message.find(end) == sorted[i].message.size() - end.size());
    }
    return;
  }
  const auto player = reader.take();
  const auto advice = runtime::advise(engine(), player, today());
  ++counts.advised;
  CHECK(advice.faults == 0);
  CHECK_FALSE(advice.outside_edition);
  if (player.complete()) {
    CHECK(advice.certain);
    tally_kit(advice, counts.tally);
  } else {
    ++counts.incomplete;
  }
  REQUIRE(advice.pieces.size() == engine().policy().pieces.size());
  for (const auto& piece : advice.pieces) {
    check_answer(piece.presence, counts);
    for (const auto& property : piece.properties) check_answer(property.answer, counts);
    const bool young = std::atoi(details.at("age").c_str()) < 18 && person.measured.count("age");
    if (young && piece.name == "neck_guard")
      CHECK((piece.presence.certain && piece.presence.standing == runtime::Standing::needed));
  }
}

std::string told(const Counts& counts) {
  std::string by;
  for (const auto& [detail, count] : counts.outside_by)
    by += fmt::format("{}{} {}", by.empty() ? " (" : ", ", detail, count);
  return fmt::format(
      "{} advised without a fault ({} of them lack a measure), {} outside a domain and told so{}; {} answers, {} still "
      "open, {} not exact",
      counts.advised, counts.incomplete, counts.outside, by.empty() ? by : by + ")", counts.answers, counts.open,
      counts.inexact);
}

// Who got what, of the properties a shop would count: grades, sizes and flex. And who was left to the fitter: at most
// one answer in twenty, each rule named.
void report(const std::string& set, const Counts& counts) {
  static const std::vector<std::string> counted = {
      "skates tier",     "skates size",       "skates width",         "goal_skates tier", "stick flex",
      "helmet size",     "mask size",         "face_protection kind", "body_pads tier",   "body_pads size",
      "elbow_pads size", "padded_pants size", "shin_guards length",   "neck_guard size",  "leg_pads size"};
  for (const auto& name : counted) {
    const auto found = counts.tally.answers.find(name);
    if (found == counts.tally.answers.end()) continue;
    std::string line;
    for (const auto& [answer, count] : found->second)
      line += fmt::format("{}{} {}", line.empty() ? "" : ", ", answer, count);
    fmt::print("people: {}: {}: {}\n", set, name, line);
  }
  std::size_t referred = 0;
  for (const auto& [rule, count] : counts.tally.referred) {
    referred += count;
    fmt::print("people: {}: left to the fitter: {}: {}\n", set, rule, count);
  }
  fmt::print("people: {}: {} of {} answers left to the fitter, {:.2f} %\n", set, referred, counts.answers,
             100.0 * static_cast<double>(referred) / static_cast<double>(counts.answers));
  CHECK(referred * 20 <= counts.answers);
}

// Both passes over a set; the second, with blanks, over fewer.
void advise_all(const std::string& set, const std::string& supplied, std::vector<Person> people, std::size_t sample,
                std::size_t with_blanks) {
  if (!tests::whole()) people = sampled(std::move(people), sample, 1926);
  naive::Draw draw(2026);
  Counts counts;
  for (const auto& person : people) advise_one(person, Rest::drawn, draw, counts);
  fmt::print("people: {}: {} people, {}: {}\n", set, people.size(), supplied, told(counts));
  report(set, counts);
  CHECK((counts.open > 0) == (counts.incomplete > 0));
  CHECK(counts.advised > 0);
  CHECK(counts.advised + counts.outside == people.size());

  people = sampled(std::move(people), tests::whole() ? 10 * with_blanks : with_blanks, 1959);  // blanks take their time
  Counts open;
  for (const auto& person : people) advise_one(person, Rest::blank, draw, open);
  fmt::print("people: {}: {} people, left blank but what the shop must be told: {}\n", set, people.size(), told(open));
  CHECK(open.advised > 0);
  CHECK(open.open > 0);
}

TEST_CASE("the domains written here are the shop's") {
  const auto& policy = engine().policy();
  std::size_t seen = 0;
  for (std::size_t i = 0; i < policy.details.size(); ++i) {
    const auto& text = policy.details[i];
    const auto known = accepted().find(text.name);
    if (known == accepted().end()) continue;
    ++seen;
    const auto& domain = policy.tables.asked[i];
    CHECK(fmt::format("{} to {}", text.scale.write(domain.lowest), text.scale.write(domain.highest)) ==
          known->second.told);
  }
  CHECK(seen == accepted().size());
}

// Debian package r-cran-mice 3.15.0, object fdgs in mice/data/Rdata: the Fifth Dutch Growth Study 2009, 10,030
// children.
TEST_CASE("Dutch children, 0 to 21 years") {
  const auto rows = rows_of("children_fdgs.csv");
  if (!rows) return;
  REQUIRE(rows->size() == 10'030);
  advise_all(
      "children_fdgs.csv", "age, height, weight theirs, the rest drawn",
      people_of("children_fdgs.csv", *rows, {{"age", "age"}, {"height", "hgt"}, {"weight", "wgt"}, {"sex", "sex"}}),
      1'500, 60);
}

// The same package, object boys: 748 boys of the Fourth Dutch Growth Study, with head girth (hc).
TEST_CASE("Dutch boys, with head girth") {
  const auto rows = rows_of("children_boys.csv");
  if (!rows) return;
  REQUIRE(rows->size() == 748);
  advise_all("children_boys.csv", "age, height, weight, head girth theirs, the rest drawn",
             people_of("children_boys.csv", *rows,
                       {{"age", "age"}, {"height", "hgt"}, {"weight", "wgt"}, {"head_girth", "hc"}}),
             748, 60);
}

// Of the 684 with height, weight and head girth, those of our ages; the others are babies and toddlers. A larger head
// never gets a smaller helmet, and no size between the smallest and the largest stays on the shelf; past the largest
// the fitter is asked.
TEST_CASE("Dutch boys: head girths fall into helmet sizes without a gap") {
  const auto rows = rows_of("children_boys.csv");
  if (!rows) return;
  static const std::vector<std::string> sizes = {"x_small", "small", "medium", "large", "x_large", "the fitter"};
  const auto& policy = engine().policy();
  compiler::TableId helmet_size = 0;
  while (policy.properties[helmet_size].name != "size" ||
         policy.pieces[policy.properties[helmet_size].piece].name != "helmet")
    ++helmet_size;
  std::map<double, std::size_t> size_of;
  std::vector<std::size_t> people(sizes.size());
  std::size_t measured = 0, too_young = 0;
  grammar::Diagnostics problems;
  for (const auto& row : *rows) {
    if (!row.count("hgt") || !row.count("wgt") || !row.count("hc")) continue;
    ++measured;
    const double girth = std::strtod(row.at("hc").c_str(), nullptr);
    if (girth < accepted().at("head_girth").lowest || girth > accepted().at("head_girth").highest) {
      ++too_young;
      CHECK(std::strtod(row.at("age").c_str(), nullptr) < 4);
      continue;
    }
    runtime::PlayerReader reader(engine().policy(), problems);
    reader.set("role", "skater");
    reader.set("head_girth", row.at("hc") + " cm");
    const auto answer = runtime::explain(engine(), reader.take(), helmet_size);
    REQUIRE(answer.certain);
    const bool referred = answer.standing == runtime::Standing::referred;  // past the largest the shop keeps
    const auto size = referred ? sizes.end() - 1 : std::find(sizes.begin(), sizes.end(), in_words(answer));
    REQUIRE(size != sizes.end());
    size_of[girth] = static_cast<std::size_t>(size - sizes.begin());
    ++people[size_of[girth]];
  }
  CHECK(problems.sorted().empty());
  CHECK(measured == 684);
  std::size_t last = size_of.begin()->second;
  for (const auto& [girth, size] : size_of) {
    INFO(girth << " cm");
    CHECK(size >= last);
    CHECK((size <= last + 1 || sizes[size] == "the fitter"));
    last = size;
  }
  std::string line;
  for (std::size_t i = 0; i < sizes.size(); ++i) line += fmt::format(", {} {}", sizes[i], people[i]);
  fmt::print("people: 684 head girths: {} under 44 cm, all under four years{}\n", too_young, line);
}

// Debian package r-cran-gclus 1.3.2, object body in gclus/data/body.RData: 507 active adults (Heinz et al. 2003). AbdG
// is the girth at the navel, where the shop takes the waist.
TEST_CASE("adults, with chest and waist") {
  const auto rows = rows_of("adults_body.csv");
  if (!rows) return;
  REQUIRE(rows->size() == 507);
  advise_all("adults_body.csv", "age, height, weight, chest, waist theirs, the rest drawn",
             people_of("adults_body.csv", *rows,
                       {{"age", "Age"},
                        {"height", "Height"},
                        {"weight", "Weight"},
                        {"chest", "ChestG"},
                        {"waist", "AbdG"},
                        {"sex", "Gender"}}),
             507, 60);
}

// Debian package r-cran-mice 3.15.0, object selfreport: 2,060 adults, 1,257 of them measured (hm, wm), the others by
// their own word (hr, wr).
TEST_CASE("adults, measured or by their own word") {
  auto rows = rows_of("selfreport.csv");
  if (!rows) return;
  REQUIRE(rows->size() == 2'060);
  std::size_t measured = 0;
  for (auto& row : *rows) {
    measured += row.count("hm") && row.count("wm") ? 1 : 0;
    row["height"] = row.count("hm") ? row["hm"] : row["hr"];
    row["weight"] = row.count("wm") ? row["wm"] : row["wr"];
  }
  CHECK(measured == 1'257);
  advise_all("selfreport.csv", "age, height, weight theirs, the rest drawn",
             people_of("selfreport.csv", *rows, {{"age", "age"}, {"height", "height"}, {"weight", "weight"}}), 2'060,
             60);
}

std::string refusal(const std::vector<std::pair<std::string, std::string>>& details) {
  grammar::Diagnostics problems;
  runtime::PlayerReader reader(engine().policy(), problems);
  for (const auto& [detail, text] : details) reader.set(detail, text);
  return render(problems.sorted());
}

// Debian package r-cran-cardata 3.0.5, object Davis in carData/data/Rdata: 200 adults, no age; row 12 has height and
// weight swapped (Davis 1990, as Fox's "Applied Regression" tells).
TEST_CASE("Davis: the row whose height and weight are swapped is refused") {
  const auto rows = rows_of("davis.csv");
  if (!rows) return;
  REQUIRE(rows->size() == 200);
  const auto& swapped = rows->at(11);
  REQUIRE(swapped.at("weight") == "166");
  REQUIRE(swapped.at("height") == "57");
  CHECK(refusal({{"weight", swapped.at("weight") + " kg"}, {"height", swapped.at("height") + " cm"}}) ==
        "player-2: height is 57 cm, but the policy accepts 90 cm to 215 cm.\n"
        "  Try: measure again and check the unit; a fitter decides about players outside the range.\n");
  CHECK(refusal({{"weight", swapped.at("height") + " kg"}, {"height", swapped.at("weight") + " cm"}}) == "");
  const auto people = people_of("davis.csv", *rows, {{"height", "height"}, {"weight", "weight"}, {"sex", "sex"}});
  naive::Draw draw(1990);
  Counts counts;
  for (const auto& person : people) advise_one(person, Rest::drawn, draw, counts);
  fmt::print("people: davis.csv: 200 people, height, weight theirs, the rest drawn: {}\n", told(counts));
  CHECK(counts.outside == 1);
  CHECK(counts.advised == 199);
}

// Debian package pspp 1.6.2, file examples/physiology.sav: 40 adults, height in mm, dirty on purpose. Its numbers have
// up to 13 decimals, finer than any measure (and than a nanometre), so those that are kept are rounded to a tenth.
TEST_CASE("pspp's dirty rows are refused, and the others advised") {
  const auto rows = rows_of("physiology.csv");
  if (!rows) return;
  REQUIRE(rows->size() == 40);
  std::size_t short_ones = 0, negative = 0;
  naive::Draw draw(40);
  Counts counts;
  for (std::size_t i = 0; i < rows->size(); ++i) {
    const auto &height = rows->at(i).at("height"), &weight = rows->at(i).at("weight");
    if (height == "179") {
      ++short_ones;
      CHECK(refusal({{"height", height + " mm"},
                     {"weight", fmt::format("{:.1f} kg", std::strtod(weight.c_str(), nullptr))}}) ==
            "player-2: height is 17.9 cm, but the policy accepts 90 cm to 215 cm.\n"
            "  Try: measure again and check the unit; a fitter decides about players outside the range.\n");
    } else if (weight[0] == '-') {
      ++negative;
      CHECK(refusal({{"height", fmt::format("{:.1f} mm", std::strtod(height.c_str(), nullptr))},
                     {"weight", weight + " kg"}}) ==
            "player-5: weight is '-55.6 kg', which is neither a quantity nor a day the language reads.\n"
            "  Try: the policy accepts 12 kg to 180 kg.\n");
    } else {
      const Person person{fmt::format("physiology.csv, line {}", i + 2),
                          {{"height", fmt::format("{:.2f}", std::strtod(height.c_str(), nullptr) / 10)},
                           {"weight", fmt::format("{:.1f}", std::strtod(weight.c_str(), nullptr))}},
                          ""};
      advise_one(person, Rest::drawn, draw, counts);
    }
  }
  fmt::print(
      "people: physiology.csv: 40 people, height, weight theirs, the rest drawn: {}; {} too short, {} below nothing\n",
      told(counts), short_ones, negative);
  CHECK(short_ones == 1);
  CHECK(negative == 1);
  CHECK(counts.advised == 38);
}

}  // namespace
