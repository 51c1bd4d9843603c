// To whom a row or an outranks matters: whose outcome would be another without it.
//
// Most rows only speak, and what follows from their silence is a formula over sets. A rule that outranks others keeps
// them silent as well: there the law is asked twice, of the table as it is and of the table with the rule left out, and
// the two are compared outcome by outcome. So it is for a row that moves the base, since others may undo its move. That
// would do for every row, and costs far more.
//
// A safety rule, or a row that binds items, matters to everybody it applies to: a remark that takes it out would weaken
// what may be handed over. So what binds items is compared as well.
#include <algorithm>
#include <set>

#include "compiler/law/regions.hpp"

namespace lacestay::compiler {

Regions::Regions(const Regions& all, Set within)
    : tables_(all.tables_),
      table_(all.table_),
      budget_(all.budget_),
      band_(all.band_),
      limited_(all.limited_),
      binds_(all.binds_),
      stepped_(all.stepped_),
      left_open_(all.left_open_),
      sets_(all.sets_),
      within_(within),
      outranked_by_(all.outranked_by_) {
  for (const auto* row : all.rows_)
    if (sets_->both(sets_->box(row->box), within) != sets_->nobody()) rows_.push_back(row);
  if (table_.kind == Table::Kind::property) present_ = within;
}

void Regions::leave_out(RuleId rule) {
  std::erase_if(rows_, [&](const Row* row) { return row->rule == rule; });
}

void Regions::leave_out(const std::vector<RulePair>& pairs) {
  for (auto& [under, overs] : outranked_by_)
    std::erase_if(overs, [&, under = under](RuleId over) {
      return std::binary_search(pairs.begin(), pairs.end(), RulePair(over, under));
    });
}

// Sets that together tell the outcome of each player.
std::vector<Regions::Set> Regions::outcomes(const std::set<std::int64_t>& lows, const std::set<std::int64_t>& highs) {
  if (table_.kind == Table::Kind::piece) return {needed(), suggested(), left_out(), clash()};
  std::vector<Set> all = {referred(), clash(), answered(), with_binding_base()};
  if (left_open_) {
    const auto safe = [](const Row& row) { return row.safety; };
    const auto held = sets_->either(speaking(Effect::base, safe), speaking(Effect::keep, safe));
    all.push_back(sets_->both(referred(), held));
    for (std::int64_t member = 0; member < std::int64_t{tables_.answers[table_.target].steps}; ++member) {
      all.push_back(gets(member));
      all.push_back(sets_->both(referred(), shut_out_of(member, safe)));
      all.push_back(forbidden(member));
    }
    return all;
  }
  for (const auto step : lows) {
    all.push_back(at_least(step, false));
    all.push_back(referred_from(step));
    if (step == 0) continue;  // that binds nothing
    all.push_back(bound_to(Effect::floor, [step](const Row& row) { return row.low >= step; }));
    all.push_back(bound_to(Effect::keep, [step](const Row& row) { return row.low >= step; }));
  }
  for (const auto step : highs) {
    if (band_) all.push_back(at_least(step, true));
    all.push_back(referred_up_to(step));
    if (step + 1 == std::int64_t{tables_.answers[table_.target].steps}) continue;
    all.push_back(bound_to(Effect::cap, [step](const Row& row) { return row.high <= step; }));
    all.push_back(bound_to(Effect::keep, [step](const Row& row) { return row.high <= step; }));
  }
  return all;
}

Regions::Set Regions::differs(Regions& other) {
  std::set<std::int64_t> lows, highs;
  const auto steps = std::int64_t{table_.kind == Table::Kind::property ? tables_.answers[table_.target].steps : 1};
  const auto add = [&](std::int64_t low, std::int64_t high) {
    if (0 <= low && high < steps) lows.insert(low), highs.insert(high);
  };
  for (const auto* view : {this, &other}) {
    const auto moves = view->sums_of_moves();
    for (const auto* row : view->rows_) {
      add(row->low, row->high);
      if (gives_answer(row->effect))
        for (const auto by : moves) add(row->low + by, row->high + by);
    }
  }
  const auto mine = outcomes(lows, highs), others = other.outcomes(lows, highs);
  auto all = sets_->nobody();
  for (std::size_t i = 0; i < mine.size(); ++i) {
    all = sets_->either(all, sets_->without(mine[i], others[i]));
    all = sets_->either(all, sets_->without(others[i], mine[i]));
  }
  return all;
}

bool Regions::outranks_some(RuleId rule) const {
  const auto first = std::lower_bound(table_.outranks.begin(), table_.outranks.end(), RulePair(rule, 0));
  return first != table_.outranks.end() && first->first == rule;
}

bool Regions::stands_by_itself(std::uint32_t index) const {
  const auto& row = table_.rows[index];
  return row.effect == Effect::present || (is_declared(tables_, table_) && row.safety);
}

bool Regions::changes_all_it_applies_to(std::uint32_t index) {
  if (table_.kind != Table::Kind::property || owed() != sets_->everybody()) return false;
  const auto& row = table_.rows[index];
  return gives_answer(row.effect) && !yields(row.rule) && !outranks_some(row.rule);
}

Regions::Set Regions::changed_without(std::uint32_t index) {
  if (is_declared(tables_, table_)) return sets_->nobody();
  const auto& row = table_.rows[index];
  if (row.safety || row.binds) return sets_->both(sets_->box(row.box), concerned());
  // Of a choice that is left open a keep may matter by what others leave.
  const bool narrows = left_open_ && narrows_band(row.effect);
  if (!outranks_some(row.rule) && !moves_base(row.effect) && !narrows) return changed_by_silence(index);
  return sets_->both(changed_without_rule(row.rule), sets_->box(row.box));
}

// The rows of one rule lie apart, so for whom one applies it is the same whether it is left out or the whole rule.
Regions::Set Regions::changed_without_rule(RuleId rule) {
  if (const auto known = changed_without_.find(rule); known != changed_without_.end()) return known->second;
  const auto within = sets_->both(of_rule(rule), concerned());
  Regions as_it_is(*this, within), without(*this, within);
  without.leave_out(rule);
  return changed_without_.emplace(rule, as_it_is.differs(without)).first->second;
}

Regions::Set Regions::met_by_both(const std::vector<RulePair>& pairs) {
  auto over = sets_->nobody(), under = over;
  for (const auto& pair : pairs) {
    over = sets_->either(over, of_rule(pair.first));
    under = sets_->either(under, of_rule(pair.second));
  }
  return sets_->both(sets_->both(over, under), concerned());
}

Regions::Set Regions::changed_without(const std::vector<RulePair>& pairs) {
  if (is_declared(tables_, table_)) return sets_->nobody();
  const auto within = met_by_both(pairs);
  Regions as_it_is(*this, within), without(*this, within);
  without.leave_out(pairs);
  return as_it_is.differs(without);
}

// Of a row of a rule that outranks none, binds no item and moves no base.
Regions::Set Regions::changed_by_silence(std::uint32_t index) {
  const auto& row = table_.rows[index];
  const auto reach = of_row(index);
  // Rows of other rules.
  const auto others = [&](auto keep) {
    return [&row, keep](const Row& other) { return other.rule != row.rule && keep(other); };
  };
  const auto any = [](const Row&) { return true; };
  switch (row.effect) {
    case Effect::base: return sets_->both(reach, owed());
    case Effect::refer: return sets_->both(sets_->without(reach, speaking(Effect::refer, others(any))), present());
    case Effect::floor: {
      const auto below = [&](const Row& base, std::int64_t by) { return base.low + by < row.low; };
      const auto lifted =
          sets_->without(landing(false, below),
                         speaking(Effect::floor, others([&](const Row& other) { return other.low >= row.low; })));
      return sets_->both(sets_->both(reach, owed()), lifted);
    }
    case Effect::cap: {
      const auto over = [&](const Row& other) { return other.low > row.low; };
      const auto landed = landing(false, [&](const Row& base, std::int64_t by) { return base.low + by > row.low; });
      const auto high = sets_->either(landed, speaking(Effect::floor, over));
      return sets_->without(sets_->both(sets_->both(reach, owed()), high),
                            speaking(Effect::cap, others([&](const Row& other) { return other.low <= row.low; })));
    }
    case Effect::keep: {
      const auto raised =
          sets_->without(speaking(Effect::base, [&](const Row& base) { return base.low < row.low; }),
                         speaking(Effect::keep, others([&](const Row& other) { return other.low >= row.low; })));
      const auto lowered =
          sets_->without(speaking(Effect::base, [&](const Row& base) { return base.high > row.high; }),
                         speaking(Effect::keep, others([&](const Row& other) { return other.high <= row.high; })));
      return sets_->both(sets_->both(reach, answered()), sets_->either(raised, lowered));
    }
    case Effect::need:
      return sets_->without(reach, sets_->either(speaking(Effect::need, others(any)), speaking(Effect::present)));
    case Effect::omit: return sets_->without(reach, speaking(Effect::omit, others(any)));
    case Effect::suggest:
      return sets_->without(
          sets_->without(reach, speaking(Effect::suggest, others(any))),
          sets_->either(speaking(Effect::present), sets_->either(speaking(Effect::need), speaking(Effect::omit))));
    default: return reach;
  }
}

}  // namespace lacestay::compiler
