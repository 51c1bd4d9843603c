// Worked-out details: formulas checked for dimension, for a divisor that could be zero and for overflow, over the
// whole domain of their inputs; and charts that give a detail. Each is settled after those it rests on.
#include <fmt/format.h>

#include <algorithm>
#include <set>
#include <type_traits>

#include "compiler/check_charts.hpp"
#include "compiler/check_names.hpp"

namespace lacestay::compiler {

using grammar::Expression;
using Kind = FormulaStep::Kind;

namespace {

// What is known of a value on the way: its dimension, its exact bounds, and how large its unreduced numerator and
// denominator (formula.hpp) can become.
struct Known {
  Dimension dimension = Dimension::number;
  Interval bounds;
  Int128 most_numerator = 0;
  Int128 most_denominator = 1;
  Int128 numerator_factor = 1;    // divides the numerator, whatever the player
  Int128 denominator_factor = 1;  // and the denominator
};

Int128 common_factor(Int128 a, Int128 b) {
  while (b != 0) {
    const Int128 rest = a % b;
    a = b, b = rest;
  }
  return a < 0 ? -a : a;
}

constexpr const char* too_large = "For some players this number gets too large to be kept exactly.";
constexpr const char* round_each_part =
    "multiply by less, or round each part first, as in: (weight / 1 kg rounded to the nearest 1)";

}  // namespace

// Checks one formula and writes its steps. Throws Wrong once something has been said.
class FormulaChecker {
 public:
  struct Wrong {};

  FormulaChecker(Checker& checker, WorkedOut& made) : checker_(checker), made_(made) {}

  Known check(const Expression& expression) {
    const auto known = value_of(expression);
    if (depth_ > deepest_stack)
      refuse(expression, "limits-1", "This formula is too long to keep at once.",
             "work out a part of it as a detail of its own");
    return known;
  }

  // True where every number on the way stays below 2^60.
  [[nodiscard]] bool fits_64() const { return fits_64_; }

  std::set<std::uint16_t> inputs;
  std::vector<ShownUnit> shown;  // of the first amount met, for a result of its dimension
  Dimension shown_dimension = Dimension::number;

 private:
  [[noreturn]] void refuse(const Expression& at, const char* code, std::string message, std::string hint) {
    checker_.diagnostics.add(code, at.span, std::move(message), std::move(hint));
    throw Wrong{};
  }

  template <typename T>
  T fit(const std::optional<T>& exact, const Expression& at) {
    if constexpr (std::is_same_v<T, Int128>) fits_64_ = fits_64_ && exact && absolute(*exact) < (Int128{1} << 60);
    if (!exact) refuse(at, "formula-3", too_large, round_each_part);
    return *exact;
  }

  void push(FormulaStep step) {
    made_.formula.push_back(step);
    ++depth_now_;
    depth_ = std::max(depth_, depth_now_);
  }
  void fold(Kind kind) {
    made_.formula.push_back({kind});
    --depth_now_;
  }

  Known value_of(const Expression& at) {
    switch (at.kind) {
      case Expression::Kind::quantity: return literal(at);
      case Expression::Kind::date: {
        const Int128 day = day_number(at.date.year, at.date.month, at.date.day);
        push({Kind::constant, 0, day, 1});
        return {Dimension::day, {{day, 1}, {day, 1}}, absolute(day), 1};
      }
      case Expression::Kind::name: return detail(at);
      case Expression::Kind::round_up:
      case Expression::Kind::round_down:
      case Expression::Kind::round_nearest: return rounded(at);
      default: return both(at);
    }
  }

  Known literal(const Expression& at) {
    const auto& part = at.quantity.parts.front();
    const auto dimension = part.unit               ? dimension_of(*part.unit)
                           : part.currency.empty() ? Dimension::number
                                                   : Dimension::money;
    Rational value;
    if (dimension == Dimension::number) {
      value = reduced(part.numerator, Int128{part.denominator} * (part.bare() ? 1 : 100));
    } else {
      const auto ticks = checker_.ticks(at.quantity, {dimension, checker_.policy.currency, std::nullopt});
      if (!ticks) throw Wrong{};
      value = {*ticks, 1};
    }
    if (shown.empty() && dimension != Dimension::number) {
      for (const auto& each : at.quantity.parts) shown.push_back({each.unit, each.currency});
      shown_dimension = dimension;
    }
    push({Kind::constant, 0, value.numerator, value.denominator});
    // A literal of nothing has no factor worth knowing.
    const Int128 factor = value.numerator == 0 ? Int128{1} : value.numerator;
    return {dimension, {value, value}, value.numerator, value.denominator, factor, value.denominator};
  }

