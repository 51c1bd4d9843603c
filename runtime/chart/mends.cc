#include "runtime/chart/mends.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "compiler/space/reach.hpp"
#include "compiler/tables/boxes.hpp"
#include "compiler/tables/places.hpp"
#include "compiler/values/names.hpp"
#include "runtime/advice/explanation.hpp"
#include "runtime/advice/words.hpp"
#include "runtime/chart/findings.hpp"

namespace lacestay::runtime {

using compiler::Finding;
using compiler::Table;

void note_whom(const compiler::RuleText& rule, Problem& diagnostic) {
  if (rule.whom) diagnostic.notes.push_back({fmt::format("whom '{}' is for", rule.name), *rule.whom});
}

// A gap is filled by what both sides of it say, where they say the same. Else nobody can know the answer but the
// shop, least of all by the nearest one (a foot past the last size fits no size): then the fitter is asked.
void Mends::gap(const Finding& finding, Problem& diagnostic) {
  const auto property = name(finding.table);
  const auto region = around_player(finding);
  const auto sides = sides_of(finding, region);
  std::vector<std::string> said;
  for (const auto& side : sides) {
    const auto text = text_of_outcome(policy_, table(finding.table), side.outcome);
    said.push_back(side.rule.empty() ? fmt::format("with {} it is {}", side.whom, text)
                                     : fmt::format("with {} '{}' gives {}", side.whom, side.rule, text));
    if (!side.rule.empty())
      diagnostic.notes.push_back({fmt::format("'{}' answers with {}", side.rule, side.whom), side.span});
  }
  const bool agree = sides.size() == 2 && sides[0].outcome == sides[1].outcome;
  const bool edges_part =
      sides.size() == 2 && !agree && sides[0].ends_there && sides[1].ends_there && sides[0].rule != sides[1].rule;
  diagnostic.hint =
      fmt::format("add the missing row{}{} {} by this rule", said.empty() ? "" : " (" + compiler::listed(said) + ")",
                  edges_part ? fmt::format("; or move the edge of '{}' or that of '{}' so that the two meet; or",
                                           sides[0].rule, sides[1].rule)
                             : ", or",
                  agree ? "say the same here" : "leave it to the fitter");
  if (sides.size() < 2) diagnostic.hint += brought_in(finding, region, diagnostic);
  const auto turned = ends_turned_round(finding, diagnostic);
  if (!turned.empty()) diagnostic.hint = turned + "; else " + diagnostic.hint;
  diagnostic.ready_text =
      rule_for(region, property,
               agree ? fmt::format("set {} to {}", property, answer_to_set(finding.table, sides[0].outcome))
                     : "refer " + property);
}

// Where a gap is all of some members of a choice or a scale, as often as not the piece is not meant for them: what
// brings it in there is quoted, and how to say so.
std::string Mends::brought_in(const Finding& finding, const compiler::Box& region, Problem& diagnostic) const {
  const bool of_members = !region.empty() && std::all_of(region.begin(), region.end(), [&](const auto& cell) {
    return policy_.scale_of(cell.column).has_members();
  });
  if (!of_members) return "";
  const auto target = policy_.properties[table(finding.table).target].piece;
  const auto& piece = policy_.pieces[target];
  const auto id = static_cast<compiler::TableId>(policy_.tables.piece_table(target));
  auto others = region;
  for (auto& cell : others) {
    compiler::Places rest;
    for (std::uint32_t place = 0; place < proof_.tables.columns[cell.column].places; ++place)
      if (!compiler::contains(cell.places, place)) compiler::append(rest, {place, place});
    cell.places = std::move(rest);
  }
  const auto whom = others.size() == 1 ? as_conditions(policy_, proof_.tables, others) : std::string("…");
  auto narrow = fmt::format("say in its line for whom it is there: piece {} for {}", piece.name, whom);
  diagnostic.notes.push_back({fmt::format("{} is in the kit there", piece.name), piece.span});
  for (const auto& part : explain(engine_, player_of(finding.players.front()), id).parts) {
    if (part.role != compiler::Role::Kind::decides || table(id).rows.empty()) continue;
    const auto& rule = policy_.rules[table(id).rows[part.row].rule];
    if (rule.kind == compiler::RuleText::Kind::declaration) continue;
    narrow = fmt::format("hold '{}' to the others with for", rule.name);
    diagnostic.notes.back() = {fmt::format("'{}' brings {} in there", rule.name, piece.name), rule.span};
  }
  return fmt::format("; or, if these players need no {}, {}", piece.name, narrow);
}

// Notes which bands that are sized for the player have no step between their ends; what to write where the ends of
// one are the wrong way round.
std::string Mends::ends_turned_round(const Finding& finding, Problem& diagnostic) const {
  const auto player = player_of(finding.players.front());
  const Explanation explanation(engine_, player);
  compiler::Reach reach(policy_.tables);
  const auto places = reach.at(finding.players.front());
  std::set<compiler::RuleId> told;
  std::string turned;
  for (const auto& row : table(finding.table).rows) {
    const auto& rule = policy_.rules[row.rule];
    const bool is_for = std::all_of(row.box.begin(), row.box.end(), [&](const auto& cell) {
      return cell.column == rule.sized_from || cell.column == rule.sized_to ||
             compiler::contains(cell.places, places[cell.column].first);
    });
    if (!rule.sized_to || !is_for || !told.insert(row.rule).second) continue;
    const auto end = [&](compiler::ColumnId column) {
      return policy_.name_of(column) + " " + explanation.looked_at(column, nullptr).value;
    };
    diagnostic.notes.push_back(
        {fmt::format("no step from {} to {}, for '{}'", end(*rule.sized_from), end(*rule.sized_to), rule.name),
         rule.entries.front()});
    if (compiler::compare(explanation.ticks_of(*rule.sized_from), explanation.ticks_of(*rule.sized_to)) > 0)
      turned = fmt::format("turn the two ends of '{}' round, from {} to {}, if it is meant so", rule.name,
                           policy_.name_of(*rule.sized_to), policy_.name_of(*rule.sized_from));
  }
  return turned;
}

// A rule that is ready to be pasted: what it does, for the players of a box.
std::string Mends::rule_for(const compiler::Box& region, const std::string& property, const std::string& action) {
  const auto conditions = as_conditions(policy_, proof_.tables, region);
  return fmt::format("rule {}\n  {}\n", new_name(property), action) +
         (conditions.empty() ? "" : fmt::format("  for {}\n", conditions));
}

Mends::Moved Mends::moved(const Finding& finding) const {
  auto scratch = engine_.scratch();
  engine_.place(finding.players.front(), scratch);
  const auto& form = table(finding.table);
  std::vector<compiler::Role> roles;
  static_cast<void>(decide(policy_.tables, form,
                           engine_.rows(finding.table, engine_.look_up(finding.table, scratch.places)), &roles));
  Moved all;
  for (const auto& role : roles) {
    if (role.kind == compiler::Role::Kind::overruled && compiler::gives_answer(form.rows[role.row].effect))
      all.base = &form.rows[role.row];
    if (role.kind == compiler::Role::Kind::lifts) all.by.push_back(&form.rows[role.row]);
  }
  return all;
}

std::string Mends::moved_past(const Finding& finding) const {
  const auto rows = moved(finding).by;
  std::vector<std::string> rules;
  std::int64_t sum = 0;
  for (const auto* row : rows) rules.push_back("'" + policy_.rules[row->rule].name + "'"), sum += row->low;
  const auto& property = policy_.properties[table(finding.table).target];
  const auto end = sum < 0 ? 0 : std::int64_t{policy_.tables.answers[table(finding.table).target].steps} - 1;
  return fmt::format("{} {} {} past its {} step, {},", compiler::listed(rules), rules.size() == 1 ? "moves" : "move",
                     name(finding.table), sum < 0 ? "first" : "last", property.write(end, end));
}

// Beside a refer a safety rule's answer stands with its steps, so there the fitter is no way out.
void Mends::move(const Finding& finding, Problem& diagnostic) {
  const auto [base, by] = moved(finding);
  diagnostic.where = policy_.rules[by.front()->rule].span;
  note_whom(policy_.rules[by.front()->rule], diagnostic);
  const auto& from = policy_.rules[base->rule];
  diagnostic.notes.push_back(
      {fmt::format("'{}' gives the answer that is moved", from.name), from.entries[base->entry]});
  diagnostic.hint = "hold the step to fewer players with for";
  if (base->safety) return;
  diagnostic.hint += ", or leave it to the fitter by this rule";
  const auto property = name(finding.table);
  diagnostic.ready_text = rule_for(around_player(finding), property, "refer " + property);
}

// The part of its region that the finding's player is in, and that conditions can say: one range of each measure.
compiler::Box Mends::around_player(const Finding& finding) const {
  auto box = finding.region;
  compiler::Reach reach(proof_.tables);
  const auto at = reach.at(finding.players.front());
  for (auto& cell : box) {
    if (policy_.scale_of(cell.column).has_members()) continue;
    const auto place = at[cell.column].first;
    std::erase_if(cell.places, [&](const auto& range) { return place < range.first || place > range.last; });
  }
  return box;
}

// A name that no rule has, nor one suggested before: "new_stick_length".
std::string Mends::new_name(const std::string& property) {
  auto stem = "new_" + property;
  std::replace(stem.begin(), stem.end(), ' ', '_');
  auto name = stem;
  const auto taken = [&] {
    return std::any_of(policy_.rules.begin(), policy_.rules.end(), [&](const auto& rule) { return rule.name == name; });
  };
  for (int i = 2; taken() || !suggested_.insert(name).second; ++i) name = fmt::format("{}_{}", stem, i);
  return name;
}

// An answer as a rule's `set` takes it.
std::string Mends::answer_to_set(compiler::TableId id, const Outcome& outcome) const {
  const auto& property = policy_.properties[table(id).target];
  if (property.scale.has_members()) return property.write_for_policy(outcome.low, outcome.high);
  const auto exactly = [&](std::int64_t step) { return property.scale.write_exactly(property.at(step)); };
  if (!policy_.tables.answers[table(id).target].band) return exactly(outcome.low);
  const auto is_exact = [&](std::int64_t step) { return property.write(step, step) == exactly(step); };
  if (outcome.low < outcome.high && is_exact(outcome.low) && is_exact(outcome.high))
    return property.write(outcome.low, outcome.high);
  return exactly(outcome.low) + " to " + exactly(outcome.high);
}

// What is answered just below a gap's region and just above it, in the detail it is narrowest in, since there an edge
// or a line was missed: a measure before grades and choices, and a worked-out detail only where it stands alone. Only
// where all players on that side get the one answer.
std::vector<Mends::Side> Mends::sides_of(const Finding& finding, const compiler::Box& region) const {
  const compiler::Cell* narrowest = nullptr;
  std::pair<bool, double> least;
  for (const auto& cell : region) {
    const auto& column = proof_.tables.columns[cell.column];
    const compiler::Places all = {{0, column.places - 1}};
    if (column.worked_out || cell.places == all) continue;
    const std::pair share(proof_.tables.has_members(cell.column), compiler::share_of(proof_.tables, {cell}));
    if (!narrowest || share < least) narrowest = &cell, least = share;
  }
  std::vector<Side> sides;
  if (!narrowest) return sides_worked_out(finding, region);
  const auto column = narrowest->column;
  const auto look_at = [&](std::uint32_t place, std::int64_t value) {
    auto beside = region;
    for (auto& cell : beside)
      if (cell.column == column) cell.places = {{place, place}};
    auto readings = finding.players.front();
    readings[proof_.tables.columns[column].detail] = value;
    auto scratch = engine_.scratch();
    engine_.place(readings, scratch);
    const auto found = engine_.look_up(finding.table, scratch.places);
    const auto& outcome = engine_.outcome(finding.table, found);
    if (outcome.standing != Standing::answered || !engine_.can_be(scratch) || !one_answer(finding.table, beside))
      return;
    sides.push_back({shown_.name_of(column) + " " + shown_.write_places(column, {{place, place}}), outcome});
    const auto known = engine_.rows(finding.table, found);
    const auto answers = [&](std::uint32_t row) {
      return compiler::gives_answer(table(finding.table).rows[row].effect);
    };
    if (std::count_if(known.begin(), known.end(), answers) != 1) return;
    const auto& row = table(finding.table).rows[*std::find_if(known.begin(), known.end(), answers)];
    const auto& text = policy_.rules[row.rule];
    sides.back().rule = text.name;
    sides.back().span = text.kind == compiler::RuleText::Kind::chart ? text.entries[row.entry] : text.span;
    sides.back().ends_there = compiler::places_in(row.box, column) && !policy_.scale_of(column).has_members();
  };
  const auto detail = proof_.tables.columns[column].detail;
  const auto first = narrowest->places.front().first, last = narrowest->places.back().last;
  if (first > 0) look_at(first - 1, compiler::values_in(proof_.tables, detail, {first - 1, first - 1}).high);
  if (last + 1 < proof_.tables.columns[column].places)
    look_at(last + 1, compiler::values_in(proof_.tables, detail, {last + 1, last + 1}).low);
  return sides;
}

// The same of a gap in worked-out details alone: the rows that end where it begins, and begin where it ends.
std::vector<Mends::Side> Mends::sides_worked_out(const Finding& finding, const compiler::Box& region) const {
  std::vector<Side> below, above;
  for (const auto& gap : region) {
    const compiler::Places all = {{0, proof_.tables.columns[gap.column].places - 1}};
    if (gap.places == all) continue;
    for (const auto& row : proof_.tables.tables[finding.table].rows) {
      const auto* held = compiler::places_in(row.box, gap.column);
      if (!held || !compiler::gives_answer(row.effect)) continue;
      const bool ends = std::any_of(held->begin(), held->end(),
                                    [&](const auto& range) { return range.last + 1 == gap.places.front().first; });
      const bool begins = std::any_of(held->begin(), held->end(),
                                      [&](const auto& range) { return range.first == gap.places.back().last + 1; });
      if (!ends && !begins) continue;
      const auto& text = policy_.rules[row.rule];
      auto& sides = ends ? below : above;
      sides.push_back({shown_.name_of(gap.column) + " " + shown_.write_places(gap.column, *held),
                       {Standing::answered, row.low, row.high},
                       text.name,
                       text.kind == compiler::RuleText::Kind::chart ? text.entries[row.entry] : text.span,
                       true});
    }
  }
  // Where several end there, none of them is the one that was meant to go on.
  std::vector<Side> sides;
  for (auto* each : {&below, &above})
    if (each->size() == 1) sides.push_back(std::move(each->front()));
  return sides;
}

// Whether the same rows apply to all players in a box. Conservative: it may say no where they do.
bool Mends::one_answer(compiler::TableId id, const compiler::Box& box) const {
  const auto fills = [&](const compiler::Box& row) {
    return std::all_of(row.begin(), row.end(), [&](const compiler::Cell& cell) {
      const compiler::Places all = {{0, proof_.tables.columns[cell.column].places - 1}};
      const auto* held = compiler::places_in(box, cell.column);
      return compiler::lie_in(held ? *held : all, cell.places);
    });
  };
  const auto& rows = proof_.tables.tables[id].rows;
  return std::all_of(rows.begin(), rows.end(),
                     [&](const auto& row) { return !compiler::meet(row.box, box) || fills(row.box); });
}

}  // namespace lacestay::runtime
