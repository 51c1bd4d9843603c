#include "tests/runtime/compare/advised_people.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <cstdlib>

#include "compiler/values/days.hpp"
#include "runtime/advice/words.hpp"
#include "tests/support/policy/shipped.hpp"
#include "tests/support/settings.hpp"

namespace lacestay::tests {

const std::map<std::string, Accepted>& accepted() {
  static const std::map<std::string, Accepted> all = {
      {"age", {4, 90, "4 years to 90 years"}},      {"weight", {12, 180, "12 kg to 180 kg"}},
      {"height", {90, 215, "90 cm to 215 cm"}},     {"head_girth", {44, 66, "44 cm to 66 cm"}},
      {"chest", {50, 150, "19.69 in to 59.06 in"}}, {"waist", {40, 150, "15.75 in to 59.06 in"}},
  };
  return all;
}

std::string in_words(const runtime::Answer& answer) {
  return runtime::possible_in_words(shipped().policy(), answer).front();
}

namespace {

// Inside the edition, and the day ages are reckoned on.
std::int64_t today() { return compiler::day_number(2026, 10, 1); }

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

}  // namespace

void advise_one(const Person& person, Rest rest, naive::Draw& draw, Counts& counts) {
  const auto details = details_of(person, rest, draw);
  grammar::Diagnostics problems;
  runtime::PlayerReader reader(shipped().policy(), problems);
  for (const auto& [detail, text] : details) reader.set(detail, text);
  std::vector<std::string> expected;  // by the table above
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
  const auto let_in = reader.take();
  if (!let_in) {
    ++counts.shut_out;
    return;
  }
  const auto& player = *let_in;
  const auto advice = runtime::advise(shipped(), player, today());
  ++counts.advised;
  CHECK(advice.faults == 0);
  CHECK_FALSE(advice.outside_edition);
  if (player.complete()) {
    CHECK(advice.certain);
    tally_kit(advice, counts.tally);
  } else {
    ++counts.incomplete;
  }
  REQUIRE(advice.pieces.size() == shipped().policy().pieces.size());
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

namespace {

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

}  // namespace

void advise_all(const std::string& set, const std::string& supplied, std::vector<Person> people, std::size_t sample,
                std::size_t with_blanks) {
  if (!whole()) people = sampled(std::move(people), sample, 1926);
  naive::Draw draw(2026);
  Counts counts;
  for (const auto& person : people) advise_one(person, Rest::drawn, draw, counts);
  fmt::print("people: {}: {} people, {}: {}\n", set, people.size(), supplied, told(counts));
  report(set, counts);
  CHECK((counts.open > 0) == (counts.incomplete > 0));
  CHECK(counts.advised > 0);
  CHECK(counts.advised + counts.outside + counts.shut_out == people.size());
  CHECK(counts.shut_out == 0);  // who may be, test_people names

  people = sampled(std::move(people), whole() ? 10 * with_blanks : with_blanks, 1959);  // blanks take their time
  Counts open;
  for (const auto& person : people) advise_one(person, Rest::blank, draw, open);
  fmt::print("people: {}: {} people, left blank but what the shop must be told: {}\n", set, people.size(), told(open));
  CHECK(open.advised > 0);
  CHECK(open.open > 0);
}

}  // namespace lacestay::tests
