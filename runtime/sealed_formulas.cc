// Worked-out details of a loaded policy. Running a formula checks nothing (compiler/formula.hpp), so what the checker
// proved of it is proved here once more: that the stack holds, that no divisor is zero and that nothing overflows,
// whatever the player. Written from formula.hpp's own words, over the steps alone; it must find what stands in the
// document to the last digit.
#include <algorithm>
#include <set>

#include "compiler/reach.hpp"
#include "runtime/sealed_holding.hpp"

namespace lacestay::runtime {

using compiler::FormulaStep;
using compiler::Int128;
using compiler::Interval;
using compiler::Policy;
using compiler::Rational;
using Kind = FormulaStep::Kind;

namespace {

// Searching for a player runs them over and over. A shop's have some dozens.
constexpr std::size_t most_steps = 10'000;
constexpr Int128 largest_constant = Int128{1} << 110, largest_bound = Int128{1} << 126;

Int128 absolute(Int128 value) { return value < 0 ? -value : value; }

Int128 common_factor(Int128 a, Int128 b) {
  while (b != 0) {
    const Int128 rest = a % b;
    a = b, b = rest;
  }
  return absolute(a);
}

bool same(const Rational& a, const Rational& b) { return a.numerator == b.numerator && a.denominator == b.denominator; }

// What is known of a value on the way, its fraction unreduced.
struct Known {
  Interval bounds;
  Int128 most_numerator = 0, most_denominator = 1;
  Int128 numerator_factor = 1, denominator_factor = 1;  // these divide it, whatever the player
};

class Proving {
 public:
  Proving(const Policy& policy, std::size_t index)
      : tables_(policy.tables),
        made_(policy.tables.worked_out[index]),
        index_(index),
        of_(fmt::format("tables/worked_out/{}", index)) {}

  void run() {
    for (const auto& step : made_.formula) take(step);
    hold(stack_.size() == 1, "{} has a formula that comes to no one value", of_);
    const auto& known = stack_.back();
    const Rational in_ticks{made_.plain_number ? compiler::ticks_per_one : 1, 1};
    const auto lowest = multiply(known.bounds.lowest, in_ticks), highest = multiply(known.bounds.highest, in_ticks);
    hold(lowest && highest && same(*lowest, made_.lowest) && same(*highest, made_.highest),
         "{} has other bounds than its formula", of_);
    hold(known.most_numerator == made_.largest_numerator && known.most_denominator == made_.largest_denominator &&
             fits_64_ == made_.fits_64,
         "{} is larger or smaller on the way than it says", of_);
    hold(std::equal(inputs_.begin(), inputs_.end(), made_.inputs.begin(), made_.inputs.end()),
         "{} rests on other details than it says", of_);
  }

 private:
  template <typename T>
  T fit(const std::optional<T>& exact) {
    hold(exact.has_value(), "{} gets too large to be kept exactly", of_);
    if constexpr (std::is_same_v<T, Int128>) fits_64_ = fits_64_ && absolute(*exact) < (Int128{1} << 60);
    return *exact;
  }
  Int128 product(Int128 a, Int128 b) { return fit(compiler::multiply(a, b)); }

  void take(const FormulaStep& step) {
    const bool pushes = step.kind == Kind::detail || step.kind == Kind::constant;
    const bool of_one = step.kind >= Kind::shrink;
    hold(stack_.size() >= (pushes ? 0u : of_one ? 1u : 2u), "{} has a formula that lacks a value", of_);
    if (step.kind == Kind::detail)
      stack_.push_back(detail(step));
    else if (step.kind == Kind::constant)
      stack_.push_back(constant(step));
    else if (step.kind == Kind::shrink)
      shrink(step);
    else if (of_one)
      round(step);
    else
      combine(step);
    hold(stack_.size() <= compiler::deepest_stack, "{} has a formula that is too long to keep at once", of_);
  }

