// Worked-out details of a loaded policy. Running a formula checks nothing (compiler/values/formula.hpp), so what the
// checker proved of it is proved here once more: that the stack holds, that no divisor is zero and that nothing
// overflows, whatever the player. How large numbers get is the checker's own reckoning
// (compiler/tables/formula_size.hpp), over the steps alone; it must come to what stands in the document to the last
// digit.
#include <algorithm>
#include <set>

#include "compiler/tables/formula_size.hpp"
#include "compiler/tables/places.hpp"
#include "runtime/seal/holding.hpp"

namespace lacestay::runtime {

using compiler::absolute;
using compiler::FormulaSize;
using compiler::FormulaSizing;
using compiler::FormulaStep;
using compiler::Int128;
using compiler::Policy;
using compiler::Rational;
using Kind = FormulaStep::Kind;

namespace {

// Searching for a player runs them over and over. A shop's have some dozens.
constexpr std::size_t most_steps = 10'000;
constexpr Int128 largest_constant = Int128{1} << 110, largest_bound = Int128{1} << 126;

bool same(const Rational& a, const Rational& b) { return a.numerator == b.numerator && a.denominator == b.denominator; }

class Proving {
 public:
  Proving(const Policy& policy, std::size_t index)
      : tables_(policy.tables),
        made_(policy.tables.worked_out[index]),
        index_(index),
        of_(fmt::format("tables/worked_out/{}", index)) {}

  void run() {
    try {
      for (const auto& step : made_.formula) take(step);
    } catch (const compiler::Oversized& trouble) {
      refuse(trouble.what);
    }
    hold(stack_.size() == 1, "{} has a formula that comes to no one value", of_);
    const auto& known = stack_.back();
    const Rational in_ticks{made_.plain_number ? compiler::ticks_per_one : 1, 1};
    const auto lowest = multiply(known.bounds.lowest, in_ticks), highest = multiply(known.bounds.highest, in_ticks);
    hold(lowest && highest && same(*lowest, made_.lowest) && same(*highest, made_.highest),
         "{} has other bounds than its formula", of_);
    hold(known.most_numerator == made_.largest_numerator && known.most_denominator == made_.largest_denominator &&
             sizing_.fits_64() == made_.fits_64,
         "{} is larger or smaller on the way than it says", of_);
    hold(std::equal(inputs_.begin(), inputs_.end(), made_.inputs.begin(), made_.inputs.end()),
         "{} rests on other details than it says", of_);
  }

 private:
  [[noreturn]] void refuse(compiler::Oversized::What what) const {
    using What = compiler::Oversized::What;
    throw SealedFault{of_ + (what == What::number ? " gets too large to be kept exactly"
                             : what == What::bounds
                                 ? " divides by what could be zero, or gets too large to be kept exactly"
                                 : " gets too large to be compared")};
  }

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

  FormulaSize detail(const FormulaStep& step) {
    const auto asked = tables_.asked.size();
    hold(step.index < asked + index_, "{} rests on a detail that does not come before it", of_);
    if (step.index >= asked) {
      const auto& other = tables_.worked_out[step.index - asked];
      inputs_.insert(other.inputs.begin(), other.inputs.end());
      return sizing_.worked_out(other);
    }
    const auto& domain = tables_.asked[step.index];
    hold(!domain.members, "{} counts with members", of_);
    inputs_.insert(step.index);
    return FormulaSizing::asked(domain);
  }

  FormulaSize constant(const FormulaStep& step) {
    hold(-largest_constant < step.numerator && step.numerator < largest_constant && step.denominator > 0 &&
             step.denominator < largest_constant,
         "{} has a number out of range", of_);
    return FormulaSizing::constant(step.numerator, step.denominator);
  }

  void shrink(const FormulaStep& step) {
    auto& known = stack_.back();
    hold(step.numerator > 0 && known.numerator_factor % step.numerator == 0 &&
             known.denominator_factor % step.numerator == 0,
         "{} is divided by what need not divide it", of_);
    FormulaSizing::shrink(known, step.numerator);
  }

  void round(const FormulaStep& step) {
    auto& known = stack_.back();
    hold(step.numerator > 0 && step.numerator < largest_constant && step.denominator > 0 &&
             step.denominator < largest_constant,
         "{} is rounded to no step", of_);
    known = sizing_.rounded(step, known);
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
    stack_.back() = sizing_.combined(step, a, b);
  }

  const compiler::Tables& tables_;
  const compiler::WorkedOut& made_;
  std::size_t index_;
  std::string of_;
  std::vector<FormulaSize> stack_;
  std::set<std::uint16_t> inputs_;
  FormulaSizing sizing_;
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

// Bounds in ticks, and those products of them that comparing with an edge takes, fit.
bool bounds_comparable(const compiler::WorkedOut& made) {
  const Int128 per = made.plain_number ? compiler::ticks_per_one : 1;
  return comparable(made) && compiler::multiply(made.lowest.denominator, per) &&
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
    hold(compare(made.lowest, made.highest) <= 0 && bounds_comparable(made), "{} has bounds that can't be compared",
         of);
    if (policy.worked_out[i].scale.kind == compiler::Scale::Kind::day)
      for (const auto* end : {&made.lowest, &made.highest})
        hold(absolute(end->numerator / end->denominator) <= furthest_day, "{} is a day past the calendar", of);
    for (const auto& cut : tables.columns[tables.asked.size() + i].cuts)
      hold(!compiler::reaches(made.lowest, cut) && compiler::reaches(made.highest, cut),
           "tables/columns/{} has an edge where its detail has none", tables.asked.size() + i);
  }
}

}  // namespace lacestay::runtime
