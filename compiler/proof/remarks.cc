// Remarks: rows, limits and outranks that decide nothing, and answers nobody can get.
//
// A row decides where leaving it out changes somebody's outcome; an outranks, where ignoring it does. Whose outcome
// that is, the law says (compiler/law/left_out.cc); whether there is such a player is sought here.
#include <algorithm>
#include <map>
#include <set>

#include "compiler/proof/prover.hpp"
#include "compiler/tables/boxes.hpp"

namespace lacestay::compiler {
namespace {

// Past this many pairs of rules of which one outranks the other, looking at each costs more than it tells.
constexpr std::size_t most_pairs = 1'000;

}  // namespace

// For a refused table only rows that no player meets are reported: others may decide something once its gaps and
// clashes are mended.
void Prover::idle_rows(Regions& who, bool refused) {
  const auto& table = who.table();
  auto& sets = who.sets();
  for (std::uint32_t i = 0; i < table.rows.size(); ++i) {
    const auto& row = table.rows[i];
    if (who.stands_by_itself(i)) continue;
    const bool changes_all = who.changes_all_it_applies_to(i);
    if (changes_all && plainly_somebody(proof_.tables, row.box)) continue;
    // One step of a size that no player needs is told with the answers nobody can get.
    if (policy_.rules[row.rule].sized_from) continue;
    if (!refused && somebody(who, who.changed_without(i))) continue;
    const bool met = !is_empty(row.box) && somebody(who, sets.both(sets.box(row.box), who.concerned()));
    if (met && refused) continue;
    Finding finding;
    finding.kind = met ? Finding::Kind::never_decides : Finding::Kind::never_applies;
    finding.rules = {row.rule};
    finding.rows = {i};
    add(std::move(finding));
  }
}

void Prover::idle_outranks(Regions& who) {
  const auto& table = who.table();
  if (table.outranks.size() > most_pairs) return;
  const Outranking outranking(table.outranks);
  for (const auto& pair : outranking.direct()) {
    const auto resting = outranking.resting_on(pair);
    if (somebody(who, who.met_by_both(resting)) && somebody(who, who.changed_without(resting))) continue;
    Finding finding;
    finding.kind = Finding::Kind::idle_outranks;
    finding.rules = {pair.first, pair.second};
    add(std::move(finding));
  }
}

// An outranks between rules that speak about several answers is reported once, and only if it decides none of them.
// Where a rule between two others is met by nobody, and so is in no table, an implied outranks can't be told from a
// direct one: then none is reported.
void Prover::settle_idle_outranks() {
  std::vector<bool> met(policy_.rules.size());
  for (const auto& table : policy_.tables.tables)
    for (const auto& row : table.rows) met[row.rule] = true;
  const bool all_met = std::find(met.begin(), met.end(), false) == met.end();
  const auto about_outranks = [](const Finding& finding) { return finding.kind == Finding::Kind::idle_outranks; };
  if (!all_met) std::erase_if(proof_.findings, about_outranks);
  std::map<RulePair, std::set<TableId>> idle;
  for (const auto& finding : proof_.findings)
    if (about_outranks(finding)) idle[{finding.rules[0], finding.rules[1]}].insert(finding.table);
  if (idle.empty()) return;
  std::vector<RulePair> pairs;
  for (const auto& table : proof_.tables.tables)
    pairs.insert(pairs.end(), table.outranks.begin(), table.outranks.end());
  const Outranking outranking(pairs);
  const auto decides = [&](const RulePair& pair, const std::set<TableId>& idle_in) {
    if (!outranking.is_direct(pair)) return true;  // it isn't written: it follows from others
    const auto resting = outranking.resting_on(pair);
    for (TableId id = 0; id < proof_.tables.tables.size(); ++id) {
      const auto& known = proof_.tables.tables[id].outranks;
      const bool reaches = std::any_of(resting.begin(), resting.end(), [&](const RulePair& lost) {
        return std::binary_search(known.begin(), known.end(), lost);
      });
      if (reaches && idle_in.count(id) == 0) return true;
    }
    return false;
  };
  std::erase_if(idle, [&](const auto& known) { return decides(known.first, known.second); });
  std::erase_if(proof_.findings, [&](const Finding& finding) {
    if (!about_outranks(finding)) return false;
    const auto known = idle.find({finding.rules[0], finding.rules[1]});
    return known == idle.end() || *known->second.begin() != finding.table;
  });
}

// An item may have another answer than the advised one, by a line below an accept line or by one that settles. The
// shelf then holds such items, so their answer is declared with reason.
void Prover::add_handed_over(std::uint32_t property, std::vector<bool>& reached) const {
  const auto advised = reached;
  const auto add = [&](int moved) {
    for (std::size_t step = 0; step < advised.size(); ++step)
      for (int by = std::min(moved, 0); advised[step] && by <= std::max(moved, 0); ++by)
        if (const auto at = static_cast<std::int64_t>(step) + by;
            at >= 0 && at < static_cast<std::int64_t>(reached.size()))
          reached[static_cast<std::size_t>(at)] = true;
  };
  const bool advised_at_all = std::find(advised.begin(), advised.end(), true) != advised.end();
  const auto any = [&] { std::fill(reached.begin(), reached.end(), advised_at_all); };
  for (const auto& accepts : policy_.shop.accepts[policy_.properties[property].piece])
    for (const auto& instead : accepts.instead) {
      if (instead.property != property) continue;
      if (instead.kind == Instead::Kind::step) add(instead.steps);
      if (instead.kind == Instead::Kind::any) any();
    }
  for (const auto& settled : policy_.shop.plan) {
    const bool of_property = settled.kind == PlanStep::Kind::settle && !settled.any_condition;
    if (!of_property || settled.property != property) continue;
    if (settled.steps != 0)
      add(settled.steps);
    else
      any();
  }
}

void Prover::unreached(Regions& who) {
  std::vector<bool> reached(proof_.tables.answers[who.table().target].steps);
  for (const auto& steps : who.steps_together()) {
    const auto first = reached.begin() + steps.first, end = reached.begin() + steps.last + 1;
    if (std::all_of(first, end, [](bool known) { return known; })) continue;
    if (somebody(who, who.who_gets(steps))) std::fill(first, end, true);
  }
  add_handed_over(who.table().target, reached);
  Finding finding;
  finding.kind = Finding::Kind::unreached;
  for (std::uint32_t step = 0; step < reached.size(); ++step)
    if (!reached[step]) finding.steps.push_back(step);
  if (!finding.steps.empty()) add(std::move(finding));
}

}  // namespace lacestay::compiler
