#include "tests/compiler/proof/z3_terms.hpp"

#include <algorithm>

namespace lacestay::judges {

using grammar::Condition;
using grammar::Expression;
using grammar::Relation;
using naive::Wide;

namespace {

// Products with a term of at most so many values are written as a choice among multiples.
constexpr std::size_t most_cases = 70;

std::string digits(Wide number) {
  if (number < 0) return "-" + digits(-number);
  std::string out;
  do {
    out.insert(out.begin(), static_cast<char>('0' + static_cast<int>(number % 10)));
    number /= 10;
  } while (number > 0);
  return out;
}

}  // namespace

Terms::Terms(z3::context& context, const naive::Policy& policy, const std::vector<AskedRange>& asked,
             std::vector<z3::expr> steps, bool relaxed)
    : context_(context), policy_(policy), asked_(asked), steps_(std::move(steps)), relaxed_(relaxed) {}

z3::expr Terms::number(const Rational& value) const {
  return context_.real_val((digits(value.top()) + "/" + digits(value.bottom())).c_str());
}

Term Terms::constant(const Rational& value) const {
  return {number(value), std::nullopt, value, value, {{yes(true), value}}};
}

z3::expr Terms::any(const std::vector<z3::expr>& of) const {
  z3::expr_vector all(context_);
  for (const auto& one : of) all.push_back(one);
  return z3::mk_or(all);
}

z3::expr Terms::all(const std::vector<z3::expr>& of) const {
  z3::expr_vector each(context_);
  for (const auto& one : of) each.push_back(one);
  return z3::mk_and(each);
}

z3::expr Terms::times(const z3::expr& a, const z3::expr& b) {
  if (!a.is_numeral() && !b.is_numeral()) multiplied_ = true;
  return a * b;
}

z3::expr Terms::inside() const {
  std::vector<z3::expr> all_inside;
  for (std::size_t i = 0; i < asked_.size(); ++i) {
    const auto last = context_.int_val(asked_[i].last);
    all_inside.push_back(steps_[i] >= 0);
    all_inside.push_back(relaxed_ ? steps_[i] < last + 1 : steps_[i] <= last);
  }
  return all(all_inside);
}

// ---- details

std::optional<std::size_t> Terms::asked_place(std::size_t detail) const {
  for (std::size_t i = 0; i < asked_.size(); ++i)
    if (asked_[i].detail == detail) return i;
  return std::nullopt;
}

// On an asked detail an edge lies between two steps. Relaxed steps count as the step below them.
z3::expr Terms::at_least(std::size_t detail, const Rational& edge) {
  const auto place = asked_place(detail);
  if (!place) return reaches(term(detail), edge);
  const auto first = ((edge - asked_[*place].low) / asked_[*place].tick).ceiling();
  return steps_[*place] >= context_.int_val(first);
}

z3::expr Terms::over(std::size_t detail, const Rational& edge) {
  const auto place = asked_place(detail);
  if (!place) return passes(term(detail), edge);
  const auto first = ((edge - asked_[*place].low) / asked_[*place].tick).floor() + 1;
  return steps_[*place] >= context_.int_val(first);
}

z3::expr Terms::is_member(std::size_t detail, std::size_t member) {
  const auto at = static_cast<std::int64_t>(member);
  return at_least(detail, at) && !at_least(detail, at + 1);
}

z3::expr Terms::reaches(const Term& a, const Rational& edge) { return a.top >= times(number(edge), a.bottom); }
z3::expr Terms::passes(const Term& a, const Rational& edge) { return a.top > times(number(edge), a.bottom); }

const Term& Terms::term(std::size_t detail) {
  const auto known = terms_.find(detail);
  if (known != terms_.end()) return known->second;
  const auto& declared = policy_.details[detail];
  auto made = declared.ask ? asked_term(detail) : declared.formula ? formula(*declared.formula) : chart_term(declared);
  return terms_.emplace(detail, std::move(made)).first->second;
}

Term Terms::asked_term(std::size_t detail) const {
  const auto place = *asked_place(detail);
  const auto& range = asked_[place];
  const auto& step = steps_[place];
  const auto real = step.is_int() ? z3::to_real(step) : step;
  Term made{number(range.low) + number(range.tick) * real, std::nullopt, range.low, range.value(range.last), {}};
  if (range.last < static_cast<std::int64_t>(most_cases))
    for (std::int64_t i = 0; i <= range.last; ++i)
      made.cases.emplace_back(step >= context_.int_val(i) && step < context_.int_val(i + 1), range.value(i));
  return made;
}

Term Terms::one_of(std::vector<std::pair<z3::expr, Rational>> cases) const {
  Term made{number(cases.back().second), std::nullopt, cases.back().second, cases.back().second, {}};
  for (auto each = cases.rbegin(); each != cases.rend(); ++each) {
    made.top = z3::ite(each->first, number(each->second), made.top);
    made.low = std::min(made.low, each->second);
    made.high = std::max(made.high, each->second);
  }
  if (cases.size() <= most_cases) made.cases = std::move(cases);
  return made;
}

Term Terms::chart_term(const naive::Detail& detail) {
  const auto& chart = *detail.chart;
  const auto where = cells(chart);
  std::vector<std::pair<z3::expr, Rational>> cases;
  for (const auto& row : chart.rows)
    for (const auto& cell : row.cells) cases.emplace_back(where[cases.size()], detail.given(cell));
  return one_of(std::move(cases));
}

// ---- formulas

Term Terms::formula(const Expression& expression) {
  using Kind = Expression::Kind;
  const auto operand = [&](std::size_t i) { return formula(expression.operands[i]); };
  switch (expression.kind) {
    case Kind::quantity: return constant(naive::worth(expression.quantity));
    case Kind::date: return constant(naive::number_of(naive::day_of(expression.date)));
    case Kind::name: return term(detail_named(expression.name));
    case Kind::add: return sum(operand(0), operand(1), false);
    case Kind::subtract: return sum(operand(0), operand(1), true);
    case Kind::multiply: return product(operand(0), operand(1));
    case Kind::divide: return quotient(operand(0), operand(1));
    case Kind::larger: return extreme(operand(0), operand(1), true);
    case Kind::smaller: return extreme(operand(0), operand(1), false);
    case Kind::whole_years: return whole_years(operand(0), operand(1));
    default: return rounded(operand(0), naive::worth(expression.quantity), expression.kind);
  }
}

Term Terms::sum(const Term& a, const Term& b, bool minus) {
  const auto left = times(a.top, b.bottom), right = times(b.top, a.bottom);
  auto bottom = a.bottom;
  if (b.bottom) bottom = bottom ? times(*bottom, *b.bottom) : *b.bottom;
  if (minus) return {left - right, bottom, a.low - b.high, a.high - b.low, {}};
  return {left + right, bottom, a.low + b.low, a.high + b.high, {}};
}

Term Terms::product(const Term& a, const Term& b) {
  const std::vector<Rational> ends = {a.low * b.low, a.low * b.high, a.high * b.low, a.high * b.high};
  const auto low = *std::min_element(ends.begin(), ends.end()), high = *std::max_element(ends.begin(), ends.end());
  if (a.cases.empty() && b.cases.empty()) {
    auto bottom = a.bottom;
    if (b.bottom) bottom = bottom ? times(*bottom, *b.bottom) : *b.bottom;
    return {times(a.top, b.top), bottom, low, high, {}};
  }
  const auto& few = a.cases.empty() ? b : a;
  const auto& other = a.cases.empty() ? a : b;
  auto top = times(other.top, number(few.cases.back().second));
  for (std::size_t i = few.cases.size() - 1; i-- > 0;)
    top = z3::ite(few.cases[i].first, times(other.top, number(few.cases[i].second)), top);
  return {top, other.bottom, low, high, {}};
}

Term Terms::quotient(const Term& a, const Term& b) {
  if (b.low <= 0 && b.high >= 0) throw NotEncoded("a divisor that could be 0");
  if (!b.cases.empty()) {
    Term turned{b.top, std::nullopt, Rational(1) / b.high, Rational(1) / b.low, {}};
    for (const auto& [when, value] : b.cases) turned.cases.emplace_back(when, Rational(1) / value);
    Term plain = a;
    plain.cases.clear();  // so that the product is over the divisor's values
    return product(plain, turned);
  }
  const std::vector<Rational> ends = {a.low / b.low, a.low / b.high, a.high / b.low, a.high / b.high};
  auto top = times(a.top, b.bottom), bottom = times(b.top, a.bottom);
  if (b.high < 0) top = -top, bottom = -bottom;
  return {top, bottom, *std::min_element(ends.begin(), ends.end()), *std::max_element(ends.begin(), ends.end()), {}};
}

Term Terms::extreme(const Term& a, const Term& b, bool larger) {
  const auto left = times(a.top, b.bottom), right = times(b.top, a.bottom);
  const auto first = larger ? left >= right : left <= right;
  Term made{z3::ite(first, a.top, b.top),
            std::nullopt,
            larger ? std::max(a.low, b.low) : std::min(a.low, b.low),
            larger ? std::max(a.high, b.high) : std::min(a.high, b.high),
            {}};
  if (a.bottom || b.bottom) made.bottom = z3::ite(first, a.bottom.value_or(number(1)), b.bottom.value_or(number(1)));
  return made;
}

Term Terms::rounded(const Term& a, const Rational& step, Expression::Kind kind) {
  const Rational half = Rational::of(1, 2);
  const auto to = [&](const Rational& value) {
    const Rational steps = value / step;
    return kind == Expression::Kind::round_up     ? steps.ceiling()
           : kind == Expression::Kind::round_down ? steps.floor()
                                                  : (steps + half).floor();
  };
  const auto first = to(a.low), last = to(a.high);
  const bool few = last - first < static_cast<std::int64_t>(most_cases);
  // Where it comes to multiple i or more: rounding never falls.
  const auto from = [&](std::int64_t i) {
    if (kind == Expression::Kind::round_up) return passes(a, step * (i - 1));
    if (kind == Expression::Kind::round_down) return reaches(a, step * i);
    return reaches(a, step * (Rational(i) - half));
  };
  std::vector<std::pair<z3::expr, Rational>> cases;
  if (few)
    for (auto i = last; i >= first; --i)
      cases.emplace_back(i == first ? yes(true) : from(i), step * i);  // the first that holds, as in a ladder of ites
  if (a.bottom || relaxed_ || a.top.is_numeral()) {
    if (!few) throw NotEncoded("a fine rounding of a quotient");
    return one_of(std::move(cases));
  }
  const auto floor = [&](const z3::expr& real) { return z3::expr(context_, Z3_mk_real2int(context_, real)); };
  const auto steps = a.top * number(Rational(1) / step);
  const auto whole = kind == Expression::Kind::round_up     ? -floor(-steps)
                     : kind == Expression::Kind::round_down ? floor(steps)
                                                            : floor(steps + number(half));
  return {z3::to_real(whole) * number(step), std::nullopt, step * first, step * last, std::move(cases)};
}

// Years are reached on anniversaries. How many days the n-th anniversary lies after a day is the same for stretches of
// days between leap days, so it is looked up: a ladder over the stretches, for each n that can be reached.
Term Terms::whole_years(const Term& from, const Term& to) {
  if (from.bottom || to.bottom || !from.low.is_whole() || !from.high.is_whole())
    throw NotEncoded("years between no days");
  const auto years = [](const Rational& a, const Rational& b) {
    return naive::whole_years(naive::day_at(a), naive::day_at(b));
  };
  const auto fewest = years(from.high, to.low), most = years(from.low, to.high);
  std::vector<std::pair<z3::expr, Rational>> cases;
  for (auto n = most; n > fewest; --n) {
    const auto days_to = [&](std::int64_t day) {
      auto low = day + n * 365 - 1, high = day + n * 366 + 1;  // n may be below 0
      if (low > high) std::swap(low, high);
      while (low < high) {
        const auto middle = low + (high - low) / 2;
        if (years(day, middle) >= n)
          high = middle;
        else
          low = middle + 1;
      }
      return low - day;
    };
    const auto first = from.low.floor(), last = from.high.floor();
    auto after = number(days_to(last));
    auto held = days_to(last);
    for (auto day = last - 1; day >= first; --day) {
      const auto days = days_to(day);
      if (days != held) after = z3::ite(from.top >= number(day + 1), after, number(days));
      held = days;
    }
    cases.emplace_back(to.top >= from.top + after, Rational(n));
  }
  cases.emplace_back(yes(true), Rational(fewest));
  return one_of(std::move(cases));
}

// ---- conditions and charts

std::size_t Terms::detail_named(const grammar::Phrase& phrase) const {
  const auto name = phrase.joined();
  for (std::size_t i = 0; i < policy_.details.size(); ++i)
    if (policy_.details[i].name == name) return i;
  throw NotEncoded("no detail " + name);
}

z3::expr Terms::meets(const std::vector<Condition>& conditions) {
  std::vector<z3::expr> each;
  for (const auto& condition : conditions) {
    const auto member_of = [&](std::size_t detail, const std::string& name) -> std::optional<std::size_t> {
      const auto& members = policy_.details[detail].members;
      const auto found = std::find(members.begin(), members.end(), name);
      if (found == members.end()) return std::nullopt;
      return static_cast<std::size_t>(found - members.begin());
    };
    if (condition.relation == Relation::is || (condition.relation == Relation::from_to && !condition.first)) {
      // `skill new, league`: the subject is the detail's name and the first member together.
      const auto subject = condition.subject.joined();
      std::vector<z3::expr> any_member;
      for (std::size_t detail = 0; detail < policy_.details.size(); ++detail) {
        const auto& name = policy_.details[detail].name;
        if (!subject.starts_with(name + "_")) continue;
        const auto first = member_of(detail, subject.substr(name.size() + 1));
        if (!first) continue;
        any_member.push_back(is_member(detail, *first));
        if (condition.relation == Relation::from_to) {
          const auto last = member_of(detail, std::get<grammar::Phrase>(*condition.value).joined()).value();
          for (auto next = *first + 1; next <= last; ++next) any_member.push_back(is_member(detail, next));
        }
        for (const auto& phrase : condition.alternatives)
          any_member.push_back(is_member(detail, member_of(detail, phrase.joined()).value()));
        break;
      }
      if (any_member.empty()) throw NotEncoded("no member " + subject);
      each.push_back(any(any_member));
      continue;
    }
    const auto detail = detail_named(condition.subject);
    if (condition.first) {
      each.push_back(at_least(detail, naive::number_of(*condition.first)));
      each.push_back(!at_least(detail, naive::past_last(condition)));
      continue;
    }
    const auto* phrase = std::get_if<grammar::Phrase>(&*condition.value);
    const Rational edge = phrase ? Rational(static_cast<std::int64_t>(member_of(detail, phrase->joined()).value()))
                                 : naive::number_of(*condition.value);
    switch (condition.relation) {
      case Relation::under:
      case Relation::before: each.push_back(!at_least(detail, edge)); break;
      case Relation::at_least:
      case Relation::since: each.push_back(at_least(detail, edge)); break;
      case Relation::over: each.push_back(over(detail, edge)); break;
      case Relation::at_most: each.push_back(!over(detail, edge)); break;
      case Relation::is:
      case Relation::from_to: break;
    }
  }
  return all(each);
}

// Edges rise: the first head that takes the player in.
std::vector<z3::expr> Terms::heads(const std::vector<const grammar::Head*>& all_heads, std::size_t detail) {
  using Kind = grammar::Head::Kind;
  std::vector<z3::expr> out;
  auto none_before = yes(true);
  for (const auto* head : all_heads) {
    auto takes_in = yes(true);
    if (head->kind == Kind::members) {
      std::vector<z3::expr> members;
      for (const auto member : policy_.members_of.at(head)) members.push_back(is_member(detail, member));
      takes_in = any(members);
    } else if (head->kind != Kind::rest) {
      const auto edge = naive::number_of(*head->edge);
      takes_in = head->kind == Kind::at_most ? !over(detail, edge) : !at_least(detail, edge);
    }
    out.push_back(none_before && takes_in);
    none_before = none_before && !takes_in;
  }
  return out;
}

std::vector<z3::expr> Terms::cells(const grammar::Chart& chart) {
  std::vector<const grammar::Head*> down, across;
  for (const auto& row : chart.rows) down.push_back(&row.head);
  auto rows = chart.down ? heads(down, detail_named(*chart.down)) : std::vector<z3::expr>{yes(true)};
  if (!chart.across) return rows;
  for (const auto& head : chart.across->heads) across.push_back(&head);
  const auto columns = heads(across, detail_named(chart.across->detail));
  std::vector<z3::expr> out;
  for (const auto& row : rows)
    for (const auto& column : columns) out.push_back(row && column);
  return out;
}

}  // namespace lacestay::judges
