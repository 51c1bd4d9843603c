#include "tests/reference/kinds.hpp"

#include "grammar/tree/units.hpp"

namespace lacestay::naive {

using grammar::Expression;

namespace {

Kind as_written(const grammar::Quantity& quantity) {
  Kind kind{dimension_of(quantity), {}};
  for (const auto& part : quantity.parts)
    if (!part.bare()) kind.units.insert(unit_word(part));
  return kind;
}

// A share is a plain number once it is reckoned with.
Kind reckoned_with(Kind kind) {
  if (kind.dimension == Dimension::number) kind.units.clear();
  return kind;
}

Kind kind_of(const Policy& policy, const Expression& expression) {
  const auto operand = [&](std::size_t i) { return kind_of(policy, expression.operands[i]); };
  switch (expression.kind) {
    case Expression::Kind::quantity: return reckoned_with(as_written(expression.quantity));
    case Expression::Kind::name: return reckoned_with(kind_of(policy, policy.detail_of.at(&expression.name)));
    case Expression::Kind::multiply: return operand(0).dimension == Dimension::number ? operand(1) : operand(0);
    case Expression::Kind::divide: return operand(1).dimension == Dimension::number ? operand(0) : Kind{};
    case Expression::Kind::whole_years: return {Dimension::age, {std::string(grammar::spelling(grammar::Unit::year))}};
    case Expression::Kind::round_up:
    case Expression::Kind::round_down:
    case Expression::Kind::round_nearest:
      return operand(0).dimension == Dimension::number ? operand(0) : as_written(expression.quantity);
    default: return operand(0);
  }
}

}  // namespace

std::string unit_word(const grammar::Amount& amount) {
  return amount.unit ? std::string(grammar::spelling(*amount.unit)) : amount.currency;
}

Kind kind_of(const Policy& policy, std::size_t detail) {
  const auto& known = policy.details[detail];
  if (known.formula) {
    auto kind = kind_of(policy, *known.formula);
    // A plain number that is compared with shares alone is one.
    bool compared = false, shares = true;
    for (const auto& edge : policy.edges)
      if (edge.detail == detail) compared = true, shares = shares && edge.units == std::set<std::string>{"%"};
    if (kind.dimension == Dimension::number && compared && shares) kind.units = {"%"};
    return kind;
  }
  if (known.chart)
    return as_written(std::get<grammar::Quantity>(std::get<grammar::Value>(known.chart->rows.front().cells.front())));
  auto kind = as_written(std::get<grammar::Quantity>(known.ask->domain.interval->to));
  const auto& shown_in = known.ask->domain.shown_in;
  if (!shown_in.empty()) kind.units.clear();
  for (const auto& word : shown_in) kind.units.insert(word.text);
  return kind;
}

}  // namespace lacestay::naive
