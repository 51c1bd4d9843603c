// Worked-out details: formulas checked for dimension, for a divisor that could be zero and for overflow, over the
// whole domain of their inputs; and charts that give a detail. Each is settled after those it rests on.
#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "compiler/check/charts.hpp"
#include "compiler/check/formula_checker.hpp"
#include "compiler/check/names.hpp"

namespace lacestay::compiler {

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
    made.largest_numerator = known.size.most_numerator;
    made.largest_denominator = known.size.most_denominator;
    made.fits_64 = checker.fits_64();
    const auto lowest = multiply(known.size.bounds.lowest, in_ticks),
               highest = multiply(known.size.bounds.highest, in_ticks);
    if (lowest && highest) made.lowest = *lowest, made.highest = *highest;
    if (!lowest || !highest || !comparable(made)) {
      diagnostics.add("formula-3", form.formula.span, too_large, round_each_part);
      return;
    }
    text.scale.kind = known.dimension == Dimension::day ? Scale::Kind::day : Scale::Kind::amount;
    text.scale.dimension = known.dimension;
    text.scale.money_digits = grammar::currency_digits(policy.currency).value_or(2);
    text.scale.shown = known.shown;
    // Ages shown in months want their unit: bare, they would be read as years.
    if (known.shown.back().unit == grammar::Unit::year) text.scale.bare_unit = grammar::Unit::year;
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

// The scale of what a chart works out: that of the detail it is graded as, or what its first cell measures.
std::optional<Scale> Checker::scale_given(const grammar::Chart& chart) {
  const auto name = chart.gives.joined();
  if (chart.graded_as) {
    const auto column = column_named(*chart.graded_as);
    if (!column) return std::nullopt;
    const auto& scale = policy.scale_of(*column);
    if (scale.has_members()) return scale;
    diagnostics.add("charts-9", chart.graded_as->span,
                    fmt::format("{} is {}, and has no grades to give.", policy.name_of(*column),
                                scale.kind == Scale::Kind::day ? "a day" : "a number"),
                    "name a detail that is asked as grades or a choice; or, where the chart gives amounts, leave "
                    "graded as out");
    return std::nullopt;
  }
  Scale scale;
  scale.money_digits = grammar::currency_digits(policy.currency).value_or(2);
  if (chart.rows.empty()) return scale;
  const auto& first = chart.rows.front().cells.front();
  const auto* value = std::get_if<grammar::Value>(&first);
  if (const auto* quantity = value ? std::get_if<grammar::Quantity>(value) : nullptr) {
    scale.dimension = dimension_of(*quantity);
    scale.shown = units_of(*quantity);
    return scale;
  }
  // Whose members the cells are, where they are some detail's.
  std::vector<std::string> graded;
  if (const auto* phrase = value ? std::get_if<grammar::Phrase>(value) : nullptr)
    for (const auto& detail : policy.details)
      if (std::count(detail.scale.members.begin(), detail.scale.members.end(), phrase->joined()) != 0)
        graded.push_back(fmt::format("gives {} graded as {}", name, detail.name));
  diagnostics.add("answers-1", span_of(first),
                  fmt::format("No piece is called '{}', so the chart works it out as a detail, and its cells are "
                              "quantities.",
                              name),
                  graded.empty()
                      ? "write a number with its unit in each cell; or, after gives, name a piece and its property"
                      : fmt::format("if it works out one of a detail's own, say whose: {}; or, after gives, name a "
                                    "piece and its property",
                                    listed(graded, "or")));
  return std::nullopt;
}

void Checker::check_detail_chart(const grammar::Chart& chart, const grammar::Item& item, std::size_t file) {
  WorkedOut made;
  WorkedOutText text;
  text.name = chart.gives.joined();
  text.span = item.head;
  DraftRule rule;
  rule.id = new_rule(chart.name, RuleText::Kind::chart, chart.clauses, file, item.head);
  rule.effect = policy.rules[rule.id].effect = Effect::value;
  auto scale = scale_given(chart);
  if (!scale) return;
  text.scale = std::move(*scale);
  if (!chart.clauses.when.empty() || !chart.clauses.outranks.empty()) {
    diagnostics.add("charts-8",
                    chart.clauses.when.empty() ? chart.clauses.outranks.front().span : chart.clauses.when.front().span,
                    "A chart that works out a detail must answer every player, and answers alone.",
                    chart.clauses.when.empty() ? "leave the outranks out"
                                               : "leave the for out, and give the chart rows for the other players");
    return;
  }
  const auto read = [&](const grammar::Cell& cell) -> std::optional<std::pair<std::int64_t, std::int64_t>> {
    const auto* value = std::get_if<grammar::Value>(&cell);
    const bool members = text.scale.has_members();
    const auto* phrase = value && members ? std::get_if<grammar::Phrase>(value) : nullptr;
    if (!value || (members && !phrase)) {
      diagnostics.add("answers-1", span_of(cell),
                      members ? fmt::format("One of {} is due here.", some_of(text.scale.members))
                              : "One quantity is due here, not two ends.",
                      members ? fmt::format("write one of them, as in: {}", text.scale.members.front())
                              : "write one number with its unit");
      return std::nullopt;
    }
    const auto given =
        phrase ? std::optional<std::int64_t>(member(*phrase, text.scale, text.name)) : amount(*value, text.scale);
    return given ? std::optional(std::pair(*given, *given)) : std::nullopt;
  };
  auto rows = chart_rows(chart, policy.rules[rule.id], read);
  if (!rows) return;
  rule.rows = std::move(*rows);
  std::set<std::uint16_t> inputs;
  std::int64_t low = rule.rows.front().low, high = low;
  for (const auto& row : rule.rows) {
    low = std::min(low, row.low), high = std::max(high, row.high);
    for (const auto& test : row.tests)
      policy.tables.each_asked_under(test.column, [&](std::uint16_t detail) { inputs.insert(detail); });
  }
  made.inputs.assign(inputs.begin(), inputs.end());
  made.plain_number = !text.scale.has_members() && text.scale.dimension == Dimension::number;
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
    if (targets.count(chart.gives.joined()) != 0 || grouped(chart.gives) ||
        pieces.count(chart.gives.words.front().text) != 0)
      return;
    if (chart.gives.words.size() != 1 || files[file].pack) return;
    Written written{chart.gives.joined(), chart.gives.span, nullptr, &chart, &item, file, {}};
    if (chart.across) written.rests_on.push_back(chart.across->detail.joined());
    if (chart.down) written.rests_on.push_back(chart.down->joined());
    if (chart.graded_as) written.rests_on.push_back(chart.graded_as->joined());
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