  Known detail(const FormulaStep& step) {
    const auto asked = tables_.asked.size();
    hold(step.index < asked + index_, "{} rests on a detail that does not come before it", of_);
    Known made;
    if (step.index >= asked) {
      const auto& other = tables_.worked_out[step.index - asked];
      inputs_.insert(other.inputs.begin(), other.inputs.end());
      made.bounds = {other.lowest, other.highest};
      made.most_numerator = other.largest_numerator, made.most_denominator = other.largest_denominator;
      fits_64_ = fits_64_ && other.fits_64;
      if (other.plain_number)
        for (auto* end : {&made.bounds.lowest, &made.bounds.highest})
          *end = compiler::reduced(end->numerator, product(end->denominator, compiler::ticks_per_one));
      return made;
    }
    const auto& domain = tables_.asked[step.index];
    hold(!domain.members, "{} counts with members", of_);
    inputs_.insert(step.index);
    const auto low = as_fraction(domain, domain.lowest), high = as_fraction(domain, domain.highest);
    made.bounds = {compiler::reduced(low.numerator, low.denominator),
                   compiler::reduced(high.numerator, high.denominator)};
    made.most_numerator = std::max(std::abs(low.numerator), std::abs(high.numerator));
    made.most_denominator = made.denominator_factor = low.denominator;
    if (low.numerator != 0 && low.denominator == 1)
      made.numerator_factor = common_factor(low.numerator, as_fraction(domain, domain.grain).numerator);
    return made;
  }

  Known constant(const FormulaStep& step) {
    hold(-largest_constant < step.numerator && step.numerator < largest_constant && step.denominator > 0 &&
             step.denominator < largest_constant,
         "{} has a number out of range", of_);
    const Rational value{step.numerator, step.denominator};
    const auto size = absolute(step.numerator);
    return {{value, value}, size, step.denominator, size == 0 ? Int128{1} : size, step.denominator};
  }

  void shrink(const FormulaStep& step) {
    auto& known = stack_.back();
    hold(step.numerator > 0 && known.numerator_factor % step.numerator == 0 &&
             known.denominator_factor % step.numerator == 0,
         "{} is divided by what need not divide it", of_);
    known.most_numerator /= step.numerator, known.most_denominator /= step.numerator;
    known.numerator_factor /= step.numerator, known.denominator_factor /= step.numerator;
  }

  void round(const FormulaStep& step) {
    auto& known = stack_.back();
    hold(step.numerator > 0 && step.numerator < largest_constant && step.denominator > 0 &&
             step.denominator < largest_constant,
         "{} is rounded to no step", of_);
    // Room for the doubled numerators of rounding to the nearest.
    product(product(known.most_numerator, step.denominator), 4);
    product(product(known.most_denominator, step.numerator), 4);
    known.bounds = bounded(step, known.bounds, known.bounds);
    known.most_denominator = step.denominator;
    known.most_numerator = largest(known.bounds, step.denominator);
    known.numerator_factor = step.numerator, known.denominator_factor = step.denominator;
  }

  // The largest numerator over `denominator` for a value between the bounds.
  Int128 largest(const Interval& bounds, Int128 denominator) {
    const auto of = [&](const Rational& end) {
      return product(absolute(end.numerator), denominator) / end.denominator;
    };
    const auto low = of(bounds.lowest), high = of(bounds.highest);
    return std::max(low, high) + 1;
  }

  Interval bounded(const FormulaStep& step, const Interval& first, const Interval& second) {
    constexpr Int128 most = Int128{1} << 62;
    const auto made = compiler::bound(step, first, second);
    hold(made.has_value(), "{} divides by what could be zero, or gets too large to be kept exactly", of_);
    for (const auto* end : {&made->lowest, &made->highest})
      hold(end->denominator > 0 && absolute(end->numerator / end->denominator) < most,
           "{} gets too large to be compared", of_);
    return *made;
  }

  void combine(const FormulaStep& step) {
    const auto b = stack_.back();
    stack_.pop_back();
    const auto a = stack_.back();
    if (step.kind == Kind::whole_years)
      for (const auto* day : {&a, &b})
        for (const auto* end : {&day->bounds.lowest, &day->bounds.highest})
          hold(day->most_denominator == 1 && end->denominator == 1 &&
                   is_day(static_cast<std::int64_t>(end->numerator)) && absolute(end->numerator) <= furthest_day,
               "{} counts years between what are no days", of_);
    auto& made = stack_.back();
    made = {};
    made.bounds = bounded(step, a.bounds, b.bounds);
    const auto left = product(a.most_numerator, b.most_denominator);
    const auto right = product(b.most_numerator, a.most_denominator);
    made.most_denominator = product(a.most_denominator, b.most_denominator);
    switch (step.kind) {
      case Kind::multiply: made.most_numerator = product(a.most_numerator, b.most_numerator); break;
      case Kind::divide: made.most_numerator = left, made.most_denominator = right; break;
      case Kind::larger:
      case Kind::smaller:
        made.most_numerator = std::max(a.most_numerator, b.most_numerator);
        made.most_denominator = std::max(a.most_denominator, b.most_denominator);
        break;
      case Kind::whole_years: made.most_numerator = made.bounds.highest.numerator, made.most_denominator = 1; break;
      default: made.most_numerator = fit(compiler::add(left, right));
    }
    if (step.kind != Kind::multiply && step.kind != Kind::divide) return;
    const bool divides = step.kind == Kind::divide;
    made.numerator_factor =
        compiler::multiply(a.numerator_factor, divides ? b.denominator_factor : b.numerator_factor).value_or(1);
    made.denominator_factor =
        compiler::multiply(a.denominator_factor, divides ? b.numerator_factor : b.denominator_factor).value_or(1);
  }

