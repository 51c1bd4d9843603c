// Edits of what the policy speaks of: details and their domains, pieces and their properties, formulas.
#include <algorithm>

#include "tests/compiler/compare/edits.hpp"
#include "tests/compiler/proof/asked.hpp"

namespace lacestay::judges {

using namespace grammar;
using naive::Rational;

// ---- details

namespace {

// The two ends of an asked range or of a property's, written in the unit of its upper end.
std::string written(const Interval& interval, std::int64_t low, std::int64_t high) {
  const auto& amount = std::get<Quantity>(interval.to).parts.back();
  const auto unit = amount.unit ? naive::worth(*amount.unit) : Rational(1);
  const auto in_unit = [&](const Value& value, std::int64_t by) {
    return naive::decimal(naive::number_of(value) / unit + by).value_or("");
  };
  const auto name = amount.unit ? " " + std::string(spelling(*amount.unit)) : "";
  return in_unit(interval.from, low) + " to " + in_unit(interval.to, high) +
         (amount.currency.empty() ? name : " " + amount.currency);
}

}  // namespace

bool Edits::move_domain() {
  std::vector<const Ask*> ranges;
  for (const auto& [item, ask] : all<Ask>())
    if (ask->domain.interval) ranges.push_back(ask);
  if (ranges.empty()) return false;
  const auto& interval = *draw_.pick(ranges)->domain.interval;
  const auto by = draw_.pick(std::vector<std::int64_t>{-2, -1, 1, 2});
  const bool upper = draw_.chance(50);
  if (const auto* date = std::get_if<Date>(upper ? &interval.to : &interval.from)) {
    const auto moved = naive::number_of(naive::day_of(*date)) + by * 40;
    replace(date->span, naive::spellings(naive::day_at(moved)).front());
  } else {
    replace(interval.span, written(interval, upper ? 0 : by, upper ? by : 0));
  }
  return true;
}

// Whole values in another unit: then the editions share only those that both take.
bool Edits::change_unit() {
  std::vector<const Interval*> ranges;
  for (const auto& [item, ask] : all<Ask>())
    if (ask->domain.interval && std::holds_alternative<Quantity>(ask->domain.interval->to))
      ranges.push_back(&*ask->domain.interval);
  if (ranges.empty()) return false;
  const auto& interval = *draw_.pick(ranges);
  const auto dimension = naive::dimension_of(std::get<Quantity>(interval.to));
  using Unit = grammar::Unit;
  std::vector<Unit> units;
  if (dimension == naive::Dimension::length) units = {Unit::millimetre, Unit::centimetre, Unit::inch};
  if (dimension == naive::Dimension::weight) units = {Unit::kilogram, Unit::pound};
  std::erase(units, *std::get<Quantity>(interval.to).parts.back().unit);
  if (units.empty()) return false;
  const auto unit = draw_.pick(units);
  const auto low = (naive::number_of(interval.from) / naive::worth(unit)).floor(),
             high = (naive::number_of(interval.to) / naive::worth(unit)).ceiling();
  replace(interval.span, std::to_string(low) + " to " + std::to_string(high) + " " + std::string(spelling(unit)));
  return true;
}

bool Edits::drop_whole() {
  std::vector<Span> lines;
  for (const auto& [item, ask] : all<Ask>())
    if (ask->domain.whole && ask->name.text != "age") lines.push_back(item->head);
  return !lines.empty() && replace_one_of(draw_.pick(lines), {{", whole", ""}});
}

std::vector<Edits::Listed> Edits::listed(bool of_details, std::size_t least) const {
  std::vector<Listed> found;
  if (of_details)
    for (const auto& [item, ask] : all<Ask>()) found.push_back({ask, &ask->domain});
  else
    for (const auto& [item, piece] : all<Piece>())
      for (const auto& property : piece->properties) found.push_back({nullptr, &property.domain});
  std::erase_if(found, [&](const Listed& each) { return each.domain->members.size() < least; });
  return found;
}

std::pair<Span, std::string> Edits::added_to(const Domain& domain, const std::string& name) {
  const auto& beside = domain.members[draw_.place(domain.members.size())].span;
  if (draw_.chance(50)) return {between(beside.source, beside.begin, beside.begin), name + ", "};
  return {between(beside.source, beside.end, beside.end), ", " + name};
}

namespace {

// A member of a list with commas between, and one of its commas.
template <typename Member>
Span listed_at(const std::vector<Member>& members, std::size_t at) {
  auto span = members[at].span;
  if (at + 1 < members.size())
    span.end = members[at + 1].span.begin;
  else
    span.begin = members[at - 1].span.end;
  return span;
}

}  // namespace

bool Edits::swap_two_of(const Domain& domain) {
  const auto at = draw_.place(domain.members.size() - 1);
  const auto &first = domain.members[at], &second = domain.members[at + 1];
  replace({{second.span, first.text}, {first.span, second.text}});
  return true;
}

// Each is called what the other was, wherever it is named: all is numbered as before, and means something else.
bool Edits::exchange_two_of(const Domain& domain) {
  const auto at = draw_.place(domain.members.size() - 1);
  const auto first = domain.members[at].text, second = domain.members[at + 1].text;
  const auto aside = fresh("aside");
  replace_word(first, aside);
  replace_word(second, first);
  return replace_word(aside, second);
}

std::vector<std::vector<const Head*>> Edits::axes(const std::string& detail) const {
  std::vector<std::vector<const Head*>> found;
  for (const auto& [item, chart] : all<Chart>()) {
    if (chart->across && chart->across->detail.joined() == detail) {
      found.emplace_back();
      for (const auto& head : chart->across->heads) found.back().push_back(&head);
    }
    if (chart->down && chart->down->joined() == detail) {
      found.emplace_back();
      for (const auto& row : chart->rows) found.back().push_back(&row.head);
    }
  }
  return found;
}

// Each chart takes it in somewhere, or it would not compile.
bool Edits::add_member() {
  const auto found = listed(true, 1);
  if (found.empty()) return false;
  const auto [ask, domain] = draw_.pick(found);
  const auto name = fresh("added");
  Replacements changes = {added_to(*domain, name)};
  for (const auto& heads : axes(ask->name.text)) {
    const auto& members = draw_.pick(heads)->members;
    const auto& last = members.back().span;
    const bool commas = members.size() > 1 && last.source->text()[members[0].span.end] == ',';
    changes.emplace_back(between(last.source, last.end, last.end), (commas ? ", " : " or ") + name);
  }
  replace(std::move(changes));
  return true;
}

// A chart's row for it alone goes too. Conditions that name it are left as they are, and then do not compile.
bool Edits::drop_member() {
  const auto found = listed(true, 3);
  if (found.empty()) return false;
  const auto [ask, domain] = draw_.pick(found);
  const auto at = draw_.place(domain->members.size());
  Replacements changes = {{listed_at(domain->members, at), ""}};
  for (const auto& heads : axes(ask->name.text))
    for (const auto* head : heads)
      for (std::size_t i = 0; i < head->members.size(); ++i) {
        if (head->members[i].joined() != domain->members[at].text) continue;
        const auto& span = head->members[i].span;
        changes.emplace_back(head->members.size() == 1 ? line_of(span) : listed_at(head->members, i), "");
      }
  replace(std::move(changes));
  return true;
}

bool Edits::swap_members() {
  const auto found = listed(true, 2);
  return !found.empty() && swap_two_of(*draw_.pick(found).domain);
}

bool Edits::exchange_members() {
  const auto found = listed(true, 2);
  return !found.empty() && exchange_two_of(*draw_.pick(found).domain);
}

// ---- the kit

bool Edits::exchange_grades() {
  const auto found = listed(false, 2);
  return !found.empty() && exchange_two_of(*draw_.pick(found).domain);
}

bool Edits::add_grade() {
  const auto found = listed(false, 1);
  if (found.empty()) return false;
  replace({added_to(*draw_.pick(found).domain, fresh("grade"))});
  return true;
}

bool Edits::drop_grade() {
  const auto found = listed(false, 2);
  if (found.empty()) return false;
  const auto& members = draw_.pick(found).domain->members;
  replace(listed_at(members, draw_.place(members.size())), "");
  return true;
}

bool Edits::swap_grades() {
  const auto found = listed(false, 2);
  return !found.empty() && swap_two_of(*draw_.pick(found).domain);
}

// A step more or less at either end, or steps half as long.
bool Edits::move_range() {
  std::vector<const Domain*> ranges;
  for (const auto& [item, piece] : all<Piece>())
    for (const auto& property : piece->properties)
      if (property.domain.step) ranges.push_back(&property.domain);
  if (ranges.empty()) return false;
  const auto& domain = *draw_.pick(ranges);
  const auto step = naive::worth(*domain.step);
  const auto dimension = naive::dimension_of(*domain.step);
  if (draw_.chance(25)) {
    const auto ways = naive::spellings(step / 2, dimension);
    if (ways.empty()) return false;
    replace(domain.step->span, ways.front());
    return true;
  }
  const auto& unit = std::get<Quantity>(domain.interval->to).parts.back().unit;
  const auto by = (step / (unit ? naive::worth(*unit) : Rational(1))).floor() * (draw_.chance(50) ? 1 : -1);
  const bool upper = draw_.chance(50);
  replace(domain.interval->span, written(*domain.interval, upper ? 0 : by, upper ? by : 0));
  return true;
}

bool Edits::change_presence() {
  const auto found = all<Piece>();
  const auto from = guards();
  if (found.empty()) return false;
  const auto [item, piece] = draw_.pick(found);
  std::vector<std::string> ways = {" always", " optional"};
  if (!from.empty()) ways.push_back(" for " + std::string(draw_.pick(*draw_.pick(from)).span.text()));
  auto end = piece->name.span.end;
  if (piece->presence == Piece::Presence::conditional)
    end = piece->when.back().span.end;
  else
    end += piece->presence == Piece::Presence::always ? 7 : 9;
  replace(between(item->span.source, piece->name.span.end, end), draw_.pick(ways));
  return true;
}

bool Edits::change_formula() {
  const auto found = all<WorkOut>();
  if (found.empty()) return false;
  const auto& span = draw_.pick(found).second->formula.span;
  return replace_one_of(span, {{"rounded up", "rounded down"},
                               {"rounded down", "rounded to the nearest"},
                               {"to the nearest", "up to"},
                               {"larger", "smaller"},
                               {"smaller", "larger"},
                               {" + ", " - "},
                               {" - ", " + "},
                               {"1 ", "2 "},
                               {"3 ", "4 "},
                               {"5 ", "6 "},
                               {"7 ", "8 "}});
}

}  // namespace lacestay::judges
