#include "compiler/shelf/stages.hpp"

#include <algorithm>
#include <set>

namespace lacestay::compiler {
namespace {

using Kind = Requirement::Kind;

StepRange all_steps(const AnswerSpace& space) { return {0, std::int64_t{space.steps} - 1}; }

// Those of an answer: of a choice that is left open any of its members.
StepRange steps_of(const AnswerSpace& space, const Outcome& advised) {
  if (!leaves_open(advised.low)) return {advised.low, advised.high};
  auto all = all_steps(space);
  all.among = members_of(advised.low);
  return all;
}

// The answer as a relation takes it.
StepRange by_relation(const AnswerSpace& space, Kind relation, const StepRange& answer) {
  const auto all = all_steps(space);
  switch (relation) {
    case Kind::at_least: return {answer.low, all.high};
    case Kind::at_most: return {all.low, answer.high};
    default: return answer;
  }
}

// How an item keeps to an answer that a safety rule gave: a relation that lets it have more, or less, takes that for a
// floor, or a cap, but only as far as no other relation holds it.
Kind relation_kept(const Asked& asked) {
  for (const auto kind : {Kind::at_least, Kind::at_most})
    if (!asked.relations.empty() &&
        std::all_of(asked.relations.begin(), asked.relations.end(), [&](Kind relation) { return relation == kind; }))
      return kind;
  return Kind::as_advised;
}

}  // namespace

bool StepRange::empty() const {
  if (!among) return low > high;
  for (auto step = low; step <= high; ++step)
    if (has_member(*among, step)) return false;
  return true;
}

StepRange shared_steps(const StepRange& a, const StepRange& b) {
  StepRange both{std::max(a.low, b.low), std::min(a.high, b.high),
                 a.among && b.among ? std::optional(*a.among & *b.among)
                 : a.among          ? a.among
                                    : b.among};
  // Members that leave out none say nothing.
  bool every = both.among.has_value();
  for (auto step = both.low; every && step <= both.high; ++step) every = has_member(*both.among, step);
  if (every) both.among.reset();
  return both;
}

namespace {

// The accept line as it stands.
Stage first_stage(const Policy& policy, std::uint32_t piece, std::size_t line) {
  const auto& accepts = policy.shop.accepts[piece][line];
  const auto& text = policy.pieces[piece];
  Stage first;
  first.line = line;
  if (accepts.players) first.players.push_back(*accepts.players);
  first.asked.resize(text.properties);
  for (const auto& need : accepts.requirements) {
    if (need.once_cut_to) first.asked[*need.once_cut_to - text.first_property].cut_to = true;
    if (need.kind <= Kind::within)
      first.asked[need.property - text.first_property].relations.push_back(need.kind);
    else if (need.kind == Kind::is)
      first.asked[need.property - text.first_property].members.push_back(need.member);
  }
  return first;
}

// The advice moved by these steps; by none: any answer.
void look_from(Asked& asked, int steps) {
  if (steps == 0)
    asked.relations.clear();
  else
    asked.moved = steps;
}

}  // namespace

std::vector<Stage> stages_of(const Policy& policy, std::uint32_t piece, std::size_t line_at) {
  const auto& accepts = policy.shop.accepts[piece][line_at];
  const auto& text = policy.pieces[piece];
  const auto first = first_stage(policy, piece, line_at);
  std::vector<Stage> all = {first};
  for (std::size_t i = 0; i < accepts.instead.size(); ++i) {
    const auto& line = accepts.instead[i];
    if (line.kind == Instead::Kind::refer || line.kind == Instead::Kind::order) break;
    auto stage = first;
    stage.instead = i;
    if (line.kind == Instead::Kind::any_condition)
      stage.any_condition = true;
    else
      look_from(stage.asked[line.property - text.first_property], line.steps);
    all.push_back(std::move(stage));
  }
  return all;
}

std::vector<Stage> settled_stages(const Policy& policy, std::uint32_t piece, std::size_t line) {
  const auto first = first_stage(policy, piece, line);
  std::vector<Stage> all;
  for (std::size_t i = 0; i < policy.shop.plan.size(); ++i) {
    const auto& step = policy.shop.plan[i];
    if (step.kind != PlanStep::Kind::settle || step.piece != piece) continue;
    auto stage = first;
    stage.settled = i;
    if (step.players) stage.players.push_back(*step.players);
    if (step.any_condition)
      stage.any_condition = true;
    else
      look_from(stage.asked[step.property - policy.pieces[piece].first_property], step.steps);
    all.push_back(std::move(stage));
  }
  return all;
}

std::vector<Stage> stages_of(const Policy& policy, std::uint32_t piece) {
  std::vector<Stage> all;
  for (std::size_t line = 0; line < policy.shop.accepts[piece].size(); ++line)
    for (auto& stages : {stages_of(policy, piece, line), settled_stages(policy, piece, line)})
      all.insert(all.end(), stages.begin(), stages.end());
  return all;
}

const grammar::Span& line_of(const Policy& policy, std::uint32_t piece, const Stage& stage) {
  if (stage.settled) return policy.shop.plan[*stage.settled].span;
  const auto& accepts = policy.shop.accepts[piece][stage.line];
  return stage.instead ? accepts.instead[*stage.instead].span : accepts.span;
}

std::vector<Box> players_of(const Tables& tables, const std::optional<TableId>& line) {
  if (!line) return {Box{}};
  std::vector<Box> boxes;
  for (const auto& row : tables.tables[*line].rows) boxes.push_back(row.box);
  return boxes;
}

StepRange steps_asked(const AnswerSpace& space, const Asked& asked, const Outcome& advised) {
  auto steps = all_steps(space);
  for (const auto member : asked.members) steps = shared_steps(steps, {member, member});
  if (asked.relations.empty()) return steps;
  auto moved = steps_of(space, advised);
  moved.low += asked.moved, moved.high += asked.moved;
  if (moved.low < 0 || moved.high > all_steps(space).high) return {};
  for (const auto relation : asked.relations) steps = shared_steps(steps, by_relation(space, relation, moved));
  return steps;
}

StepRange steps_bound(const Asked& asked, const ItemBounds& bounds, const Outcome& advised) {
  StepRange steps{bounds.low, bounds.high, bounds.among};
  if (!bounds.base) return steps;
  if (leaves_open(advised.low)) return shared_steps(steps, {steps.low, steps.high, members_of(advised.low)});
  const auto kept = relation_kept(asked);
  if (kept != Kind::at_most) steps.low = std::max(steps.low, advised.low);
  if (kept != Kind::at_least) steps.high = std::min(steps.high, advised.high);
  return steps;
}

bool refused_by_form_1(const Tables& tables, const Table& table, std::span<const std::uint32_t> rows,
                       const Asked& asked, const Outcome& advised) {
  return !tables.safety_reaches_items && asked.moved != 0 &&
         !safety_allows(tables, table, rows, advised.low + asked.moved, advised.high + asked.moved);
}

StepRange steps_handed_over(const AnswerSpace& space, const Asked& asked, const Outcome& advised,
                            const ItemBounds& bounds) {
  auto steps = steps_asked(space, asked, advised);
  if (steps.empty()) return {};
  if (asked.cut_to) steps = {std::min(steps.low, advised.low), std::min(steps.high, advised.low)};
  steps = shared_steps(steps, steps_bound(asked, bounds, advised));
  return steps.empty() ? StepRange{} : steps;
}

namespace {

// Of those who are answered, by the answer's ends.
class Ends {
 public:
  Ends(Regions& who, const AnswerSpace& space) : who_(who), space_(space) {}

