// Formulas of worked-out details, grown step by step from a detail. Each step keeps the formula's kind and its range:
// no asked detail comes into one formula twice, so the ends of the range are values that some player has.
#include <algorithm>

#include "grammar/read/reader.hpp"
#include "tests/reference/generate/generator_draft.hpp"

namespace lacestay::naive {

using grammar::Unit;

namespace {

const Rational largest = 10'000'000;

// In brackets unless it already binds as tightly as `level` asks.
std::string at_level(const Term& term, int level) { return term.level >= level ? term.text : "(" + term.text + ")"; }

std::vector<Rational> literals(Dimension dimension) {
  switch (dimension) {
    case Dimension::length: return {1, 5, 8, 10, 20, worth(Unit::inch), worth(Unit::inch) * 2};
    case Dimension::weight: return {100, 500, 1000, 2000, worth(Unit::pound), worth(Unit::pound) * 3};
    case Dimension::money: return {1, 5, Rational::of(1, 2), Rational::of(1, 100)};
    default: return {1, 2, 3, Rational::of(1, 2), Rational::of(1, 10)};
  }
}

std::vector<Rational> rounding_steps(Dimension dimension) {
  switch (dimension) {
    case Dimension::length: return {1, 2, 5, 10, 20, 50, worth(Unit::inch), worth(Unit::inch) / 2};
    case Dimension::weight: return {100, 250, 500, 1000, 2000, worth(Unit::pound), worth(Unit::pound) * 2};
    default: return {1, 2, 5, 10, Rational::of(1, 2), Rational::of(1, 10)};
  }
}

}  // namespace

Term Draft::term_of(const DraftDetail& detail) {
  return {detail.name, 2, detail.dimension, detail.low, detail.high, detail.grain, detail.asked};
}

std::optional<Term> Draft::combined(const Term& a, const Term& b, int way) {
  Term out{"", 0, a.dimension, 0, 0, 0, a.asked};
  out.asked.insert(b.asked.begin(), b.asked.end());
  if (out.asked.size() != a.asked.size() + b.asked.size()) return std::nullopt;
  const bool alike = a.dimension == b.dimension;
  std::vector<Rational> ends;  // all these are monotone in each operand, so the range's ends are at its corners
  for (const auto& x : {a.low, a.high})
    for (const auto& y : {b.low, b.high}) {
      switch (way) {
        case 0: ends.push_back(x + y); break;
        case 1: ends.push_back(x - y); break;
        case 2: ends.push_back(x * y); break;
        case 3:
          if (b.low <= 0) return std::nullopt;
          ends.push_back(x / y);
          break;
        case 4: ends.push_back(std::max(x, y)); break;
        default: ends.push_back(std::min(x, y)); break;
      }
    }
  out.low = *std::min_element(ends.begin(), ends.end());
  out.high = *std::max_element(ends.begin(), ends.end());
  if (out.high <= out.low || out.high > largest || out.low < -largest) return std::nullopt;
  if (way == 2 || way == 3) {
    if (way == 2 && b.dimension != Dimension::number) return std::nullopt;
    if (way == 3 && !alike && b.dimension != Dimension::number) return std::nullopt;
    const bool turned = way == 2 && draw_.chance(30);
    const auto& left = turned ? b : a;
    const auto& right = turned ? a : b;
    const std::string sign = way == 2 ? (draw_.chance(50) ? " * " : " × ") : draw_.chance(50) ? " / " : " ÷ ";
    out.text = at_level(left, 1) + sign + at_level(right, 2);
    out.level = 1;
    if (way == 3 && alike) out.dimension = Dimension::number;
    count(way == 2 ? "formula *" : alike && a.dimension != Dimension::number ? "formula / of one kind" : "formula /");
    return out;
  }
  if (!alike) return std::nullopt;
  if (way < 2) {
    out.text = at_level(a, 0) + (way == 0 ? " + " : " - ") + at_level(b, 1);
    count(way == 0 ? "formula +" : "formula -");
  } else {
    const int level = draw_.chance(50) ? 0 : 2;  // a sum may stand in either place without brackets too
    out.text = (way == 4 ? "the larger of " : "the smaller of ") + at_level(a, level) + " and " + at_level(b, level);
    out.level = -1;
    count(way == 4 ? "formula larger" : "formula smaller");
  }
  return out;
}

std::optional<Term> Draft::with_literal(const Term& term, int way) {
  Term other{"", 2, term.dimension, 0, 0, 0, {}};
  if (way == 2 || (way == 3 && draw_.chance(50))) {
    other.dimension = Dimension::number;
    other.low = draw_.pick(std::vector<Rational>{2, 3, Rational::of(1, 2), Rational::of(9, 10), Rational::of(3, 100)});
  } else if (way > 3) {
    DraftDetail range;
    range.dimension = term.dimension, range.low = term.low, range.high = term.high;
    const auto inside = literal(range, false, false);
    if (!inside) return std::nullopt;
    other.low = inside->at;
  } else {
    other.low = draw_.pick(literals(term.dimension));
  }
  other.high = other.low;
  other.text = written(other.low, other.dimension);
  return combined(term, other, way);
}

std::optional<Term> Draft::with_detail(const Term& term, int way) {
  std::vector<std::size_t> from;
  for (std::size_t i = 0; i < details_.size(); ++i)
    if (details_[i].is_number() && !details_[i].age) from.push_back(i);
  return combined(term, term_of(details_[draw_.pick(from)]), way);
}

std::optional<Term> Draft::rounded(const Term& term) {
  const Rational step = draw_.pick(rounding_steps(term.dimension));
  const auto way = draw_.between(0, 2);
  const Rational half = Rational::of(1, 2);
  const auto to = [&](const Rational& number) {
    const Rational steps = number / step;
    return step * (way == 0 ? steps.ceiling() : way == 1 ? steps.floor() : (steps + half).floor());
  };
  Term out = term;
  out.low = to(term.low), out.high = to(term.high), out.grain = step;
  if (out.high <= out.low || out.high > out.low + step * 60) return std::nullopt;
  const std::string words = way == 0 ? " rounded up to" : way == 1 ? " rounded down to" : " rounded to the nearest";
  const auto inner = at_level(term, draw_.chance(50) ? -1 : 2);
  out.text = inner + words + " " + written(step, term.dimension);
  out.level = -2;
  count("formula" + words);
  return out;
}

// A plain number times a unit. With `age_too` it may be an age, which no other step goes on from.
std::optional<Term> Draft::with_unit(const Term& term, bool age_too) {
  if (term.dimension != Dimension::number) return std::nullopt;
  static const std::vector<std::pair<Dimension, std::vector<const char*>>> kinds = {
      {Dimension::length, {"1 in", "1 mm", "5 mm", "½ in", "1 cm", "1 ft 6 in"}},
      {Dimension::weight, {"1 lb", "2 kg", "100 g", "1 oz", "1 st 2 lb"}},
      {Dimension::money, {"1 GBP", "2.50 GBP", "0.10 GBP"}},
      {Dimension::flex, {"1 flex", "5 flex"}},
      {Dimension::age, {"1 year", "1 month", "2 years"}}};
  const auto& [dimension, units] = kinds[draw_.place(age_too ? kinds.size() : kinds.size() - 1)];
  const std::string text = draw_.pick(units);
  const grammar::Source source("a unit", text);
  const Rational one = number_of(*grammar::read_value(source));
  Term out = term;
  out.dimension = dimension, out.level = 1;
  out.low = term.low * one, out.high = term.high * one, out.grain = term.grain * one;
  if (out.high > largest || out.low < -largest) return std::nullopt;
  const bool turned = draw_.chance(30);
  out.text = turned ? text + " * " + at_level(term, 2) : at_level(term, 1) + " * " + text;
  count("formula * " + text.substr(text.rfind(' ') + 1));
  return out;
}

// The term with one step more, or nothing if the step drawn does not go.
std::optional<Term> Draft::grown(const Term& term) {
  if (settings_.kinds && draw_.chance(40))
    if (const auto made = with_unit(term, false)) return made;
  if (draw_.chance(20)) return rounded(term);
  const int way = static_cast<int>(draw_.between(0, 5));
  return draw_.chance(55) ? with_literal(term, way) : with_detail(term, way);
}

}  // namespace lacestay::naive
