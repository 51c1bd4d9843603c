#include "tests/compiler/proof/z3_shelf.hpp"

#include <algorithm>

namespace lacestay::judges {

using grammar::Instead;
using grammar::Requirement;

namespace {

// `size`, `stick size` and `stick.size` are one property; a requirement may have a member behind it.
bool names(const naive::Policy& policy, const Subject& subject, const std::string& words) {
  const auto& piece = policy.pieces[subject.piece];
  const auto& name = piece.properties[*subject.property].name;
  return words == name || words == piece.name + "_" + name;
}

// What a stage says of one property.
struct Said {
  std::vector<Requirement::Kind> relations;
  std::vector<std::int64_t> members;
  std::int64_t moved = 0;
  bool once_cut = false;  // the item's is what is left once it is cut to the advised value
};

Said said_of(const naive::Policy& policy, const Subject& subject, const ShelfStage& stage) {
  const auto& property = policy.pieces[subject.piece].properties[*subject.property];
  Said said;
  for (const auto& requirement : stage.line->requirements) {
    if (requirement.once_cut_to && names(policy, subject, requirement.once_cut_to->joined())) said.once_cut = true;
    const auto words = requirement.column.joined();
    switch (requirement.kind) {
      case Requirement::Kind::as_advised:
      case Requirement::Kind::at_least:
      case Requirement::Kind::at_most:
      case Requirement::Kind::within:
        if (names(policy, subject, words)) said.relations.push_back(requirement.kind);
        break;
      case Requirement::Kind::is:
        for (std::size_t i = 0; i < property.answers.size(); ++i) {
          const auto member = "_" + property.answers[i];
          if (words.ends_with(member) && names(policy, subject, words.substr(0, words.size() - member.size())))
            said.members.push_back(static_cast<std::int64_t>(i));
        }
        break;
      case Requirement::Kind::covers:
      case Requirement::Kind::in_date:
      case Requirement::Kind::new_or_used:
      case Requirement::Kind::price:
      case Requirement::Kind::made: break;
    }
  }
  const auto* other = stage.settled ? &*stage.settled->other : stage.instead;
  if (!other || !names(policy, subject, other->column->joined())) return said;
  if (other->kind == Instead::Kind::any)
    said.relations.clear();
  else
    said.moved = other->steps;
  return said;
}

// An item of this step is as the line asks.
z3::expr as_asked(Model& player, const OfProperty& advised, const Said& said, std::int64_t step, std::int64_t last) {
  auto& terms = player.terms();
  const auto at = [&](std::int64_t value) { return terms.context().int_val(value); };
  std::vector<z3::expr> each;
  for (const auto member : said.members) each.push_back(terms.yes(member == step));
  if (!advised.members.empty()) {
    if (!said.relations.empty()) each.push_back(advised.members[static_cast<std::size_t>(step)]);
    return terms.all(each);
  }
  const auto low = advised.low + at(said.moved), high = advised.high + at(said.moved);
  // Moved past the declared range there is nothing to hand over.
  if (!said.relations.empty()) each.push_back(low >= 0 && high <= at(last));
  for (const auto relation : said.relations) {
    if (relation != Requirement::Kind::at_most) each.push_back(low <= at(step));
    if (relation != Requirement::Kind::at_least) each.push_back(at(step) <= high);
  }
  return terms.all(each);
}

}  // namespace

std::vector<ShelfStage> shelf_stages(const naive::Policy& policy, std::size_t piece) {
  std::vector<ShelfStage> stages;
  std::vector<const grammar::PlanStep*> settled;
  for (const auto& file : policy.files)
    for (const auto& item : file.items)
      if (const auto* plan = std::get_if<grammar::OverTheLimit>(&item.form))
        for (const auto& step : plan->steps)
          if (step.other && step.other->column->joined().starts_with(policy.pieces[piece].name + "_"))
            settled.push_back(&step);
  for (const auto& file : policy.files)
    for (const auto& item : file.items) {
      const auto* accept = std::get_if<grammar::Accept>(&item.form);
      if (!accept || accept->piece.joined() != policy.pieces[piece].name) continue;
      stages.push_back({accept, nullptr, nullptr});
      for (const auto& line : accept->instead) {
        if (line.kind == Instead::Kind::refer || line.kind == Instead::Kind::order) break;
        stages.push_back({accept, &line, nullptr});
      }
      for (const auto* step : settled) stages.push_back({accept, nullptr, step});
    }
  return stages;
}

z3::expr may_have(Model& player, const Subject& subject, const ShelfStage& stage, std::int64_t step) {
  auto& terms = player.terms();
  const auto& policy = terms.policy();
  const auto& piece = policy.pieces[subject.piece];
  const auto last = piece.properties[*subject.property].last();
  const auto at = [&](std::int64_t value) { return terms.context().int_val(value); };
  const auto& advised = player.property(subject.piece, *subject.property);
  const auto said = said_of(policy, subject, stage);
  std::vector<z3::expr> all = {advised.answered, terms.meets(stage.line->when)};
  if (stage.settled) all.push_back(terms.meets(stage.settled->when));
  // What anything is referred of is the fitter's altogether.
  for (std::size_t i = 0; i < piece.properties.size(); ++i) all.push_back(!player.property(subject.piece, i).to_fitter);
  if (said.once_cut) {
    std::vector<z3::expr> longer;
    for (auto uncut = step; uncut <= last; ++uncut) longer.push_back(as_asked(player, advised, said, uncut, last));
    all.push_back((at(step) < advised.low && as_asked(player, advised, said, step, last)) ||
                  (at(step) == advised.low && terms.any(longer)));
  } else {
    all.push_back(as_asked(player, advised, said, step, last));
  }
  for (const auto& [speaks, allows] : advised.binding)
    if (!naive::takes_in(allows, step)) all.push_back(!speaks);
  // A safety rule's own answer is kept to; under `at least advised` it is a floor, under `at most advised` a cap.
  auto kept = terms.yes(true);
  const auto every = [&](Requirement::Kind kind) {
    return !said.relations.empty() && std::count(said.relations.begin(), said.relations.end(), kind) ==
                                          static_cast<std::ptrdiff_t>(said.relations.size());
  };
  if (!advised.members.empty()) {
    kept = advised.members[static_cast<std::size_t>(step)];
  } else {
    if (!every(Requirement::Kind::at_most)) kept = kept && advised.low <= at(step);
    if (!every(Requirement::Kind::at_least)) kept = kept && at(step) <= advised.high;
  }
  all.push_back(z3::implies(advised.binding_base, kept));
  return terms.all(all);
}

z3::expr two_lines(Model& player, std::size_t piece) {
  auto& terms = player.terms();
  std::vector<z3::expr> lines, any;
  for (const auto& stage : shelf_stages(terms.policy(), piece))
    if (!stage.instead && !stage.settled) lines.push_back(terms.meets(stage.line->when));
  for (std::size_t i = 0; i < lines.size(); ++i)
    for (std::size_t k = i + 1; k < lines.size(); ++k) any.push_back(lines[i] && lines[k]);
  return terms.any(any);
}

bool bounds_items(const grammar::MakeSure& sure) {
  return !sure.advice && (sure.bound || sure.kind == grammar::MakeSure::Kind::one_of);
}

z3::expr broken_by(const grammar::MakeSure& sure, Model& player, const ShelfStage& stage, std::int64_t step) {
  auto& terms = player.terms();
  const auto subject = subject_of(terms.policy(), sure);
  const auto& property = terms.policy().pieces[subject.piece].properties[*subject.property];
  return terms.yes(!allows(sure, property, step)) && terms.meets(sure.when) && may_have(player, subject, stage, step);
}

z3::expr broken_by_items(const grammar::MakeSure& sure, Model& player) {
  auto& terms = player.terms();
  const auto subject = subject_of(terms.policy(), sure);
  const auto& property = terms.policy().pieces[subject.piece].properties[*subject.property];
  std::vector<z3::expr> any;
  for (const auto& stage : shelf_stages(terms.policy(), subject.piece))
    for (std::int64_t step = 0; step <= property.last(); ++step)
      if (!allows(sure, property, step)) any.push_back(broken_by(sure, player, stage, step));
  return terms.any(any);
}

}  // namespace lacestay::judges
