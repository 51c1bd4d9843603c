// Remarks: rows, limits and outranks that decide nothing, and answers nobody can get.
#include <algorithm>

#include "compiler/prover.hpp"

namespace lacestay::compiler {

// Who would get another answer if the row were not there.
Prover::Set Prover::decides(Regions& who, std::uint32_t index) {
  auto& sets = who.sets();
  const auto& row = who.table().rows[index];
  const auto reach = who.of_row(index);
  const auto others = [&](auto keep) {
    return [&row, keep](const Row& other) { return other.rule != row.rule && keep(other); };
  };
  const auto any = [](const Row&) { return true; };
  switch (row.effect) {
    case Effect::base: return sets.both(reach, who.owed());
    case Effect::refer: return sets.both(sets.without(reach, who.speaking(Effect::refer, others(any))), who.present());
    case Effect::floor: {
      const auto lifted =
          sets.without(who.speaking(Effect::base, [&](const Row& base) { return base.low < row.low; }),
                       who.speaking(Effect::floor, others([&](const Row& other) { return other.low >= row.low; })));
      auto changed = sets.both(sets.both(reach, who.owed()), lifted);
      if (row.safety)
        changed = sets.either(changed, sets.without(sets.both(reach, who.referred()),
                                                    who.speaking(Effect::floor, others([&](const Row& other) {
                                                                   return other.safety && other.low >= row.low;
                                                                 }))));
      return changed;
    }
    case Effect::cap: {
      const auto over = [&](const Row& other) { return other.low > row.low; };
      const auto high = sets.either(who.speaking(Effect::base, over), who.speaking(Effect::floor, over));
      return sets.without(sets.both(sets.both(reach, who.owed()), high),
                          who.speaking(Effect::cap, others([&](const Row& other) { return other.low <= row.low; })));
    }
    case Effect::keep: {
      const auto raised =
          sets.without(who.speaking(Effect::base, [&](const Row& base) { return base.low < row.low; }),
                       who.speaking(Effect::keep, others([&](const Row& other) { return other.low >= row.low; })));
      const auto lowered =
          sets.without(who.speaking(Effect::base, [&](const Row& base) { return base.high > row.high; }),
                       who.speaking(Effect::keep, others([&](const Row& other) { return other.high <= row.high; })));
      return sets.both(sets.both(reach, who.answered()), sets.either(raised, lowered));
    }
    case Effect::need: return sets.without(reach, who.speaking(Effect::need, others(any)));
    case Effect::omit: return sets.without(reach, who.speaking(Effect::omit, others(any)));
    case Effect::suggest:
      return sets.without(sets.without(reach, who.speaking(Effect::suggest, others(any))),
                          sets.either(who.speaking(Effect::need), who.speaking(Effect::omit)));
    default: return reach;
  }
}

void Prover::idle_rows(Regions& who) {
  const auto& table = who.table();
  const bool declared = table.kind == Table::Kind::piece && proof_.tables.presence[table.target] != Presence::optional;
  const bool all_owed = table.kind == Table::Kind::property && who.owed() == who.sets().everybody();
  for (std::uint32_t i = 0; i < table.rows.size(); ++i) {
    const auto& row = table.rows[i];
    if (row.effect == Effect::present || (declared && row.safety)) continue;
    const bool plain = std::none_of(row.box.begin(), row.box.end(),
                                    [&](const Cell& cell) { return proof_.tables.columns[cell.column].worked_out; });
    if (row.effect == Effect::base && all_owed && plain && !is_empty(row.box) && !who.yields(row.rule))
      continue;  // it decides for all it applies to
    // One step of a size that no player needs is told with the answers nobody can get.
    if (policy_.rules[row.rule].sized_from) continue;
    const auto changed = declared ? who.sets().nobody() : decides(who, i);
    if (changed != who.sets().nobody() && somebody(who, changed)) continue;
    Finding finding;
    const auto applies =
        who.sets().both(who.sets().box(row.box), declared                              ? who.sets().everybody()
                                                 : table.kind == Table::Kind::property ? who.present()
                                                                                       : who.sets().everybody());
    finding.kind =
        is_empty(row.box) || !somebody(who, applies) ? Finding::Kind::never_applies : Finding::Kind::never_decides;
    finding.rules = {row.rule};
    finding.rows = {i};
    add(std::move(finding));
  }
}

void Prover::idle_outranks(Regions& who) {
  const auto& pairs = who.table().outranks;
  for (const auto& [over, under] : pairs) {
    // Only as written: what follows from others is not the owner's to take out.
    const auto between = [&, over = over, under = under](const auto& pair) {
      return pair.first == over && std::binary_search(pairs.begin(), pairs.end(), std::pair(pair.second, under));
    };
    if (std::any_of(pairs.begin(), pairs.end(), between)) continue;
    auto both = who.sets().both(who.of_rule(over), who.of_rule(under));
    if (who.table().kind == Table::Kind::property) both = who.sets().both(both, who.present());
    if (both != who.sets().nobody() && somebody(who, both)) continue;
    Finding finding;
    finding.kind = Finding::Kind::idle_outranks;
    finding.rules = {over, under};
    add(std::move(finding));
  }
}

void Prover::unreached(Regions& who) {
  const auto& space = proof_.tables.answers[who.table().target];
  auto& sets = who.sets();
  std::vector<bool> reached(space.steps);
  for (std::uint32_t i = 0; i < who.table().rows.size(); ++i) {
    const auto& row = who.table().rows[i];
    const bool speaks =
        row.effect == Effect::base || (!space.band && (row.effect == Effect::floor || row.effect == Effect::cap));
    if (!speaks || is_empty(row.box)) continue;
    const auto first = reached.begin() + row.low, end = reached.begin() + row.high + 1;
    if (std::all_of(first, end, [](bool known) { return known; })) continue;
    auto set = sets.both(who.of_row(i), who.answered());
    if (!space.band && space.ordered) {
      // The answer is this step: at least it, and no higher.
      set = sets.both(set, who.at_least(row.low, false));
      set = sets.without(set, who.at_least(row.low + 1, false));
    }
    if (set != sets.nobody() && somebody(who, set)) std::fill(first, end, true);
  }
  Finding finding;
  finding.kind = Finding::Kind::unreached;
  for (std::uint32_t step = 0; step < reached.size(); ++step)
    if (!reached[step]) finding.steps.push_back(step);
  if (!finding.steps.empty()) add(std::move(finding));
}

}  // namespace lacestay::compiler