  const compiler::Tables& tables_;
  const compiler::WorkedOut& made_;
  std::size_t index_;
  std::string of_;
  std::vector<Known> stack_;
  std::set<std::uint16_t> inputs_;
  bool fits_64_ = true;
};

// A chart that gives a detail: its values, and all it looks at.
void hold_chart_of(const Policy& policy, std::size_t index, const std::string& of) {
  const auto& tables = policy.tables;
  const auto& made = tables.worked_out[index];
  const auto asked = tables.asked.size();
  std::set<std::uint16_t> inputs;
  Int128 most = 0;
  for (const auto& row : tables.tables[made.chart].rows) {
    hold(compare(made.lowest, {row.low, 1}) <= 0 && compare(made.highest, {row.low, 1}) >= 0,
         "{} has other bounds than its chart", of);
    most = std::max(most, absolute(row.low));
    for (const auto& cell : row.box) {
      hold(cell.column < asked + index, "{} rests on a detail that does not come before it", of);
      tables.each_asked_under(cell.column, [&](std::uint16_t input) { inputs.insert(input); });
    }
  }
  hold(std::includes(made.inputs.begin(), made.inputs.end(), inputs.begin(), inputs.end()),
       "{} rests on other details than it says", of);
  hold(made.lowest.denominator == 1 && made.highest.denominator == 1 && made.fits_64 &&
           made.largest_numerator >= most && made.largest_numerator <= largest_ticks &&
           made.largest_denominator == (made.plain_number ? compiler::ticks_per_one : 1),
       "{} has other sizes than its chart", of);
}

// Compared with edges in ticks by multiplying out; as the checker has it.
bool comparable(const compiler::WorkedOut& made) {
  const auto ticks = [](const Rational& end) { return absolute(end.numerator / end.denominator) + 1; };
  const auto largest = std::max(ticks(made.lowest), ticks(made.highest));
  const Int128 per = made.plain_number ? compiler::ticks_per_one : 1;
  return largest < largest_ticks && compiler::multiply(made.largest_denominator, 2 * largest) &&
         compiler::multiply(made.largest_numerator, 2 * per) && compiler::multiply(made.lowest.denominator, per) &&
         compiler::multiply(made.highest.denominator, per);
}

}  // namespace

void hold_worked_out(const Policy& policy) {
  const auto& tables = policy.tables;
  std::size_t steps = 0;
  for (const auto& made : tables.worked_out) steps += made.formula.size();
  hold(steps <= most_steps, "tables/worked_out has more than {} steps", most_steps);
  for (std::size_t i = 0; i < tables.worked_out.size(); ++i) {
    const auto& made = tables.worked_out[i];
    const auto of = fmt::format("tables/worked_out/{}", i);
    hold(std::adjacent_find(made.inputs.begin(), made.inputs.end(), std::greater_equal<>()) == made.inputs.end() &&
             (made.inputs.empty() || made.inputs.back() < tables.asked.size()),
         "{}/inputs are out of order, or none of the details", of);
    for (const auto* end : {&made.lowest, &made.highest})
      hold(end->denominator > 0 && -largest_bound < end->numerator && end->numerator < largest_bound &&
               same(compiler::reduced(end->numerator, end->denominator), *end),
           "{} has bounds that are not in lowest terms", of);
    if (made.formula.empty())
      hold_chart_of(policy, i, of);
    else
      Proving(policy, i).run();
    hold(compare(made.lowest, made.highest) <= 0 && comparable(made), "{} has bounds that can't be compared", of);
    if (policy.worked_out[i].scale.kind == compiler::Scale::Kind::day)
      for (const auto* end : {&made.lowest, &made.highest})
        hold(absolute(end->numerator / end->denominator) <= furthest_day, "{} is a day past the calendar", of);
    for (const auto& cut : tables.columns[tables.asked.size() + i].cuts)
      hold(!compiler::reaches(made.lowest, cut) && compiler::reaches(made.highest, cut),
           "tables/columns/{} has an edge where its detail has none", tables.asked.size() + i);
  }
}

}  // namespace lacestay::runtime