  Known detail(const Expression& at) {
    const auto column = checker_.column_named(at.name);
    if (!column) throw Wrong{};
    const auto& tables = checker_.policy.tables;
    const auto& known = tables.columns[*column];
    const auto& scale = checker_.policy.scale_of(*column);
    if (scale.has_members())
      refuse(at, "formula-1",
             fmt::format("{} is one of {}; a formula needs a number.", at.name.joined(), some_of(scale.members)),
             "give each of them a number in a chart, and use that");
    Known made;
    made.dimension = scale.dimension;
    if (known.worked_out) {
      const auto& other = tables.worked_out[known.detail];
      inputs.insert(other.inputs.begin(), other.inputs.end());
      made.bounds = {other.lowest, other.highest};
      // Its own formula runs inside this one, so its fractions can be as large here as there.
      made.most_numerator = other.largest_numerator, made.most_denominator = other.largest_denominator;
      fits_64_ = fits_64_ && other.fits_64;
    } else {
      inputs.insert(known.detail);
      const auto& domain = tables.asked[known.detail];
      const auto low = as_fraction(domain, domain.lowest), high = as_fraction(domain, domain.highest);
      made.bounds = {reduced(low.numerator, low.denominator), reduced(high.numerator, high.denominator)};
      made.most_numerator = std::max(std::abs(low.numerator), std::abs(high.numerator));
      made.most_denominator = made.denominator_factor = low.denominator;
      if (low.numerator != 0 && low.denominator == 1)
        made.numerator_factor = common_factor(low.numerator, as_fraction(domain, domain.grain).numerator);
    }
    if (known.worked_out && made.dimension == Dimension::number)
      for (auto* end : {&made.bounds.lowest, &made.bounds.highest})
        *end = reduced(end->numerator, fit(multiply(end->denominator, ticks_per_one), at));
    if (shown.empty() && made.dimension != Dimension::number) shown = scale.shown, shown_dimension = scale.dimension;
    push({Kind::detail, *column});
    return made;
  }

  Known rounded(const Expression& at) {
    auto inner = value_of(at.operands[0]);
    if (inner.dimension == Dimension::day) refuse(at, "formula-1", "Days can't be rounded.", "leave the rounding out");
    const auto step = checker_.ticks(at.quantity, {inner.dimension, checker_.policy.currency, std::nullopt});
    if (!step) throw Wrong{};
    if (*step <= 0)
      refuse(at, "formula-1", "Rounding needs a step above nothing.", "write it as in: rounded up to 5 mm");
    const Rational unit = inner.dimension == Dimension::number ? reduced(*step, ticks_per_one) : Rational{*step, 1};
    const auto kind = at.kind == Expression::Kind::round_up     ? Kind::round_up
                      : at.kind == Expression::Kind::round_down ? Kind::round_down
                                                                : Kind::round_nearest;
    // Room for the doubled numerators of rounding to the nearest.
    fit(multiply(fit(multiply(inner.most_numerator, unit.denominator), at), Int128{4}), at);
    fit(multiply(fit(multiply(inner.most_denominator, unit.numerator), at), Int128{4}), at);
    made_.formula.push_back({kind, 0, unit.numerator, unit.denominator});
    inner.bounds = bounded(made_.formula.back(), inner.bounds, inner.bounds, at);
    inner.most_denominator = unit.denominator;
    inner.most_numerator = largest(inner, unit.denominator, at);
    inner.numerator_factor = unit.numerator;
    inner.denominator_factor = unit.denominator;
    return inner;
  }

  static Int128 absolute(Int128 value) { return value < 0 ? -value : value; }

