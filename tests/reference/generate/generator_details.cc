// Asked and worked-out details.
#include <algorithm>

#include "tests/reference/generate/generator_draft.hpp"

namespace lacestay::naive {

using grammar::Unit;

namespace {

struct Measure {
  const char* unit;
  Unit worth;
  std::int64_t lowest, highest;  // for the low end, in the unit
  std::int64_t widest;
};
const std::vector<Measure> lengths = {
    {" mm", Unit::millimetre, 100, 300, 120}, {" cm", Unit::centimetre, 10, 90, 60}, {" in", Unit::inch, 4, 30, 20}};
const std::vector<Measure> weights = {
    {" kg", Unit::kilogram, 0, 20, 30}, {" lb", Unit::pound, 0, 40, 50}, {" st", Unit::stone, 0, 3, 5}};

}  // namespace

void Draft::declare(DraftDetail detail, std::string item) {
  // A question, `may change` and the like, in any order; they change no answer.
  if (item.starts_with("ask ")) {
    std::vector<std::string> extras = {" \"How much?\"", " may change", " may be left blank"};
    draw_.shuffle(extras);
    extras.resize(draw_.place(3));
    for (const auto& extra : extras) item += extra;
    detail.asked = {details_.size()};
  }
  details_.push_back(std::move(detail));
  items_.emplace_back(part_ && draw_.chance(25) ? Place::part : Place::policy, std::move(item));
}

void Draft::add_asks() {
  std::vector<std::string> kinds = {"age", "sessions", "skill", "contact", "role", "hand", "height", "chest"};
  if (settings_.most_players == 0)
    for (const auto* kind :
         {"weight", "foot_length", "weight", "foot_length", "pads_weight", "score", "birth_day", "first_day"})
      kinds.emplace_back(kind);
  draw_.shuffle(kinds);
  const auto wanted = static_cast<std::size_t>(draw_.between(1, static_cast<std::int64_t>(settings_.most_details)));
  std::int64_t players = 1;
  for (const auto& kind : kinds) {
    const auto known = [&](const DraftDetail& detail) { return detail.name == kind; };
    if (details_.size() == wanted || std::any_of(details_.begin(), details_.end(), known)) continue;
    DraftDetail detail;
    detail.name = kind;
    const bool members = kind == "skill" || kind == "contact" || kind == "role" || kind == "hand";
    const auto text = members ? asked_members(detail, kind) : asked_number(detail, kind);
    if (settings_.most_players > 0) {
      const auto values = members ? static_cast<std::int64_t>(detail.members.size())
                                  : ((detail.high - detail.low) / detail.grain).floor() + 1;
      if (players * values > settings_.most_players) continue;
      players *= values;
    }
    declare(std::move(detail), text);
  }
}

// Now and then a member is shown as other words than its name; they change no answer.
std::string Draft::words_shown(const std::string& member) {
  if (!draw_.chance(20)) return "";
  count("member shown as");
  return " shown as \"No. 1 " + member + "\"";
}

std::string Draft::asked_members(DraftDetail& detail, const std::string& kind) {
  static const std::map<std::string, std::vector<std::string>> members = {
      {"skill", {"new", "improving", "league", "elite"}},
      {"contact", {"none", "incidental", "full"}},
      {"role", {"skater", "goalkeeper", "referee"}},
      {"hand", {"left", "right"}}};
  detail.members = members.at(kind);
  detail.members.resize(static_cast<std::size_t>(draw_.between(2, static_cast<std::int64_t>(detail.members.size()))));
  const bool grades = kind == "skill" || kind == "contact";
  detail.kind = grades ? DraftDetail::Kind::grades : DraftDetail::Kind::choice;
  count(grades ? "ask grades" : "ask choice");
  std::string text = "ask " + kind + (grades ? " grades " : " choice ");
  for (std::size_t i = 0; i < detail.members.size(); ++i)
    text += (i ? ", " : "") + detail.members[i] + words_shown(detail.members[i]);
  return text;
}

std::string Draft::asked_number(DraftDetail& detail, const std::string& kind) {
  const auto ranged = [&](const Rational& unit, std::int64_t low, std::int64_t high) {
    detail.low = unit * low, detail.high = unit * high;
    return "ask " + kind + " ";
  };
  const auto numbers = [](std::int64_t low, std::int64_t high) {
    return std::to_string(low) + " to " + std::to_string(high);
  };
  if (kind == "age") {
    const auto low = draw_.between(4, 8), high = low + draw_.between(2, 12);
    detail.dimension = Dimension::age, detail.age = true, detail.grain = 1, detail.relied_on_in = " in whole years",
    detail.counted_in = " years";
    count("ask whole age");
    return ranged(1, low, high) + numbers(low, high) + " years, whole";
  }
  if (kind == "sessions" || kind == "score") {
    const auto low = draw_.between(0, 2), high = low + draw_.between(1, 5);
    detail.grain = kind == "sessions" ? 1 : 0;
    if (kind == "sessions") detail.counted_in = "";
    count(kind == "sessions" ? "ask whole count" : "ask plain number");
    return ranged(1, low, high) + numbers(low, high) + (kind == "sessions" ? ", whole" : "");
  }
  if (kind == "birth_day" || kind == "first_day") {
    // The second begins after the first has ended, so that the years from one to the other are never below 0.
    const int year = kind == "birth_day" ? 2000 : 2008;
    const Day from = Day(std::chrono::year(year) / 1 / 1) + std::chrono::days(draw_.between(0, 700));
    const Day to = from + std::chrono::days(draw_.between(200, 2000));
    detail.kind = DraftDetail::Kind::day, detail.low = number_of(from), detail.high = number_of(to), detail.grain = 1;
    count("ask day");
    const auto first = draw_.pick(spellings(from)), last = draw_.pick(spellings(to));
    return "ask " + kind + " " + first + " to " + last;
  }
  const bool length = kind == "height" || kind == "chest" || kind == "foot_length";
  const auto& measure = draw_.pick(length ? lengths : weights);
  const bool whole = settings_.most_players > 0 || ((kind == "height" || kind == "chest") && draw_.chance(50));
  const auto low = draw_.between(measure.lowest, measure.highest);
  const auto high = low + (settings_.most_players > 0 ? draw_.between(2, 6) : draw_.between(2, measure.widest));
  detail.dimension = length ? Dimension::length : Dimension::weight;
  detail.grain = whole ? worth(measure.worth) : 0;
  if (whole) detail.counted_in = measure.unit;
  detail.relied_on_in = " in" + std::string(measure.unit);
  count(std::string(length ? "ask length" : "ask weight") + (whole ? ", whole" : ""));
  const auto both =
      draw_.chance(20) ? std::to_string(low) + measure.unit + " to " + std::to_string(high) : numbers(low, high);
  return ranged(worth(measure.worth), low, high) + both + measure.unit + (whole ? ", whole" : "");
}

void Draft::add_worked_out() {
  for (auto wanted = draw_.between(0, static_cast<std::int64_t>(settings_.most_worked_out)); wanted > 0; --wanted) {
    const auto way = draw_.between(1, 100);
    if (way <= 20)
      add_detail_chart();
    else if (way > 45 || !add_whole_years())
      add_formula();
  }
}

void Draft::add_formula() {
  std::vector<std::size_t> from;
  for (std::size_t i = 0; i < details_.size(); ++i)
    if (details_[i].is_number() && !details_[i].age) from.push_back(i);
  if (from.empty()) return;
  Term term = term_of(details_[draw_.pick(from)]);
  auto steps = draw_.between(1, 3);
  for (int attempts = 0; steps > 0 && attempts < 20; ++attempts) {
    const auto before = counts_;
    if (const auto next = grown(term))
      term = *next, --steps;
    else
      counts_ = before;
  }
  if (draw_.chance(40)) {
    const auto before = counts_;
    if (const auto next = rounded(term))
      term = *next;
    else
      counts_ = before;
  }
  if (settings_.kinds && draw_.chance(70))
    if (const auto next = with_unit(term, true)) term = *next;
  count("work out");
  DraftDetail made;
  made.name = "made_" + std::to_string(details_.size());
  made.dimension = term.dimension, made.low = term.low, made.high = term.high, made.grain = term.grain;
  made.age = term.dimension == Dimension::age;
  if (made.age) made.grain = 0;  // edges in whole years, wherever it lies
  made.asked = term.asked;
  auto item = "work out " + made.name + " = " + term.text;
  declare(std::move(made), std::move(item));
}

bool Draft::add_whole_years() {
  std::vector<const DraftDetail*> days;
  for (const auto& detail : details_)
    if (detail.kind == DraftDetail::Kind::day) days.push_back(&detail);
  if (days.empty()) return false;
  draw_.shuffle(days);
  const DraftDetail& day = *days.front();
  const auto years = [](const Rational& from, const Rational& to) { return whole_years(day_at(from), day_at(to)); };
  DraftDetail made;
  made.name = "years_" + std::to_string(details_.size());
  made.age = true, made.grain = 1;
  made.asked = day.asked;
  std::string from = day.name, to;
  if (days.size() > 1 && draw_.chance(50)) {
    const auto& first = days[0]->high < days[1]->low ? *days[0] : *days[1];
    const auto& second = &first == days[0] ? *days[1] : *days[0];
    if (first.high >= second.low) return false;
    from = first.name, to = second.name;
    made.low = years(first.high, second.low), made.high = years(first.low, second.high);
    made.asked = first.asked;
    made.asked.insert(second.asked.begin(), second.asked.end());
    count("whole years between two details");
  } else {
    // Now and then up to 28 February, where births on the 29th matter.
    const Rational other =
        draw_.chance(30) ? number_of(Day(std::chrono::year(2026) / 2 / 28)) : day.high + draw_.between(0, 6000);
    to = draw_.pick(spellings(day_at(other)));
    made.low = years(day.high, other), made.high = years(day.low, other);
    count("whole years to a day");
  }
  auto item = "work out " + made.name + " = whole years from " + from + " to " + to;
  declare(std::move(made), std::move(item));
  return true;
}

// One that works out a member of another detail's; not all of them need come out.
bool Draft::add_graded_chart() {
  std::vector<std::size_t> graded;
  for (std::size_t i = 0; i < details_.size(); ++i)
    if (!details_[i].members.empty()) graded.push_back(i);
  if (graded.empty()) return false;
  const auto as = details_[draw_.pick(graded)];
  DraftDetail made;
  made.name = "counted_" + std::to_string(details_.size());
  made.kind = as.kind;
  made.members = as.members;
  const auto lines = chart_lines([&] { return draw_.pick(as.members); }, &made.asked);
  if (!lines) return false;
  count("chart of members");
  auto item = "chart " + made.name + " gives " + made.name + " graded as " + as.name + laid_out(made.name, *lines);
  declare(std::move(made), std::move(item));
  return true;
}

void Draft::add_detail_chart() {
  if (draw_.chance(35) && add_graded_chart()) return;
  static const std::vector<Dimension> dimensions = {Dimension::length, Dimension::weight, Dimension::number};
  const auto dimension = draw_.pick(dimensions);
  const Rational one = dimension == Dimension::weight ? 100 : 1;
  std::set<Rational> cells;
  DraftDetail made;
  made.name = "room_" + std::to_string(details_.size());
  made.dimension = dimension;
  const auto cell = [&] {
    const Rational drawn = one * draw_.between(0, 40);
    cells.insert(drawn);
    return written(drawn, dimension);
  };
  const auto lines = chart_lines(cell, &made.asked);
  if (!lines) return;
  made.low = *cells.begin(), made.high = *cells.rbegin();
  count("chart of a detail");
  auto item = "chart " + made.name + " gives " + made.name + laid_out(made.name, *lines);
  item += "\n  because \"A growing foot fills a season's room.\"";
  declare(std::move(made), std::move(item));
}

}  // namespace lacestay::naive
