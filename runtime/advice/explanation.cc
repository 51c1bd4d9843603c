#include "runtime/advice/explanation.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "grammar/text/csv.hpp"
#include "runtime/advice/words.hpp"

namespace lacestay::runtime {

using compiler::Cell;
using compiler::ColumnId;
using compiler::Effect;
using compiler::Int128;
using compiler::Rational;
using compiler::Role;
using compiler::Row;
using compiler::Table;

Explanation::Explanation(const Engine& engine, const Player& player)
    : engine_(engine), policy_(engine.policy()), player_(player), complete_(player.complete()), reach_(policy_.tables) {
  for (std::size_t i = 0; i < player.readings.size(); ++i)
    readings_.push_back(player.readings[i].value_or(policy_.tables.asked[i].lowest));
  const auto places = reach_.at(readings_);
  places_.assign(places.begin(), places.end());
}

// How well a detail is measured, where it is: as the policy says, or to one part in a hundred.
std::optional<std::int64_t> Explanation::precision_of(std::size_t detail) const {
  const auto& text = policy_.details[detail];
  const bool measured =
      text.scale.dimension == compiler::Dimension::length || text.scale.dimension == compiler::Dimension::weight;
  if (text.scale.kind != compiler::Scale::Kind::amount || text.may_change) return std::nullopt;
  if (text.precision) return text.precision;
  return measured ? std::optional(readings_[detail] / 100) : std::nullopt;
}

WhatIf Explanation::with(std::size_t detail, std::int64_t value, const Outcome& outcome) const {
  const auto& text = policy_.details[detail];
  auto other = player_;
  other.readings[detail] = value;
  const auto shown = text.scale.write(value);
  const auto told = told_in_another_system(policy_, other, detail)
                        ? fmt::format("{} ({})", shown, as_told(policy_, other, detail))
                        : shown;
  return {text.name, shown, outcome, told};
}

// Whether the answer would differ within the precision of the measurement: then it should be measured again. (Never
// suggested as something to change: a shop tells nobody to lose weight.)
std::vector<WhatIf> Explanation::slips(TableId table, const Outcome& now) {
  const auto& form = policy_.tables.tables[table];
  const auto looked_at = policy_.tables.asked_under(form);
  std::vector<WhatIf> found;
  auto scratch = engine_.scratch();
  for (std::size_t i = 0; i < policy_.details.size(); ++i) {
    const auto precision = precision_of(i);
    if (!precision || !looked_at[i]) continue;
    const auto& domain = policy_.tables.asked[i];
    for (const auto slip : {-*precision, *precision}) {
      auto readings = readings_;
      readings[i] = std::clamp(readings[i] + slip / domain.grain * domain.grain, domain.lowest, domain.highest);
      engine_.place(readings, scratch);
      const auto& outcome = engine_.outcome(table, scratch);
      if (outcome == now || !engine_.can_be(scratch)) continue;
      found.push_back(with(i, readings[i], outcome));
    }
  }
  return found;
}

Rational Explanation::ticks_of(ColumnId column) const {
  const auto& known = policy_.tables.columns[column];
  if (!known.worked_out) return {readings_[known.detail], 1};
  const auto& value = reach_.value(column).lowest;
  const Int128 in_one = policy_.tables.worked_out[known.detail].plain_number ? compiler::ticks_per_one : 1;
  return {value.numerator * in_one, value.denominator};
}

// In the units of the scale, or in a finer one where it would read as nothing there.
std::string Explanation::distance(const compiler::Scale& scale, const Rational& away) const {
  const auto in_its_own = scale.write(away);
  // Entries of older forms were recorded with what it reads as there.
  if (away.numerator == 0 || in_its_own != scale.write(Rational{}) || policy_.was_sealed_before(4)) return in_its_own;
  const auto finest = scale.dimension == compiler::Dimension::weight ? grammar::Unit::gram : grammar::Unit::millimetre;
  const bool measured =
      scale.dimension == compiler::Dimension::weight || scale.dimension == compiler::Dimension::length;
  for (const auto& unit : {scale.shown.back(), compiler::ShownUnit{finest, ""}}) {
    const auto text = compiler::show(away, scale.dimension, {unit}, scale.money_digits);
    if (measured && text != compiler::show(Rational{}, scale.dimension, {unit}, scale.money_digits)) return text;
  }
  return "next to nothing";
}

// The nearer of the two edges of the row's own condition on this detail. Another rule's edge may be nearer, but the
// edge shown must be one that the reader finds in the rule shown beside it.
void Explanation::nearest_edge(const Cell& cell, LookedAt& looked) const {
  const auto column = cell.column;
  const auto& known = policy_.tables.columns[column];
  const auto& scale = policy_.scale_of(column);
  if (scale.has_members() || known.cuts.empty()) return;
  // A rounded detail sits on edges by its nature; how near it is to one says nothing.
  if (known.worked_out && policy_.tables.worked_out[known.detail].rounded()) return;
  const auto ticks = ticks_of(column);
  std::optional<Rational> nearest;
  bool above = false;
  std::int64_t edge = 0;
  const auto consider = [&](std::uint32_t cut) {
    const auto at = policy_.edge_as_meant(column, known.cuts[cut]).at;
    const bool reached = places_[column].first > cut;
    const auto distance = reached ? compiler::subtract(ticks, {at, 1}) : compiler::subtract({at, 1}, ticks);
    if (!distance) return;  // past 128 bits: so far off that it is near nothing
    if (!nearest || compiler::compare(*distance, *nearest) < 0) nearest = distance, above = reached, edge = at;
  };
  for (const auto& range : cell.places) {
    if (range.first > 0) consider(range.first - 1);
    if (range.last + 1 < known.places) consider(range.last);
  }
  if (!nearest) return;
  const auto edge_text = scale.write_edge(edge);
  const bool day = scale.kind == compiler::Scale::Kind::day;
  const auto days = static_cast<std::int64_t>(nearest->numerator);  // they are whole
  const auto away = day ? fmt::format("{} {}", days, days == 1 ? "day" : "days") : distance(scale, *nearest);
  looked.edge = nearest->numerator == 0 ? fmt::format("just at the edge of {}", edge_text)
                : day                   ? fmt::format("{} {} {}", away, above ? "after" : "before", edge_text)
                      : fmt::format("{} {} the edge of {}", away, above ? "over" : "under", edge_text);
}

LookedAt Explanation::looked_at(ColumnId column, const Cell* cell) const {
  bool is_known = true;
  policy_.tables.each_asked_under(column, [&](auto input) { is_known &= player_.readings[input].has_value(); });
  LookedAt looked;
  looked.detail = policy_.name_of(column);
  looked.known = is_known;
  looked.value = is_known ? policy_.scale_of(column).write(ticks_of(column)) : "not known";
  const auto& known = policy_.tables.columns[column];
  looked.told = is_known && !known.worked_out ? as_told(policy_, player_, known.detail) : looked.value;
  if (is_known && cell) nearest_edge(*cell, looked);
  return looked;
}

std::vector<LookedAt> Explanation::looked_at(const Row& row) const {
  std::vector<LookedAt> all;
  for (const auto& cell : row.box) all.push_back(looked_at(cell.column, &cell));
  return all;
}

// Adds how the column was worked out, if it was and is known, and after it what it rests on.
void Explanation::derive(ColumnId column, std::vector<Derivation>& derived) const {
  const auto& known = policy_.tables.columns[column];
  if (!known.worked_out) return;
  const auto looked = looked_at(column, nullptr);
  const auto same = [&](const Derivation& other) { return other.detail == looked.detail; };
  if (!looked.known || std::any_of(derived.begin(), derived.end(), same)) return;
  const auto& form = policy_.tables.worked_out[known.detail];
  Derivation made;
  made.detail = looked.detail;
  made.value = looked.value;
  std::vector<ColumnId> rests_on;
  auto span = policy_.worked_out[known.detail].span;
  if (form.formula.empty()) {
    const auto& table = policy_.tables.tables[form.chart];
    const auto speaks_here = [&](const Row& row) {
      return std::all_of(row.box.begin(), row.box.end(),
                         [&](const Cell& cell) { return compiler::contains(cell.places, places_[cell.column].first); });
    };
    const auto& row = *std::find_if(table.rows.begin(), table.rows.end(), speaks_here);  // it answers every player
    const auto& rule = policy_.rules[row.rule];
    made.chart = rule.name;
    made.because = rule.because;
    made.source = rule.source;
    made.looked_at = looked_at(row);
    if (row.entry < rule.entries.size()) span = rule.entries[row.entry];
    for (const auto& cell : row.box) rests_on.push_back(cell.column);
  } else {
    for (const auto& step : form.formula) {
      if (step.kind != compiler::FormulaStep::Kind::detail) continue;
      const auto input = static_cast<ColumnId>(step.index);
      if (std::find(rests_on.begin(), rests_on.end(), input) != rests_on.end()) continue;
      rests_on.push_back(input);
      made.looked_at.push_back(looked_at(input, nullptr));
    }
  }
  made.file = span.source->name();
  made.line = span.source->place(span.begin).line;
  if (span.source->is_sheet()) made.column = grammar::column_letters(span);
  derived.push_back(std::move(made));
  for (const auto input : rests_on) derive(input, derived);
}

Part Explanation::part_of(const Table& table, const Role& role, const Row* upper_end) const {
  const auto& row = table.rows[role.row];
  const auto& rule = policy_.rules[row.rule];
  Part part;
  part.role = role.kind;
  part.rule = rule.name;
  part.says = upper_end ? policy_.properties[table.target].write(row.low, upper_end->high)
                        : says_in_answer(policy_, table, row);
  part.because = rule.because;
  part.source = rule.source;
  part.safety = rule.safety;
  if (role.kind == Role::Kind::silenced || role.kind == Role::Kind::overruled) {
    part.by = policy_.rules[role.by].name;
    part.does = role.kind == Role::Kind::silenced ? "outranks it" : does_to_other(policy_.rules[role.by].effect);
  }
  const auto& span = row.entry < rule.entries.size() ? rule.entries[row.entry] : rule.span;
  part.file = span.source->name();
  part.line = span.source->place(span.begin).line;
  if (span.source->is_sheet()) part.column = grammar::column_letters(span);
  for (const auto& cell : row.box) {
    // Each end's own row has the edges of its amount.
    const bool of_upper = upper_end && cell.column == rule.sized_to;
    const auto* places = of_upper ? compiler::places_in(upper_end->box, cell.column) : &cell.places;
    const Cell own{cell.column, places ? *places : cell.places};
    part.looked_at.push_back(looked_at(cell.column, &own));
    derive(cell.column, part.derived);
  }
  part.row = role.row;
  return part;
}

// Among details that may change: members by their distance, numbers by the edges they would cross.
std::optional<WhatIf> Explanation::smallest_change(TableId table, const Outcome& now) {
  std::optional<WhatIf> best;
  std::int64_t best_steps = 0;
  auto scratch = engine_.scratch();
  for (std::size_t i = 0; i < policy_.details.size(); ++i) {
    const auto& text = policy_.details[i];
    if (!text.may_change || !player_.readings[i]) continue;
    const auto& domain = policy_.tables.asked[i];
    const auto held = readings_[i];
    std::vector<std::pair<std::int64_t, std::int64_t>> candidates;  // steps away, value
    if (domain.members) {
      const bool ordered = text.scale.kind == compiler::Scale::Kind::grades;
      for (auto value = domain.lowest; value <= domain.highest; ++value)
        if (value != held) candidates.emplace_back(ordered ? std::abs(value - held) : 1, value);
    } else {
      const auto& cuts = policy_.tables.columns[i].cuts;
      for (std::size_t k = 0; k < cuts.size(); ++k) {
        const auto place = static_cast<std::int64_t>(places_[i].first), cut = static_cast<std::int64_t>(k);
        if (cut >= place)
          candidates.emplace_back(cut - place + 1, cuts[k].at);
        else
          candidates.emplace_back(place - cut, cuts[k].at - domain.grain);
      }
    }
    std::sort(candidates.begin(), candidates.end());
    auto readings = readings_;
    for (const auto& [steps, value] : candidates) {
      if (best && steps >= best_steps) break;
      readings[i] = value;
      engine_.place(readings, scratch);
      const auto& outcome = engine_.outcome(table, scratch);
      if (outcome == now || !engine_.can_be(scratch)) continue;
      best = with(i, value, outcome);
      best_steps = steps;
      break;
    }
  }
  return best;
}

Answer Explanation::answer(TableId table) { return answer(table, possible_answers(engine_, table, player_)); }

Answer Explanation::answer(TableId table, const Possible& possible) {
  const auto& form = policy_.tables.tables[table];
  Answer answer;
  answer.table = table;
  answer.exact = possible.exact;
  answer.certain = different_outcomes(engine_, table, possible.classes) == 1;
  std::vector<Row> rows;  // that the parts are of
  for (const auto found : possible.classes) {
    std::vector<Role> roles;
    const auto outcome = decide(policy_.tables, form, engine_.rows(table, found), &roles);
    const bool fresh = std::find(answer.possible.begin(), answer.possible.end(), outcome) == answer.possible.end();
    if (fresh) answer.possible.push_back(outcome);
    // With several answers open, each is shown with what would decide it; the rest of its story comes once it is known.
    const bool several = possible.classes.size() > 1;
    for (const auto& role : roles) {
      const bool tells =
          role.kind == Role::Kind::decides || role.kind == Role::Kind::lifts || role.kind == Role::Kind::clashes;
      auto row = form.rows[role.row];
      if ((several && !tells) || policy_.rules[row.rule].is_upper_end(row)) continue;
      const auto upper = std::find_if(roles.begin(), roles.end(), [&](const Role& other) {
        return form.rows[other.row].rule == row.rule && policy_.rules[row.rule].is_upper_end(form.rows[other.row]);
      });
      if (upper != roles.end()) row.high = form.rows[upper->row].high;
      const auto known =
          std::find_if(rows.begin(), rows.end(), [&](const Row& other) { return other.rule == row.rule; });
      if (!several || known == rows.end()) {
        answer.parts.push_back(part_of(form, role, upper != roles.end() ? &form.rows[upper->row] : nullptr));
        rows.push_back(std::move(row));
      } else if (known->effect != row.effect || known->low != row.low || known->high != row.high) {
        answer.parts[static_cast<std::size_t>(known - rows.begin())].says = one_of_several;
      }
    }
  }
  if (form.kind == Table::Kind::piece)  // "needed or not in this kit", in that order
    std::stable_partition(answer.possible.begin(), answer.possible.end(),
                          [](const Outcome& outcome) { return compiler::in_kit(outcome.standing); });
  const auto& first = engine_.outcome(table, possible.classes.front());
  answer.standing = first.standing;
  // A piece that is always there, or there by its own `for`, is no one's to change.
  if (complete_ && !compiler::is_declared(policy_.tables, form)) {
    answer.what_if = smallest_change(table, first);
    answer.measure_again = slips(table, first);
  }
  return answer;
}

}  // namespace lacestay::runtime