  // The largest numerator over `denominator` for a value between the bounds.
  Int128 largest(const Known& known, Int128 denominator, const Expression& at) {
    const auto low =
        fit(multiply(absolute(known.bounds.lowest.numerator), denominator), at) / known.bounds.lowest.denominator;
    const auto high =
        fit(multiply(absolute(known.bounds.highest.numerator), denominator), at) / known.bounds.highest.denominator;
    return std::max(low, high) + 1;
  }

  // The result's bounds, which must stay comparable with ticks.
  Interval bounded(const FormulaStep& step, const Interval& first, const Interval& second, const Expression& at) {
    constexpr Int128 most = Int128{1} << 62;
    const auto made = fit(bound(step, first, second), at);
    const auto inside = [&](const Rational& value) { return absolute(value.numerator) / value.denominator < most; };
    if (!inside(made.lowest) || !inside(made.highest)) fit(std::optional<Int128>{}, at);
    return made;
  }

  static Kind step_kind(Expression::Kind kind) {
    switch (kind) {
      case Expression::Kind::add: return Kind::add;
      case Expression::Kind::subtract: return Kind::subtract;
      case Expression::Kind::multiply: return Kind::multiply;
      case Expression::Kind::divide: return Kind::divide;
      case Expression::Kind::larger: return Kind::larger;
      case Expression::Kind::smaller: return Kind::smaller;
      default: return Kind::whole_years;
    }
  }

  Known both(const Expression& at) {
    const auto a = value_of(at.operands[0]);
    const auto b = value_of(at.operands[1]);
    Known made;
    made.dimension = result_dimension(at, a, b);
    const bool through_zero = b.bounds.lowest.numerator <= 0 && b.bounds.highest.numerator >= 0;
    if (at.kind == Expression::Kind::divide && through_zero && at.operands[1].kind == Expression::Kind::quantity)
      refuse(at.operands[1], "formula-2", "Nothing can be divided by zero.", "divide by something else");
    if (at.kind == Expression::Kind::divide && through_zero)
      refuse(at.operands[1], "formula-2", "For some players this could be zero, and nothing can be divided by zero.",
             "divide by something that never reaches zero, such as the larger of it and a small amount");
    fold(step_kind(at.kind));
    made.bounds = bounded(made_.formula.back(), a.bounds, b.bounds, at);
    // How large the unreduced fraction can be: as formula.cc puts it together.
    const auto cross_left = fit(multiply(a.most_numerator, b.most_denominator), at);
    const auto cross_right = fit(multiply(b.most_numerator, a.most_denominator), at);
    made.most_denominator = fit(multiply(a.most_denominator, b.most_denominator), at);
    switch (made_.formula.back().kind) {
      case Kind::multiply: made.most_numerator = fit(multiply(a.most_numerator, b.most_numerator), at); break;
      case Kind::divide: made.most_numerator = cross_left, made.most_denominator = cross_right; break;
      case Kind::larger:
      case Kind::smaller:
        made.most_numerator = std::max(a.most_numerator, b.most_numerator);
        made.most_denominator = std::max(a.most_denominator, b.most_denominator);
        break;
      case Kind::whole_years: made.most_numerator = made.bounds.highest.numerator, made.most_denominator = 1; break;
      default: made.most_numerator = fit(add(cross_left, cross_right), at);
    }
    shrink(made, a, b);
    return made;
  }

  // Units bring in large factors, such as the nanometres in a metre, which often stand above and below.
  void shrink(Known& made, const Known& a, const Known& b) {
    const auto kind = made_.formula.back().kind;
    if (kind != Kind::multiply && kind != Kind::divide) return;
    const bool divides = kind == Kind::divide;
    made.numerator_factor =
        multiply(a.numerator_factor, divides ? b.denominator_factor : b.numerator_factor).value_or(1);
    made.denominator_factor =
        multiply(a.denominator_factor, divides ? b.numerator_factor : b.denominator_factor).value_or(1);
    const auto factor = common_factor(made.numerator_factor, made.denominator_factor);
    if (factor <= 1) return;
    made_.formula.push_back({Kind::shrink, 0, factor});
    made.most_numerator /= factor, made.most_denominator /= factor;
    made.numerator_factor /= factor, made.denominator_factor /= factor;
  }