  // Whose lower (or upper) end is at least, or at most, a step.
  Regions::Set from(std::int64_t step, bool upper_end) {
    if (step <= 0) return who_.answered();
    if (step >= std::int64_t{space_.steps}) return who_.sets().nobody();
    return who_.at_least(step, upper_end);
  }
  Regions::Set up_to(std::int64_t step, bool upper_end) {
    return who_.sets().without(who_.answered(), from(step + 1, upper_end));
  }
  // Whose answer a relation lets an item of this step meet.
  Regions::Set met(Kind relation, std::int64_t step) {
    if (who_.left_open()) return who_.gets(step);
    if (relation == Kind::at_least) return up_to(step, false);
    if (relation == Kind::at_most) return from(step, true);
    return who_.sets().both(up_to(step, false), from(step, true));
  }

 private:
  Regions& who_;
  const AnswerSpace& space_;
};

}  // namespace

Regions::Set who_may_get(Regions& who, const AnswerSpace& space, const Asked& asked, std::int64_t step) {
  auto& sets = who.sets();
  Ends ends(who, space);
  // Who may be handed an item of a step before it is cut.
  const auto asked_for = [&](std::int64_t uncut) {
    if (std::any_of(asked.members.begin(), asked.members.end(), [&](auto member) { return member != uncut; }))
      return sets.nobody();
    auto all = who.answered();
    if (asked.relations.empty()) return all;
    if (asked.moved > 0) all = ends.up_to(std::int64_t{space.steps} - 1 - asked.moved, true);
    if (asked.moved < 0) all = ends.from(-asked.moved, false);
    for (const auto relation : asked.relations) all = sets.both(all, ends.met(relation, uncut - asked.moved));
    return all;
  };
  auto all = asked_for(step);
  if (asked.cut_to) {
    // As it is once cut: below the advised length uncut; of that length, whatever was cut from a longer one.
    all = sets.both(all, ends.from(step, false));
    const auto advised = sets.both(ends.from(step, false), ends.up_to(step, false));
    for (auto longer = step + 1; longer < std::int64_t{space.steps}; ++longer)
      if (const auto cut = sets.both(advised, asked_for(longer)); cut != sets.nobody()) all = sets.either(all, cut);
  }
  all = sets.without(all, who.forbidden(step));
  const auto bound = who.with_binding_base();
  if (bound == sets.nobody()) return all;
  const auto kept = ends.met(relation_kept(asked), step);
  return sets.without(all, sets.without(bound, kept));
}

std::vector<std::int64_t> turns(const Regions& who, const AnswerSpace& space, const Asked& asked) {
  std::set<std::int64_t> all = {0};
  const auto add = [&](std::int64_t step) {
    if (0 <= step && step < std::int64_t{space.steps}) all.insert(step);
  };
  for (const auto step : who.turns())
    for (const auto near : {step - 1, step}) add(near), add(near + asked.moved);
  for (const auto member : asked.members) add(member), add(std::int64_t{member} + 1);
  return {all.begin(), all.end()};
}

}  // namespace lacestay::compiler
