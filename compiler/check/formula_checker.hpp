// One formula, checked for dimension, for a divisor that could be zero and for overflow over the whole domain of its
// inputs, and written out as steps. Inner to compiler/; only formulas.cc includes it.
#pragma once

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "compiler/check/checker.hpp"
#include "compiler/check/names.hpp"
#include "compiler/tables/formula_size.hpp"
#include "compiler/values/days.hpp"

namespace lacestay::compiler {

using grammar::Expression;

// What is known of a value on the way: its dimension, the units it is shown in, its exact bounds, and how large its
// fraction can become.
struct Known {
  Dimension dimension = Dimension::number;
  FormulaSize size;
  std::vector<ShownUnit> shown = {ShownUnit{}};
};

inline constexpr const char* too_large = "For some players this number gets too large to be kept exactly.";
inline constexpr const char* round_each_part =
    "multiply by less, or round each part first, as in: (weight / 1 kg rounded to the nearest 1)";

// Checks one formula and writes its steps. Throws Wrong once something has been said.
class FormulaChecker {
  using Kind = FormulaStep::Kind;

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
  [[nodiscard]] bool fits_64() const { return sizing_.fits_64(); }

  std::set<std::uint16_t> inputs;

 private:
  [[noreturn]] void refuse(const Expression& at, const char* code, std::string message, std::string hint) {
    checker_.diagnostics.add(code, at.span, std::move(message), std::move(hint));
    throw Wrong{};
  }

  // What `of` comes to; where it gets too large, that is said.
  template <typename Of>
  FormulaSize sized(const Expression& at, Of of) {
    try {
      return of();
    } catch (const Oversized&) {
      refuse(at, "formula-3", too_large, round_each_part);
    }
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
        const Int128 day = day_number(at.date);
        push({Kind::constant, 0, day, 1});
        return {Dimension::day, FormulaSizing::constant(day, 1)};
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
    const auto dimension = dimension_of(at.quantity);
    Rational value;
    if (dimension == Dimension::number) {
      value = reduced(part.numerator, Int128{part.denominator} * (part.bare() ? 1 : 100));
    } else {
      const auto ticks = checker_.ticks(at.quantity, {dimension, checker_.policy.currency, std::nullopt});
      if (!ticks) throw Wrong{};
      value = {*ticks, 1};
    }
    push({Kind::constant, 0, value.numerator, value.denominator});
    Known made{dimension, FormulaSizing::constant(value.numerator, value.denominator)};
    if (dimension != Dimension::number) made.shown = units_of(at.quantity);
    return made;
  }