  Dimension result_dimension(const Expression& at, const Known& a, const Known& b) {
    const auto number = Dimension::number;
    const auto is_day = [](const Known& known) { return known.dimension == Dimension::day; };
    const auto unlike = [&] {
      const std::string first = a_dimension(a.dimension), second = a_dimension(b.dimension);
      if (at.kind == Expression::Kind::multiply)
        refuse(at, "formula-1",
               fmt::format("This multiplies {} by {}; one of the two must be a plain number.", first, second),
               "make a plain number of one of them, as in: weight / 1 lb");
      if (at.kind == Expression::Kind::divide)
        refuse(at, "formula-1", fmt::format("This divides {} by {}, which are not of one kind.", first, second),
               "make plain numbers of both, as in: (weight / 1 lb) / (height / 1 in)");
      const auto does = at.kind == Expression::Kind::add        ? "adds"
                        : at.kind == Expression::Kind::subtract ? "subtracts"
                                                                : "compares";
      refuse(
          at, "formula-1", fmt::format("This {} {} and {}, which are not of one kind.", does, first, second),
          a.dimension == number || b.dimension == number
              ? "give the plain number its unit, as in: 5 mm; or make a plain number of the other, as in: weight / 1 lb"
              : "make plain numbers of both, as in: weight / 1 lb and height / 1 in");
    };
    if (at.kind == Expression::Kind::whole_years) {
      if (!is_day(a) || !is_day(b))
        refuse(at, "formula-1", "Whole years are counted from one day to another.",
               "write it as in: whole years from birth_day to 31 December 2026");
      if (shown.empty() || shown_dimension != Dimension::age)
        shown = {{grammar::Unit::year, ""}}, shown_dimension = Dimension::age;
      return Dimension::age;
    }
    if (is_day(a) || is_day(b))
      refuse(at, "formula-1", "Days can't be added, multiplied or compared in a formula.",
             "count whole years from one day to another");
    if (at.kind == Expression::Kind::multiply) {
      if (a.dimension != number && b.dimension != number) unlike();
      return a.dimension == number ? b.dimension : a.dimension;
    }
    if (at.kind == Expression::Kind::divide) {
      if (b.dimension == number) return a.dimension;
      if (a.dimension != b.dimension) unlike();
      return number;
    }
    if (a.dimension != b.dimension) unlike();
    return a.dimension;
  }

