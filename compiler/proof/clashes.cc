// Clashes: who two rows speak to that can't both hold. Which rows those are, and for whom, is the law's to say.
#include <algorithm>
#include <set>

#include "compiler/proof/prover.hpp"
#include "compiler/space/meeting.hpp"
#include "compiler/tables/boxes.hpp"

namespace lacestay::compiler {
namespace {

Finding::Kind kind_of(Clash clash) {
  switch (clash) {
    case Clash::floor_over_cap: return Finding::Kind::floor_over_cap;
    case Clash::band_emptied: return Finding::Kind::band_emptied;
    case Clash::need_and_omit: return Finding::Kind::need_and_omit;
    case Clash::two_bases:
    case Clash::none: break;
  }
  return Finding::Kind::two_answers;
}

}  // namespace

void Prover::clashing_pair(Regions& who, const Regions::Opposed& pair) {
  if (!who.may_speak_together(pair.first, pair.second)) return;
  const auto &first = who.table().rows[pair.first], &second = who.table().rows[pair.second];
  auto box = shared_box(first.box, second.box);
  if (is_empty(box)) return;
  Finding finding;
  finding.kind = kind_of(pair.clash);
  finding.rules = {first.rule, second.rule};
  finding.rows = {pair.first, pair.second};
  if (who.clash_wherever_they_meet(pair))
    report(std::move(finding), {std::move(box)}, 0, 1);
  else
    report(who, std::move(finding), who.clash(pair));
}

void Prover::clashing_bases(Regions& who) {
  const auto& rows = who.table().rows;
  const auto bases = who.bases();
  std::vector<const Box*> boxes;
  for (const auto row : bases) boxes.push_back(&rows[row].box);
  const bool one_rule =
      std::all_of(bases.begin(), bases.end(), [&](auto row) { return rows[row].rule == rows[bases.front()].rule; });
  if (one_rule) return;  // the rows of one chart, and the steps of one size, never meet
  const auto met = meeting(proof_.tables, boxes, budget_.compared);
  // Largest first; of two rules one finding, for their largest common box.
  std::vector<std::pair<double, Regions::Opposed>> ranked;
  for (const auto& [one, other] : met.pairs) {
    const Regions::Opposed pair{bases[one], bases[other], Clash::two_bases};
    if (who.may_speak_together(pair.first, pair.second))
      ranked.emplace_back(-share_of(proof_.tables, shared_box(rows[pair.first].box, rows[pair.second].box)), pair);
  }
  std::stable_sort(ranked.begin(), ranked.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
  const auto& columns = who.table().columns;
  const bool worked_out = std::any_of(columns.begin(), columns.end(),
                                      [&](auto column) { return proof_.tables.columns[column].worked_out; });
  std::set<std::pair<RuleId, RuleId>> told;
  for (const auto& [share, pair] : ranked) {
    const std::pair rules{rows[pair.first].rule, rows[pair.second].rule};
    if (told.count(rules) != 0) continue;
    const auto before = proof_.findings.size() + proof_.left_out;
    // Past the findings that are shown, a pair that clashes in its whole common box is only counted: no player is
    // searched for.
    const bool enough = shown_[{now_, Finding::Kind::two_answers}] >= budget_.shown;
    if (enough && !worked_out && who.clash_wherever_they_meet(pair))
      ++proof_.left_out;
    else
      clashing_pair(who, pair);
    if (proof_.findings.size() + proof_.left_out != before) told.insert(rules);
  }
  if (!met.complete) throw Diagrams::OverBudget{};  // what was found is told; that there is no more can't be
}

void Prover::clashing_limits(Regions& who) {
  for (const auto& pair : who.opposed()) clashing_pair(who, pair);
}

}  // namespace lacestay::compiler
