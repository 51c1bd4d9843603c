#include "grammar/read/build.hpp"

#include <fmt/format.h>

#include <array>
#include <chrono>
#include <initializer_list>
#include <utility>

#include "grammar/read/reader.hpp"
#include "grammar/text/letters.hpp"

namespace lacestay::grammar {

namespace line = rules::line;

namespace {

struct Fraction {
  std::string_view sign;
  int numerator, denominator;
};
constexpr std::array fractions = {
    Fraction{"½", 1, 2}, Fraction{"¼", 1, 4}, Fraction{"¾", 3, 4}, Fraction{"⅓", 1, 3}, Fraction{"⅔", 2, 3},
    Fraction{"⅛", 1, 8}, Fraction{"⅜", 3, 8}, Fraction{"⅝", 5, 8}, Fraction{"⅞", 7, 8},
};

// More digits than these would not leave room in 64 bits to apply a fraction or a unit; no measured number has them.
constexpr int most_digits = 17;

// "3/16", "1 3/16".
std::optional<Amount> read_fraction(std::string_view above, std::string_view below) {
  constexpr std::string_view figures = "0123456789";
  Amount amount;
  amount.in_fractions = true;
  const auto number = [](std::string_view text) {
    std::int64_t value = 0;
    for (const char c : text)
      if (is_digit(c)) value = value * 10 + (c - '0');
    return value;
  };
  if (above.size() + below.size() > most_digits) return std::nullopt;
  const auto whole = above.find_last_not_of(figures) + 1;  // 0 where nothing stands before it
  amount.denominator = number(below);
  amount.numerator = number(above.substr(0, whole)) * amount.denominator + number(above.substr(whole));
  return amount;
}

}  // namespace

std::optional<Amount> read_decimal(std::string_view text) {
  for (const std::string_view stroke : {"/", "\xE2\x81\x84"})
    if (const auto at = text.find(stroke); at != text.npos)
      return read_fraction(text.substr(0, at), text.substr(at + stroke.size()));
  Amount amount;
  int digits = 0;
  bool after_point = false;
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (text[i] == '.') {
      after_point = true;
    } else if (text[i] >= '0' && text[i] <= '9') {
      if (amount.numerator != 0 || text[i] != '0') ++digits;
      if (digits > most_digits || amount.denominator > 100'000'000'000'000'000) return std::nullopt;
      amount.numerator = amount.numerator * 10 + (text[i] - '0');
      if (after_point) amount.denominator *= 10;
    } else {
      for (const auto& fraction : fractions) {
        if (text.substr(i) != fraction.sign) continue;
        if (digits > most_digits - 1) return std::nullopt;
        amount.numerator = amount.numerator * fraction.denominator + fraction.numerator;
        amount.denominator = fraction.denominator;
        amount.in_fractions = true;
        return amount;
      }
    }
  }
  return amount;
}

// ---- words and values ------------------------------------------------------------------------------------

Span Builder::span(const Node& node) const {
  auto span = node.span(source_);
  const auto blank = [](char c) { return c == ' ' || c == '\t' || c == '\n' || c == '\r'; };
  while (span.end > span.begin && blank(source_.text()[span.end - 1])) --span.end;
  return span;
}

Word Builder::word(const Node& node) const { return {lower_case(node.string()), span(node)}; }

Phrase Builder::phrase(const Node& node) const {
  Phrase phrase;
  for (const auto& child : node.children) phrase.words.push_back(word(*child));
  phrase.span = span(node);
  return phrase;
}

std::vector<Phrase> Builder::phrases(const Node& parent) const {
  std::vector<Phrase> all;
  for (const auto& child : parent.children) all.push_back(phrase(*child));
  return all;
}

Text Builder::text(const Node& node) const { return {node.string(), node.span(source_)}; }

std::optional<Text> Builder::find_text(const Node& parent) const {
  const Node* found = parent.find<rules::text_body>();
  return found ? std::optional(text(*found)) : std::nullopt;
}

Amount Builder::number(const Node& node) const {
  const auto read = read_decimal(node.string_view());
  if (!read)
    diagnostics_.add("units-1", span(node), "This number has more digits than can be kept exactly (17).",
                     "round it to what can be measured");
  Amount amount = read.value_or(Amount{});
  amount.span = span(node);
  return amount;
}

Amount Builder::amount(const Node& node) const {
  auto amount = number(*node.children.front());
  amount.span = span(node);
  if (node.children.size() == 2) {
    const auto& unit = *node.children[1];
    if (unit.is<rules::currency>())
      amount.currency = unit.string();
    else
      amount.unit = unit_named(unit.string_view());
  }
  return amount;
}

Quantity Builder::quantity(const Node& node) const {
  Quantity quantity;
  quantity.span = span(node);
  if (node.is<rules::dividend>()) {
    quantity.parts.push_back(number(node));
    return quantity;
  }
  for (const auto& child : node.children) {
    if (!node.is<rules::marked_length>()) {
      quantity.parts.push_back(amount(*child));
      continue;
    }
    // Feet have a node of their own; what stands beside them, or alone, are inches.
    const bool feet = child->is<rules::marked_feet>();
    quantity.parts.push_back(number(feet ? *child->children.front() : *child));
    quantity.parts.back().unit = feet ? Unit::foot : Unit::inch;
  }
  return quantity;
}

Date Builder::date(const Node& node) const {
  static constexpr std::array<std::string_view, 12> months = {"jan", "feb", "mar", "apr", "may", "jun",
                                                              "jul", "aug", "sep", "oct", "nov", "dec"};
  const auto number = [](std::string_view digits) {
    int value = 0;
    for (char c : digits) value = value * 10 + (c - '0');
    return value;
  };
  Date date;
  date.span = span(node);
  if (node.is<rules::date_iso>()) {
    const auto text = node.string_view();
    date.year = number(text.substr(0, 4)), date.month = number(text.substr(5, 2)), date.day = number(text.substr(8, 2));
  } else {
    date.day = number(node.children[0]->string_view());
    const auto name = lower_case(node.children[1]->string().substr(0, 3));
    for (std::size_t i = 0; i < months.size(); ++i)
      if (months[i] == name) date.month = static_cast<int>(i) + 1;
    date.year = number(node.children[2]->string_view());
  }
  const auto of_calendar = std::chrono::year(date.year) / date.month / date.day;
  if (!of_calendar.ok() || date.year < 1800 || date.year > 2200) {
    diagnostics_.add("reading-9", date.span, "There is no such day between the years 1800 and 2200.",
                     "write a day of the calendar, such as 28 February 2027");
    date = {2000, 1, 1, date.span};
  }
  return date;
}

Value Builder::value(const Node& node) const {
  if (node.is<rules::quantity>() || node.is<rules::marked_length>()) return quantity(node);
  if (node.is<rules::phrase>()) return phrase(node);
  return date(node);
}

void share_unit(Quantity& bare, const Quantity& last) {
  if (bare.parts.size() != 1 || !bare.parts[0].bare() || last.parts.size() != 1) return;
  bare.parts[0].unit = last.parts[0].unit, bare.parts[0].currency = last.parts[0].currency;
}

Interval Builder::interval(const Node& node) const {
  Interval interval{value(*node.children[0]), value(*node.children[1]), span(node)};
  auto* from = std::get_if<Quantity>(&interval.from);
  const auto* to = std::get_if<Quantity>(&interval.to);
  if (from && to) share_unit(*from, *to);
  return interval;
}

Cell Builder::cell(const Node& node) const {
  if (node.is<rules::interval>()) return interval(node);
  if (!node.is<rules::left_open>()) return value(node);
  LeftOpen open{{}, span(node)};
  for (const auto& member : node.children) open.members.push_back(phrase(*member));
  return open;
}

// ---- conditions and formulas -----------------------------------------------------------------------------

Relation Builder::relation(const Node& node) {
  return node.is<rules::relation_under>()      ? Relation::under
         : node.is<rules::relation_at_least>() ? Relation::at_least
         : node.is<rules::relation_over>()     ? Relation::over
         : node.is<rules::relation_at_most>()  ? Relation::at_most
         : node.is<rules::relation_before>()   ? Relation::before
                                               : Relation::since;
}

Condition Builder::condition(const Node& node) const {
  Condition condition;
  condition.span = span(node);
  condition.subject = phrase(*node.children[0]);
  if (node.is<rules::membership>()) {
    for (std::size_t i = 1; i < node.children.size(); ++i) condition.alternatives.push_back(phrase(*node.children[i]));
    return condition;
  }
  if (node.is<rules::spanning>()) {
    condition.relation = Relation::from_to;
    condition.value = value(*node.children.back());
    if (node.children.size() > 2) condition.first = value(*node.children[1]);
    auto* first = condition.first ? std::get_if<Quantity>(&*condition.first) : nullptr;
    const auto* last = std::get_if<Quantity>(&*condition.value);
    if (first && last) share_unit(*first, *last);
    return condition;
  }
  condition.relation = relation(*node.children[1]);
  condition.value = value(*node.children[2]);
  return condition;
}

std::vector<Condition> Builder::conditions(const Node& parent) const {
  std::vector<Condition> conditions;
  if (const Node* when = parent.is<rules::when>() ? &parent : parent.find<rules::when>())
    for (const auto& child : when->children) conditions.push_back(condition(*child));
  return conditions;
}

Expression Builder::expression(const Node& node) const {
  Expression made;
  made.span = span(node);
  const auto leaf = [&](Expression::Kind kind) { made.kind = kind; };
  if (node.is<rules::quantity>() || node.is<rules::dividend>())
    return leaf(Expression::Kind::quantity), made.quantity = quantity(node), made;
  if (node.is<rules::phrase>()) return leaf(Expression::Kind::name), made.name = phrase(node), made;
  if (node.is<rules::date_iso>() || node.is<rules::date_words>())
    return leaf(Expression::Kind::date), made.date = date(node), made;
  if (node.is<rules::larger>() || node.is<rules::smaller>() || node.is<rules::whole_years>()) {
    made.kind = node.is<rules::larger>()    ? Expression::Kind::larger
                : node.is<rules::smaller>() ? Expression::Kind::smaller
                                            : Expression::Kind::whole_years;
    for (const auto& child : node.children) made.operands.push_back(expression(*child));
    return made;
  }
  if (node.is<rules::expression>()) {
    auto inner = expression(*node.children[0]);
    if (node.children.size() == 1) return inner;
    const auto& rounding = *node.children[1];
    made.kind = rounding.is<rules::round_up>()     ? Expression::Kind::round_up
                : rounding.is<rules::round_down>() ? Expression::Kind::round_down
                                                   : Expression::Kind::round_nearest;
    made.quantity = quantity(*node.children[2]);
    made.operands.push_back(std::move(inner));
    return made;
  }
  // A sum or a product: operand, sign, operand, sign, …; left-associative.
  auto folded = expression(*node.children[0]);
  for (std::size_t i = 1; i + 1 < node.children.size(); i += 2) {
    const auto& sign = *node.children[i];
    Expression both;
    both.kind = sign.is<rules::add>()        ? Expression::Kind::add
                : sign.is<rules::subtract>() ? Expression::Kind::subtract
                : sign.is<rules::multiply>() ? Expression::Kind::multiply
                                             : Expression::Kind::divide;
    both.operands.push_back(std::move(folded));
    both.operands.push_back(expression(*node.children[i + 1]));
    both.span = join(both.operands[0].span, both.operands[1].span);
    folded = std::move(both);
  }
  return folded;
}

}  // namespace lacestay::grammar