  Checker& checker_;
  WorkedOut& made_;
  std::size_t depth_ = 0, depth_now_ = 0;
  bool fits_64_ = true;
};

namespace {

// Its value is compared with edges in ticks, by multiplying out: ticks, and those products, must fit as well. Edges
// past the bounds are never compared with.
bool comparable(const WorkedOut& made) {
  constexpr Int128 most_ticks = Int128{1} << 61;
  const auto ticks = [](const Rational& end) {
    return (end.numerator < 0 ? -end.numerator : end.numerator) / end.denominator + 1;
  };
  const auto largest = std::max(ticks(made.lowest), ticks(made.highest));
  return largest < most_ticks && multiply(made.largest_denominator, 2 * largest) &&
         multiply(made.largest_numerator, 2 * Int128{made.plain_number ? ticks_per_one : 1});
}

}  // namespace

void Checker::check_formula(const grammar::WorkOut& form, const grammar::Item& item) {
  WorkedOut made;
  WorkedOutText text;
  text.name = form.name.text;
  text.span = item.head;
  FormulaChecker checker(*this, made);
  try {
    const auto known = checker.check(form.formula);
    made.inputs.assign(checker.inputs.begin(), checker.inputs.end());
    made.plain_number = known.dimension == Dimension::number;
    const Rational in_ticks{made.plain_number ? ticks_per_one : 1, 1};
    made.largest_numerator = known.most_numerator;
    made.largest_denominator = known.most_denominator;
    made.fits_64 = checker.fits_64();
    const auto lowest = multiply(known.bounds.lowest, in_ticks), highest = multiply(known.bounds.highest, in_ticks);
    if (lowest && highest) made.lowest = *lowest, made.highest = *highest;
    if (!lowest || !highest || !comparable(made)) {
      diagnostics.add("formula-3", form.formula.span, too_large, round_each_part);
      return;
    }
    text.scale.kind = known.dimension == Dimension::day ? Scale::Kind::day : Scale::Kind::amount;
    text.scale.dimension = known.dimension;
    text.scale.money_digits = grammar::currency_digits(policy.currency).value_or(2);
    if (known.dimension == Dimension::age) text.scale.bare_unit = grammar::Unit::year;
    text.scale.shown =
        checker.shown_dimension == known.dimension && !checker.shown.empty() ? checker.shown : std::vector{ShownUnit{}};
  } catch (const FormulaChecker::Wrong&) {
    return;
  }
  add_worked_out(std::move(made), std::move(text));
}

void Checker::add_worked_out(WorkedOut made, WorkedOutText text) {
  Column column;
  column.worked_out = true;
  column.detail = static_cast<std::uint16_t>(policy.worked_out.size());
  columns.emplace(text.name, static_cast<ColumnId>(policy.tables.columns.size()));
  policy.tables.columns.push_back(column);
  policy.tables.worked_out.push_back(std::move(made));
  policy.worked_out.push_back(std::move(text));
}

void Checker::check_detail_chart(const grammar::Chart& chart, const grammar::Item& item, std::size_t file) {
  WorkedOut made;
  WorkedOutText text;
  text.name = chart.gives.joined();
  text.span = item.head;
  const auto* first = chart.rows.empty() ? nullptr : std::get_if<grammar::Value>(&chart.rows.front().cells.front());
  const auto* quantity = first ? std::get_if<grammar::Quantity>(first) : nullptr;
  DraftRule rule;
  rule.id = new_rule(chart.name, RuleText::Kind::chart, chart.clauses, file, item.head);
  rule.effect = policy.rules[rule.id].effect = Effect::value;
  if (!chart.rows.empty() && !quantity) {
    diagnostics.add(
        "answers-1", span_of(chart.rows.front().cells.front()),
        fmt::format("No piece is called '{}', so the chart works it out as a detail, and its cells are quantities.",
                    text.name),
        "write a number with its unit in each cell; or, after gives, name a piece and its property");
    return;
  }
  if (!chart.clauses.when.empty() || !chart.clauses.outranks.empty()) {
    diagnostics.add("charts-8",
                    chart.clauses.when.empty() ? chart.clauses.outranks.front().span : chart.clauses.when.front().span,
                    "A chart that works out a detail must answer every player, and answers alone.",
                    chart.clauses.when.empty() ? "leave the outranks out"
                                               : "leave the for out, and give the chart rows for the other players");
    return;
  }
  const auto part = quantity ? quantity->parts.front() : grammar::Amount{};
  text.scale.dimension = part.unit               ? dimension_of(*part.unit)
                         : part.currency.empty() ? Dimension::number
                                                 : Dimension::money;
  text.scale.money_digits = grammar::currency_digits(policy.currency).value_or(2);
  for (const auto& each : quantity ? quantity->parts : std::vector<grammar::Amount>{})
    if (text.scale.shown.empty() || each.unit != grammar::Unit::percent)
      text.scale.shown.push_back({each.unit, each.currency});
  const auto read = [&](const grammar::Cell& cell) -> std::optional<std::pair<std::int64_t, std::int64_t>> {
    const auto* value = std::get_if<grammar::Value>(&cell);
    if (!value) {
      diagnostics.add("answers-1", span_of(cell), "One quantity is due here, not two ends.",
                      "write one number with its unit");
      return std::nullopt;
    }
    const auto ticks = amount(*value, text.scale);
    return ticks ? std::optional(std::pair(*ticks, *ticks)) : std::nullopt;
  };
  auto rows = chart_rows(chart, policy.rules[rule.id], read);
  if (!rows) return;
  rule.rows = std::move(*rows);
  std::set<std::uint16_t> inputs;
  std::int64_t low = rule.rows.front().low, high = low;
  for (const auto& row : rule.rows) {
    low = std::min(low, row.low), high = std::max(high, row.high);
    for (const auto& test : row.tests) {
      const auto& column = policy.tables.columns[test.column];
      if (!column.worked_out)
        inputs.insert(column.detail);
      else
        inputs.insert(policy.tables.worked_out[column.detail].inputs.begin(),
                      policy.tables.worked_out[column.detail].inputs.end());
    }
  }
  made.inputs.assign(inputs.begin(), inputs.end());
  made.plain_number = text.scale.dimension == Dimension::number;
  made.lowest = {low, 1}, made.highest = {high, 1};
  made.largest_numerator = std::max(std::abs(low), std::abs(high));
  made.largest_denominator = made.plain_number ? ticks_per_one : 1;
  rule.targets = {static_cast<std::uint32_t>(policy.worked_out.size())};
  add_worked_out(std::move(made), std::move(text));
  rules.push_back(std::move(rule));
}

namespace {

void names_in(const Expression& expression, std::vector<const grammar::Phrase*>& names) {
  if (expression.kind == Expression::Kind::name) names.push_back(&expression.name);
  for (const auto& operand : expression.operands) names_in(operand, names);
}

// A worked-out detail as written, before it is known in which order they can be settled.
struct Written {
  std::string name;
  grammar::Span span;
  const grammar::WorkOut* formula = nullptr;
  const grammar::Chart* chart = nullptr;
  const grammar::Item* item = nullptr;
  std::size_t file = 0;
  std::vector<std::string> rests_on;
  enum class State { waiting, open, done } state = State::waiting;
};

}  // namespace

void Checker::declare_worked_out() {
  // Each rests on others, and they on others: walked one inside the other, so they must not be too many.
  constexpr std::size_t most_details = 2000;
  std::vector<Written> all;
  std::vector<std::pair<std::string, grammar::Span>> known;
  for (const auto& detail : policy.details) known.emplace_back(detail.name, detail.span);
  const auto add = [&](Written written) {
    if (!fresh_name(written.name, written.span, "details", known)) return;
    known.emplace_back(written.name, written.span);
    if (known.size() == most_details)
      diagnostics.add("limits-4", written.span,
                      fmt::format("The policy asks and works out {} details; that is too many.", most_details),
                      "leave out what no rule uses");
    if (known.size() < most_details)
      all.push_back(std::move(written));
    else
      columns.emplace(written.name, told_column);
  };
  each<grammar::WorkOut>([&](const grammar::WorkOut& form, const grammar::Item& item, std::size_t file) {
    std::vector<const grammar::Phrase*> names;
    names_in(form.formula, names);
    Written written{form.name.text, form.name.span, &form, nullptr, &item, file, {}};
    for (const auto* name : names) written.rests_on.push_back(name->joined());
    add(std::move(written));
  });
  each<grammar::Chart>([&](const grammar::Chart& chart, const grammar::Item& item, std::size_t file) {
    // `gives stick flex` names a piece's property; one unknown word alone is a detail the chart works out.
    if (targets.count(chart.gives.joined()) != 0 || pieces.count(chart.gives.words.front().text) != 0) return;
    if (chart.gives.words.size() != 1 || files[file].pack) return;
    Written written{chart.gives.joined(), chart.gives.span, nullptr, &chart, &item, file, {}};
    if (chart.across) written.rests_on.push_back(chart.across->detail.joined());
    if (chart.down) written.rests_on.push_back(chart.down->joined());
    add(std::move(written));
  });
  std::vector<Written*> path;
  const auto settle = [&](auto&& self, Written& written) -> void {
    if (written.state == Written::State::done) return;
    if (written.state == Written::State::open) {
      std::vector<std::string> circle;
      for (auto at = std::find(path.begin(), path.end(), &written); at != path.end(); ++at)
        circle.push_back((*at)->name);
      circle.push_back(written.name);
      diagnostics.add("formula-4", written.item->head,
                      fmt::format("{} rests on itself: {}.", written.name, fmt::join(circle, ", which rests on ")),
                      "work one of them out from what is asked alone");
      columns.emplace(written.name, told_column);  // so that each circle is told once
      return;
    }
    written.state = Written::State::open;
    path.push_back(&written);
    for (const auto& name : written.rests_on)
      for (auto& other : all)
        if (other.name == name) self(self, other);
    path.pop_back();
    written.state = Written::State::done;
    if (columns.count(written.name) != 0) return;
    written.formula ? check_formula(*written.formula, *written.item)
                    : check_detail_chart(*written.chart, *written.item, written.file);
    columns.emplace(written.name, told_column);  // only where it could not be worked out
  };
  for (auto& written : all) settle(settle, written);
}

}  // namespace lacestay::compiler
