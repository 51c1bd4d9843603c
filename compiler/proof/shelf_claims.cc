// `make sure` of what is handed over: a claim that bounds a property holds for every item at every stage, or is refuted
// by a player, the stage and the step an item may have there.
#include <set>

#include "compiler/proof/prover.hpp"
#include "compiler/shelf/stages.hpp"

namespace lacestay::compiler {

void Prover::shelf_claim(Regions& who, std::size_t index, Set when) {
  const auto& sure = policy_.sures[index];
  const auto piece = proof_.tables.piece_of[sure.target];
  const auto& space = proof_.tables.answers[sure.target];
  const auto at = sure.target - policy_.pieces[piece].first_property;
  auto& sets = who.sets();
  std::optional<Set> elsewhere;
  const auto stages = stages_of(policy_, piece);
  // For whom the stage is, of those the claim is about.
  const auto concerned = [&](const Stage& stage) {
    auto all = when;
    for (const auto line : stage.players) {
      auto players = sets.nobody();
      for (const auto& box : players_of(proof_.tables, line)) players = sets.either(players, sets.box(box));
      all = sets.both(all, players);
    }
    return all;
  };
  for (std::size_t stage = 0; stage < stages.size(); ++stage) {
    const auto& asked = stages[stage].asked[at];
    const auto players = concerned(stages[stage]);
    if (players == sets.nobody()) continue;
    // As an item's step rises, who may be handed it, and whether the claim allows it, turn at these alone.
    std::set<std::int64_t> steps;
    for (const auto step : turns(who, space, asked)) steps.insert(step);
    for (const auto end : {sure.low, sure.high}) steps.insert({end, end + 1});
    for (const auto member : sure.members) steps.insert({std::int64_t{member}, std::int64_t{member} + 1});
    for (const auto step : steps) {
      if (step < 0 || step >= std::int64_t{space.steps} || sure.allows(step)) continue;
      auto wrong = sets.both(players, who_may_get(who, space, asked, step));
      if (wrong == sets.nobody()) continue;
      // A piece of which anything is left to the fitter is the fitter's at every stage.
      if (!elsewhere) elsewhere = who.to_fitter_elsewhere();
      wrong = sets.without(wrong, *elsewhere);
      Finding finding;
      finding.kind = Finding::Kind::sure_broken;
      finding.sure = index;
      finding.item = Finding::Item{stage, static_cast<std::uint32_t>(step)};
      if (report(who, std::move(finding), wrong)) return;
    }
  }
}

}  // namespace lacestay::compiler
