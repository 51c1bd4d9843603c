// Clashes: who is in two guards at once, less who one of them yields to.
#include <algorithm>
#include <set>

#include "compiler/proof/prover.hpp"
#include "compiler/space/meeting.hpp"
#include "compiler/tables/boxes.hpp"

namespace lacestay::compiler {

void Prover::pair_of_rows(Regions& who, std::uint32_t first, std::uint32_t second, Set within, Finding::Kind kind) {
  const auto& rows = who.table().rows;
  if (rows[first].rule == rows[second].rule || who.related(rows[first].rule, rows[second].rule)) return;
  auto box = shared_box(rows[first].box, rows[second].box);
  if (is_empty(box)) return;
  Finding finding;
  finding.kind = kind;
  finding.rules = {rows[first].rule, rows[second].rule};
  finding.rows = {first, second};
  if (whole_box_clashes(who, first, second, within)) {
    report(std::move(finding), {std::move(box)}, 0, 1);
    return;
  }
  auto& sets = who.sets();
  auto both = sets.both(sets.box(box), within);
  both = sets.without(both, who.outrankers_of(rows[first].rule));
  both = sets.without(both, who.outrankers_of(rows[second].rule));
  report(who, std::move(finding), both);
}

bool Prover::whole_box_clashes(Regions& who, std::uint32_t first, std::uint32_t second, Set within) {
  const auto& rows = who.table().rows;
  return within == who.sets().everybody() && !who.yields(rows[first].rule) && !who.yields(rows[second].rule);
}

void Prover::clashing_bases(Regions& who) {
  const auto& rows = who.table().rows;
  std::vector<std::uint32_t> bases;
  std::vector<const Box*> boxes;
  for (std::uint32_t i = 0; i < rows.size(); ++i) {
    if (rows[i].effect != Effect::base || is_empty(rows[i].box)) continue;
    bases.push_back(i);
    boxes.push_back(&rows[i].box);
  }
  const bool one_rule =
      std::all_of(bases.begin(), bases.end(), [&](auto row) { return rows[row].rule == rows[bases.front()].rule; });
  if (one_rule) return;  // the rows of one chart, and the steps of one size, never meet
  const auto met = meeting(proof_.tables, boxes, budget_.compared);
  // Largest first; of two rules one finding, for their largest common box.
  std::vector<std::pair<double, std::pair<std::uint32_t, std::uint32_t>>> ranked;
  for (const auto& [one, other] : met.pairs) {
    const std::pair pair{bases[one], bases[other]};
    const auto &a = rows[pair.first], &b = rows[pair.second];
    if (a.rule != b.rule && !who.related(a.rule, b.rule))
      ranked.emplace_back(-share_of(proof_.tables, shared_box(a.box, b.box)), pair);
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
    // Past the findings that are shown, pairs are counted where it is plain that they meet.
    const bool enough = shown_[{now_, Finding::Kind::two_answers}] >= budget_.shown;
    if (enough && !worked_out && whole_box_clashes(who, pair.first, pair.second, who.owed()))
      ++proof_.left_out;
    else
      pair_of_rows(who, pair.first, pair.second, who.owed(), Finding::Kind::two_answers);
    if (proof_.findings.size() + proof_.left_out != before) told.insert(rules);
  }
  if (!met.complete) throw Diagrams::OverBudget{};  // what was found is told; that there is no more can't be
}

void Prover::clashing_limits(Regions& who) {
  const auto& rows = who.table().rows;
  const auto with = [&](Effect effect) {
    std::vector<std::uint32_t> all;
    for (std::uint32_t i = 0; i < rows.size(); ++i)
      if (rows[i].effect == effect) all.push_back(i);
    return all;
  };
  const auto floors = with(Effect::floor), caps = with(Effect::cap);
  for (const auto floor : floors)
    for (const auto cap : caps)
      if (rows[floor].low > rows[cap].low) pair_of_rows(who, floor, cap, who.owed(), Finding::Kind::floor_over_cap);
  // Of bands, any two that share no step empty what they narrow; and where all pairs share one, all share one.
  const auto narrow = [&](std::uint32_t band, std::uint32_t keep) {
    if (rows[band].high < rows[keep].low || rows[keep].high < rows[band].low)
      pair_of_rows(who, band, keep, who.answered(), Finding::Kind::band_emptied);
  };
  const auto keeps = with(Effect::keep);
  for (const auto keep : keeps) {
    for (const auto base : with(Effect::base)) narrow(base, keep);
    for (const auto other : keeps)
      if (other < keep) narrow(other, keep);
  }
}

}  // namespace lacestay::compiler