  Known detail(const Expression& at) {
    const auto column = checker_.column_named(at.name);
    if (!column) throw Wrong{};
    const auto& tables = checker_.policy.tables;
    const auto& known = tables.columns[*column];
    const auto& scale = checker_.policy.scale_of(*column);
    if (scale.has_members())
      refuse(
          at, "formula-1",
          fmt::format("{} is one of {}; a formula needs a number.", at.name.joined(), some_of(scale.members)),
          fmt::format("give each of them a number in a chart, and use that; or, if one of them is to come out, work it "
                      "out in a chart that is graded as {}",
                      at.name.joined()));
    Known made;
    made.dimension = scale.dimension;
    if (known.worked_out) {
      const auto& other = tables.worked_out[known.detail];
      inputs.insert(other.inputs.begin(), other.inputs.end());
      made.size = sized(at, [&] { return sizing_.worked_out(other); });
    } else {
      inputs.insert(known.detail);
      made.size = FormulaSizing::asked(tables.asked[known.detail]);
    }
    if (made.dimension != Dimension::number) made.shown = scale.shown;
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
    const FormulaStep rounding{kind, 0, unit.numerator, unit.denominator};
    made_.formula.push_back(rounding);
    inner.size = sized(at, [&] { return sizing_.rounded(rounding, inner.size); });
    // It comes out even in the unit it is rounded to; a share is a plain number once it is reckoned with.
    if (inner.dimension != Dimension::number)
      inner.shown = units_of(at.quantity);
    else if (at.quantity.parts.front().bare())
      inner.shown.back().note(at.quantity.parts.front());
    return inner;
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

  // The rougher of two leagues: which that is of each two, a chart says.
  void refuse_larger_of_grades(const Expression& at) {
    if (at.kind != Expression::Kind::larger && at.kind != Expression::Kind::smaller) return;
    for (const auto& operand : at.operands) {
      const auto known = operand.kind == Expression::Kind::name ? checker_.columns.find(operand.name.joined())
                                                                : checker_.columns.end();
      if (known == checker_.columns.end() || known->second == told_column ||
          !checker_.policy.scale_of(known->second).has_members())
        continue;
      refuse(at, "formula-1",
             fmt::format("The larger and the smaller of two are of numbers; {} is one of {}.", operand.name.joined(),
                         some_of(checker_.policy.scale_of(known->second).members)),
             fmt::format("say which of the two it is in a chart, with the one down and the other across, as in: chart "
                         "rougher_chart gives rougher graded as {}",
                         operand.name.joined()));
    }
  }

  Known both(const Expression& at) {
    refuse_larger_of_grades(at);
    const auto a = value_of(at.operands[0]);
    const auto b = value_of(at.operands[1]);
    Known made;
    made.dimension = result_dimension(at, a, b);
    made.shown = shown_of(made.dimension, a, b);
    const bool through_zero = b.size.bounds.lowest.numerator <= 0 && b.size.bounds.highest.numerator >= 0;
    if (at.kind == Expression::Kind::divide && through_zero && at.operands[1].kind == Expression::Kind::quantity)
      refuse(at.operands[1], "formula-2", "Nothing can be divided by zero.", "divide by something else");
    if (at.kind == Expression::Kind::divide && through_zero)
      refuse(at.operands[1], "formula-2", "For some players this could be zero, and nothing can be divided by zero.",
             "divide by something that never reaches zero, such as the larger of it and a small amount");
    fold(step_kind(at.kind));
    made.size = sized(at, [&] { return sizing_.combined(made_.formula.back(), a.size, b.size); });
    shrink(made.size);
    return made;
  }

  // Units bring in large factors, such as the nanometres in a metre, which often stand above and below.
  void shrink(FormulaSize& size) {
    const auto kind = made_.formula.back().kind;
    if (kind != Kind::multiply && kind != Kind::divide) return;
    const auto factor = FormulaSizing::shared_factor(size);
    if (factor <= 1) return;
    made_.formula.push_back({Kind::shrink, 0, factor});
    FormulaSizing::shrink(size, factor);
  }

  // A number times a unit is that unit, and a sum is shown as what it begins with.
  static std::vector<ShownUnit> shown_of(Dimension dimension, const Known& a, const Known& b) {
    if (a.dimension == dimension) return a.shown;
    if (b.dimension == dimension) return b.shown;
    return {dimension == Dimension::age ? ShownUnit{grammar::Unit::year, ""} : ShownUnit{}};
  }

  // `3/16 in`, which elsewhere is a length.
  static bool is_written_part(const Expression& at) {
    const auto is_quantity = [](const Expression& one) { return one.kind == Expression::Kind::quantity; };
    return is_quantity(at.operands[0]) && is_quantity(at.operands[1]) && at.operands[0].quantity.parts.front().bare() &&
           at.operands[1].quantity.parts.size() == 1 && at.operands[1].quantity.parts.front().unit;
  }
  static std::string part_of_unit(const Expression& at) {
    const auto& below = at.operands[1].quantity;
    return fmt::format("here / divides: write {} / {} * 1 {}, if that part is meant", at.operands[0].span.text(),
                       decimal(below.parts.front().numerator, below.parts.front().denominator, 16).value_or("…"),
                       grammar::spelling(*below.parts.front().unit, true));
  }

  // `a + 1%` as it may have been meant: of a, or an amount.
  static std::string mended_share(const Expression& at, const grammar::Amount& share, const Expression& of,
                                  const Known& known) {
    constexpr int most_digits = 16;
    const bool less = at.kind == Expression::Kind::subtract;
    const std::string text(of.span.text());
    const bool single = of.kind == Expression::Kind::name || of.kind == Expression::Kind::quantity;
    const auto left = 100 * share.denominator + (less ? -share.numerator : share.numerator);
    const auto percent = left > 0 ? decimal(left, share.denominator, most_digits) : std::nullopt;
    const auto number = decimal(share.numerator, share.denominator, most_digits);
    const auto& unit = known.shown.back();
    if (!percent || !number || (!unit.unit && unit.currency.empty()))
      return "write it as in: foot_length * 101%, or foot_length + 1 mm";
    const auto operand = single ? text : "(" + text + ")";
    const auto in_unit = unit.unit ? std::string(grammar::spelling(*unit.unit, *number == "1")) : unit.currency;
    return fmt::format("write {} * {}%, if it is a share of {}; or {} {} {} {}, if {} was meant", operand, *percent,
                       text, operand, less ? "-" : "+", *number, in_unit, a_dimension(known.dimension));
  }

  Dimension result_dimension(const Expression& at, const Known& a, const Known& b) {
    const auto number = Dimension::number;
    const auto is_day = [](const Known& known) { return known.dimension == Dimension::day; };
    // `a + 1%`: a share of what? Of the other side, most likely; but it may have been meant for an amount.
    const auto lone_share = [&](std::size_t side, std::size_t other) {
      const auto& share = at.operands[side];
      const bool is_share = share.kind == Expression::Kind::quantity && share.quantity.parts.size() == 1 &&
                            share.quantity.parts.front().unit == grammar::Unit::percent;
      if (is_share)
        refuse(share, "formula-1", fmt::format("'{}' is a share: of what?", share.span.text()),
               mended_share(at, share.quantity.parts.front(), at.operands[other], other == 0 ? a : b));
    };
    const auto unlike = [&] {
      const std::string first = a_dimension(a.dimension), second = a_dimension(b.dimension);
      if (at.kind == Expression::Kind::add || at.kind == Expression::Kind::subtract) lone_share(1, 0);
      if (at.kind == Expression::Kind::add) lone_share(0, 1);
      if (at.kind == Expression::Kind::multiply)
        refuse(at, "formula-1",
               fmt::format("This multiplies {} by {}; one of the two must be a plain number.", first, second),
               "make a plain number of one of them, as in: weight / 1 lb");
      if (at.kind == Expression::Kind::divide)
        refuse(at, "formula-1", fmt::format("This divides {} by {}, which are not of one kind.", first, second),
               is_written_part(at) ? part_of_unit(at)
                                   : "make plain numbers of both, as in: (weight / 1 lb) / (height / 1 in)");
      const auto does = at.kind == Expression::Kind::add        ? "adds"
                        : at.kind == Expression::Kind::subtract ? "subtracts"
                                                                : "compares";
      // A plain number that has a name: what it is of is for its owner to say.
      if (at.kind == Expression::Kind::add && (a.dimension == number || b.dimension == number)) {
        const auto& count = at.operands[a.dimension == number ? 0 : 1];
        const auto& of = at.operands[a.dimension == number ? 1 : 0];
        const auto& unit = (a.dimension == number ? b : a).shown.back();
        const auto text = of.span.text();
        if (count.kind == Expression::Kind::name && (unit.unit || !unit.currency.empty()) &&
            (of.kind == Expression::Kind::name || of.kind == Expression::Kind::quantity))
          refuse(at, "formula-1",
                 fmt::format("{} is a plain number, and {} is {}: the two are not added.", count.span.text(), text,
                             a.dimension == number ? second : first),
                 fmt::format("write {0} + {0} * {1}, if {1} is a share taken on top of {0}; or {0} * {1}, if it is a "
                             "share of {0}; or {0} + {1} * 1 {2}, if it counts {2}",
                             text, count.span.text(),
                             unit.unit ? std::string(grammar::spelling(*unit.unit)) : unit.currency));
      }
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
      const auto from = at.operands[0].span.text(), to = at.operands[1].span.text();
      if (compare(b.size.bounds.highest, a.size.bounds.lowest) <= 0)
        refuse(at, "formula-1", fmt::format("These whole years run backwards: {} is never after {}.", to, from),
               fmt::format("turn the two round: whole years from {} to {}", to, from));
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
  FormulaSizing sizing_;
};

}  // namespace lacestay::compiler
