// Literals, conditions, and the axes of charts: whatever puts an edge inside a detail's range.
#include <algorithm>

#include "tests/reference/generate/generator_draft.hpp"

namespace lacestay::naive {

using grammar::Unit;

namespace {

// How far apart the literals of a kind may lie. None is finer than a tenth of a millimetre or a sixteenth of a pound.
std::vector<Rational> spacings(Dimension dimension, bool sixteenths) {
  const Rational inch = worth(Unit::inch), pound = worth(Unit::pound);
  switch (dimension) {
    case Dimension::length: return {1, 5, 10, 10, 100, inch, inch, inch / 2, Rational::of(1, 2), Rational::of(1, 10)};
    case Dimension::weight:
      if (sixteenths) return {1000, 1000, 500, 100, 10, pound, pound, pound * 14, pound / 2, pound / 16};
      return {1000, 1000, 500, 100, 10, pound, pound, pound * 14};
    case Dimension::number:
    case Dimension::money: return {1, 1, Rational::of(1, 2), Rational::of(1, 10), Rational::of(1, 100)};
    case Dimension::age:
    case Dimension::flex: return {1};
  }
  return {1};
}

}  // namespace

// A number that is never below 0, in a way of writing it drawn from all there are, the short ones more often.
std::string Draft::written(const Rational& at, Dimension dimension) {
  auto ways = spellings(at, dimension);
  // Bare: the policy asks ages in whole years. What is worked out may be shown in months, where a unit is due.
  if (dimension == Dimension::age && !settings_.kinds) ways.push_back(*decimal(at));
  std::stable_sort(ways.begin(), ways.end(), [](const auto& a, const auto& b) { return a.size() < b.size(); });
  const std::size_t short_ones = std::min<std::size_t>(ways.size(), 2);
  std::string text = draw_.chance(75) ? ways[draw_.place(short_ones)] : draw_.pick(ways);
  if (dimension == Dimension::number && at.bottom() != 1 && draw_.chance(40))
    if (const auto percent = decimal(at * 100)) text = *percent + "%", count("percent");
  const auto half = text.find(".5 ");
  if (half != std::string::npos && draw_.chance(40)) {
    text.replace(half, 2, "½");
    if (text.starts_with("0")) text.erase(0, 1);
    count("written ½");
  }
  if (text.find(" ft ") != std::string::npos || text.find(" st ") != std::string::npos ||
      text.find(" lb ") != std::string::npos)
    count("two units in one quantity");
  const auto unit = text.rfind(' ');
  if (unit != std::string::npos) count("unit" + text.substr(unit));
  return text;
}

std::string Draft::written(const DraftDetail& detail, const Rational& at) {
  if (detail.kind == DraftDetail::Kind::day) return draw_.pick(spellings(day_at(at)));
  return written(at, detail.dimension);
}

// A number or a day strictly inside the range, or also at an end of it.
std::optional<Literal> Draft::literal(const DraftDetail& detail, bool low_too, bool high_too) {
  const auto all = spacings(detail.dimension, settings_.sixteenths);
  for (int attempt = 0; attempt < 8; ++attempt) {
    const Rational spacing = detail.grain > 0 ? detail.grain : detail.is_number() ? draw_.pick(all) : Rational(1);
    std::int64_t low = std::max<std::int64_t>((detail.low / spacing).ceiling(), 0),
                 high = (detail.high / spacing).floor();
    if (!low_too && spacing * low == detail.low) ++low;
    if (!high_too && spacing * high == detail.high) --high;
    if (low > high) continue;
    const Rational at = spacing * draw_.between(low, high);
    if (detail.is_number() && spellings(at, detail.dimension).empty()) continue;
    return Literal{at, written(detail, at)};
  }
  return std::nullopt;
}

// From one whole value to another; not all there are.
std::optional<std::string> Draft::whole_range(const DraftDetail& detail) {
  const auto one = detail.counted_in ? detail.grain : Rational(1);
  const auto lowest = (detail.low / one).ceiling(), highest = (detail.high / one).floor();
  const auto first = draw_.between(lowest, highest), last = draw_.between(first, highest);
  if (first < 0 || (first == lowest && last == highest)) return std::nullopt;
  const auto text = [&](std::int64_t at) {
    return detail.counted_in ? std::to_string(at) + *detail.counted_in : draw_.pick(spellings(day_at(Rational(at))));
  };
  count(detail.counted_in ? "condition from one number to another" : "condition from one day to another");
  const auto from = detail.counted_in && draw_.chance(50) ? std::to_string(first) : text(first);
  return reference(detail.name) + " " + from + " to " + text(last);
}

// One detail's condition, or two that leave a stretch of it.
std::optional<std::string> Draft::condition(const DraftDetail& detail) {
  if (!detail.members.empty()) {
    const auto& members = detail.members;
    if (detail.kind == DraftDetail::Kind::grades && draw_.chance(40)) {
      const bool least = draw_.chance(50);
      count(least ? "condition grade at least" : "condition grade at most");
      const std::size_t at = draw_.place(members.size() - 1);
      return detail.name + (least ? " at least " + members[at + 1] : " at most " + members[at]);
    }
    if (detail.kind == DraftDetail::Kind::grades && draw_.chance(20)) {
      const auto first = draw_.place(members.size()), last = first + draw_.place(members.size() - first);
      if (last - first + 1 == members.size()) return std::nullopt;
      count("condition from one grade to another");
      return detail.name + " " + members[first] + " to " + members[last];
    }
    auto some = members;
    draw_.shuffle(some);
    some.resize(static_cast<std::size_t>(draw_.between(1, static_cast<std::int64_t>(members.size()) - 1)));
    const bool with_or = draw_.chance(50);
    std::string text = detail.name + " " + some[0];
    for (std::size_t i = 1; i < some.size(); ++i) text += (with_or ? " or " : ", ") + some[i];
    count(some.size() == 1 ? "condition member"
          : with_or        ? "condition members with or"
                           : "condition members with comma");
    return text;
  }
  const bool day = detail.kind == DraftDetail::Kind::day;
  if ((day || detail.counted_in) && draw_.chance(25)) return whole_range(detail);
  const auto word = [&](bool above, bool closed) -> std::string {
    if (day) return above ? "since" : "before";
    if (above) return closed ? "at least" : "over";
    return closed ? "at most" : "under";
  };
  // `under` and `at least` leave something on both sides of any edge but the lowest; `over` and `at most`, of any but
  // the highest.
  const bool above = draw_.chance(50);
  const bool closed = day || detail.age ? above : draw_.chance(50);
  const bool cuts_below = above == closed;
  const auto edge = literal(detail, !cuts_below, cuts_below);
  if (!edge) return std::nullopt;
  const auto subject = reference(detail.name);
  count("condition " + word(above, closed) + (day ? " a day" : ""));
  std::string text = subject + " " + word(above, closed) + " " + edge->text;
  if (above && closed && draw_.chance(15)) {
    const auto upper = literal(detail, false, true);
    if (upper && upper->at > edge->at)
      text += ", " + detail.name + (day ? " before " : " under ") + upper->text, count("two conditions on one detail");
  }
  return text;
}

std::string Draft::conditions(std::size_t most, std::set<std::size_t>* asked_only) {
  std::vector<std::size_t> from;
  for (std::size_t i = 0; i < details_.size(); ++i)
    if (details_[i].splits() && (!asked_only || details_[i].asked == std::set{i})) from.push_back(i);
  draw_.shuffle(from);
  from.resize(std::min(from.size(), static_cast<std::size_t>(draw_.between(1, static_cast<std::int64_t>(most)))));
  std::string text;
  for (const std::size_t index : from) {
    const auto one = condition(details_[index]);
    if (!one) continue;
    text += (text.empty() ? "" : ", ") + *one;
    if (details_[index].asked != std::set{index}) count("condition on a worked-out detail");
    if (asked_only) asked_only->insert(index);
  }
  return text;
}

// The heads of one axis, in order; none if the detail can't be split. Several members in one head of a row may
// stand with commas, across only with `or`.
std::vector<std::string> Draft::heads(const DraftDetail& detail, bool across) {
  std::vector<std::string> out;
  if (!detail.members.empty()) {
    auto members = detail.members;
    if (draw_.chance(40)) draw_.shuffle(members);
    for (const auto& member : members) {
      if (!out.empty() && draw_.chance(30))
        out.back() += (across || draw_.chance(50) ? " or " : ", ") + member, count("head of several members");
      else
        out.push_back(member);
    }
    count(detail.kind == DraftDetail::Kind::grades ? "axis of grades" : "axis of a choice");
    return out;
  }
  const bool day = detail.kind == DraftDetail::Kind::day;
  // By where the next row begins, so that every row has someone in it: in whole numbers `at most 2` and `under 3` cut
  // at one place.
  std::map<Rational, std::string> edges;
  for (auto wanted = draw_.between(1, 3); wanted > 0; --wanted) {
    const bool closed = !day && !detail.age && draw_.chance(40);
    if (const auto edge = literal(detail, closed, !closed))
      edges.emplace(closed ? edge->at + detail.grain : edge->at, (day      ? "before "
                                                                  : closed ? "at most "
                                                                           : "under ") +
                                                                     edge->text);
  }
  for (const auto& [at, text] : edges) {
    out.push_back(text);
    count(text.starts_with("at most") ? "head at most" : day ? "head before" : "head under");
  }
  if (!out.empty()) out.push_back("the rest");
  return out;
}

std::optional<std::vector<std::string>> Draft::chart_lines(const std::function<std::string()>& cell,
                                                           std::set<std::size_t>* asked) {
  std::vector<const DraftDetail*> axes;
  for (const auto& detail : details_)
    if (detail.splits()) axes.push_back(&detail);
  if (axes.empty()) return std::nullopt;
  draw_.shuffle(axes);
  axes.resize(axes.size() > 1 && draw_.chance(40) ? 2 : 1);
  if (asked && axes.size() == 2)
    for (const std::size_t one : axes[1]->asked)
      if (axes.size() == 2 && axes[0]->asked.contains(one)) axes.pop_back();
  const bool both = axes.size() == 2, across = both || draw_.chance(30);
  const auto columns = across ? heads(*axes.back(), true) : std::vector<std::string>{""};
  const auto rows = both || !across ? heads(*axes.front(), false) : std::vector<std::string>{""};
  if (columns.empty() || rows.empty()) return std::nullopt;
  std::vector<std::string> lines;
  if (across) {
    lines.push_back("across " + axes.back()->name + " ");
    for (std::size_t i = 0; i < columns.size(); ++i) lines.back() += (i ? ", " : " ") + columns[i];
  }
  if (both || !across) lines.push_back("down " + axes.front()->name);
  for (const auto& row : rows) {
    lines.push_back(row.empty() ? "" : row + ":  ");
    for (std::size_t i = 0; i < columns.size(); ++i) lines.back() += (i ? ", " : "") + cell();
  }
  count(both ? "chart across and down" : across ? "chart across" : "chart down");
  for (const auto* axis : axes) {
    if (axis->asked.size() != 1 || &details_[*axis->asked.begin()] != axis) count("axis of a worked-out detail");
    if (asked) asked->insert(axis->asked.begin(), axis->asked.end());
  }
  return lines;
}

}  // namespace lacestay::naive
