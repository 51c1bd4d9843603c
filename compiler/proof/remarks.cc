// Remarks: rows, limits and outranks that decide nothing, and answers nobody can get.
//
// A row decides where leaving it out changes somebody's outcome; an outranks, where ignoring it does. Most rows only
// speak, and what follows from their silence is a formula over sets. A rule that outranks others keeps them silent as
// well: there the table is told twice, as it is and with the rule left out, and the two are compared.
#include <algorithm>
#include <map>
#include <set>

#include "compiler/proof/prover.hpp"
#include "compiler/tables/boxes.hpp"

namespace lacestay::compiler {
namespace {

using Set = Regions::Set;
using RulePair = std::pair<RuleId, RuleId>;

// Past this many pairs of rules of which one outranks the other, looking at each costs more than it tells.
constexpr std::size_t most_pairs = 1'000;

// Who outranks whom, closed; and what follows from what. An outranks that is written although it follows from others
// can't be told from them, and counts as following.
class Outranking {
 public:
  explicit Outranking(const std::vector<RulePair>& pairs) {
    for (const auto& [over, under] : pairs) under_[over].insert(under);
    std::map<RuleId, std::set<RuleId>> closed;
    for (const auto& [over, unused] : under_) closed[over] = reached(over, under_);
    under_ = std::move(closed);
    for (const auto& [over, all] : under_)
      for (const auto under : all)
        if (!follows(over, under)) direct_[over].insert(under);
  }

  [[nodiscard]] bool is_direct(const RulePair& pair) const {
    const auto found = direct_.find(pair.first);
    return found != direct_.end() && found->second.count(pair.second) != 0;
  }
  [[nodiscard]] std::vector<RulePair> direct() const {
    std::vector<RulePair> all;
    for (const auto& [over, unders] : direct_)
      for (const auto under : unders) all.emplace_back(over, under);
    return all;
  }
  // What would no longer hold without a direct one: itself, and what follows only through it.
  [[nodiscard]] std::vector<RulePair> resting_on(const RulePair& pair) const {
    auto others = direct_;
    others[pair.first].erase(pair.second);
    std::vector<RulePair> resting;
    for (const auto& [over, all] : under_) {
      if (over != pair.first && all.count(pair.first) == 0) continue;
      const auto left = reached(over, others);
      for (const auto under : all)
        if (left.count(under) == 0) resting.emplace_back(over, under);
    }
    return resting;
  }

 private:
  using Steps = std::map<RuleId, std::set<RuleId>>;

  static std::set<RuleId> reached(RuleId from, const Steps& steps) {
    std::set<RuleId> all;
    std::vector<RuleId> waiting = {from};
    while (!waiting.empty()) {
      const auto next = steps.find(waiting.back());
      waiting.pop_back();
      if (next == steps.end()) continue;
      for (const auto rule : next->second)
        if (all.insert(rule).second) waiting.push_back(rule);
    }
    return all;
  }
  [[nodiscard]] bool follows(RuleId over, RuleId under) const {
    const auto& all = under_.at(over);
    return std::any_of(all.begin(), all.end(), [&](RuleId between) {
      const auto found = under_.find(between);
      return found != under_.end() && found->second.count(under) != 0;
    });
  }

  Steps under_, direct_;
};

// Some players' outcomes by one table: as it is, or with a rule or some of its outranks left out.
class Version {
 public:
  // `within` holds present players only.
  Version(const Tables& tables, Regions& who, Set within)
      : sets_(who.sets()), within_(within), table_(who.table()), outranks_(table_.outranks) {
    band_ = table_.kind == Table::Kind::property && tables.answers[table_.target].band;
    for (const auto& row : table_.rows)
      if (sets_.both(sets_.box(row.box), within) != sets_.nobody()) rows_.push_back(&row);
  }
  void leave_out(RuleId rule) {
    std::erase_if(rows_, [&](const Row* row) { return row->rule == rule; });
    std::erase_if(outranks_, [&](const RulePair& pair) { return pair.first == rule; });
  }
  void leave_out(const std::vector<RulePair>& pairs) {
    std::erase_if(outranks_,
                  [&](const RulePair& pair) { return std::binary_search(pairs.begin(), pairs.end(), pair); });
  }

  // Whose outcome differs. Here, `this` must be without gaps and clashes.
  [[nodiscard]] Set differs(Version& other) {
    std::set<std::int64_t> lows, highs;
    for (const auto* row : rows_) lows.insert(row->low), highs.insert(row->high);
    for (const auto* row : other.rows_) lows.insert(row->low), highs.insert(row->high);
    const auto mine = told(lows, highs), others = other.told(lows, highs);
    auto all = sets_.nobody();
    for (std::size_t i = 0; i < mine.size(); ++i) {
      all = sets_.either(all, sets_.without(mine[i], others[i]));
      all = sets_.either(all, sets_.without(others[i], mine[i]));
    }
    return all;
  }

 private:
  // Sets of players that together tell the outcome of each.
  std::vector<Set> told(const std::set<std::int64_t>& lows, const std::set<std::int64_t>& highs) {
    const auto any = [](const Row&) { return true; };
    if (table_.kind == Table::Kind::piece) {
      const auto needed = speaking(Effect::need, any), omitted = speaking(Effect::omit, any);
      return {needed, omitted, sets_.without(speaking(Effect::suggest, any), sets_.either(needed, omitted))};
    }
    const auto referred = speaking(Effect::refer, any);
    auto clashing = two_bases();
    std::vector<Set> ends;
    // From the highest step down: whose lower end is lifted to the step or past it, and whose upper end is.
    auto floored = sets_.nobody(), lifted = floored, upper = floored;
    for (auto step = lows.rbegin(); step != lows.rend(); ++step) {
      const auto here = [&](const Row& row) { return row.low == *step; };
      const auto capped = speaking(Effect::cap, [&](const Row& row) { return row.low < *step; });
      floored = sets_.either(floored, speaking(Effect::floor, here));
      lifted = sets_.either(lifted, sets_.either(speaking(Effect::base, here), speaking(Effect::keep, here)));
      clashing = sets_.either(clashing, sets_.both(floored, capped));
      ends.push_back(sets_.without(sets_.either(lifted, floored), capped));
    }
    for (auto step = highs.rbegin(); band_ && step != highs.rend(); ++step) {
      upper = sets_.either(upper, speaking(Effect::base, [&](const Row& row) { return row.high == *step; }));
      ends.push_back(sets_.without(upper, speaking(Effect::keep, [&](const Row& row) { return row.high < *step; })));
    }
    clashing = sets_.without(clashing, referred);
    const auto answered = sets_.without(sets_.without(speaking(Effect::base, any), referred), clashing);
    std::vector<Set> all = {referred, clashing, answered};
    for (const auto end : ends) all.push_back(sets_.both(answered, end));
    // A safety floor stands beside what is left to the fitter.
    for (const auto step : lows)
      all.push_back(
          sets_.both(referred, speaking(Effect::floor, [&](const Row& row) { return row.safety && row.low >= step; })));
    return all;
  }

  template <typename Keep>
  std::map<RuleId, Set> by_rule(Effect effect, Keep keep) {
    std::map<RuleId, std::vector<const Box*>> boxes;
    for (const auto* row : rows_)
      if (row->effect == effect && keep(*row)) boxes[row->rule].push_back(&row->box);
    std::map<RuleId, Set> all;
    for (auto& [rule, held] : boxes)
      all[rule] = sets_.without(sets_.both(sets_.any_of(held), within_), silencers(rule));
    return all;
  }
  template <typename Keep>
  Set speaking(Effect effect, Keep keep) {
    auto all = sets_.nobody();
    for (const auto& [rule, set] : by_rule(effect, keep)) all = sets_.either(all, set);
    return all;
  }
  Set two_bases() {
    auto one = sets_.nobody(), two = one;
    for (const auto& [rule, set] : by_rule(Effect::base, [](const Row&) { return true; })) {
      two = sets_.either(two, sets_.both(one, set));
      one = sets_.either(one, set);
    }
    return two;
  }
  Set silencers(RuleId rule) {
    if (const auto known = silencers_.find(rule); known != silencers_.end()) return known->second;
    std::vector<const Box*> boxes;
    for (const auto* row : rows_)
      if (std::binary_search(outranks_.begin(), outranks_.end(), RulePair(row->rule, rule))) boxes.push_back(&row->box);
    return silencers_.emplace(rule, sets_.both(sets_.any_of(boxes), within_)).first->second;
  }

  Diagrams& sets_;
  Set within_;
  const Table& table_;
  bool band_ = false;
  std::vector<const Row*> rows_;     // those that meet `within`
  std::vector<RulePair> outranks_;   // that hold
  std::map<RuleId, Set> silencers_;  // by rule
};

// A piece whose declaration tells who has it: need, omit and suggest change nothing.
bool is_declared(const Tables& tables, const Table& table) {
  return table.kind == Table::Kind::piece && tables.presence[table.target] != Presence::optional;
}

bool outranks_some(const Table& table, RuleId rule) {
  const auto first = std::lower_bound(table.outranks.begin(), table.outranks.end(), RulePair(rule, 0));
  return first != table.outranks.end() && first->first == rule;
}

}  // namespace

// Who would get another answer if a row of a rule that outranks none were not there.
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

// Of a table that is refused only what no player meets is told: a row may decide once the gaps and clashes are mended.
void Prover::idle_rows(Regions& who, bool refused) {
  const auto& table = who.table();
  auto& sets = who.sets();
  const bool declared = is_declared(proof_.tables, table);
  const auto scope = who.concerned();
  const bool all_owed = table.kind == Table::Kind::property && who.owed() == sets.everybody();
  std::map<RuleId, Set> changed;
  // The rows of one rule lie apart, so for whom one applies it is the same whether it is left out or the whole rule.
  const auto changed_without = [&](RuleId rule) {
    if (const auto known = changed.find(rule); known != changed.end()) return known->second;
    const auto within = sets.both(who.of_rule(rule), scope);
    Version as_it_is(proof_.tables, who, within), without(proof_.tables, who, within);
    without.leave_out(rule);
    return changed.emplace(rule, as_it_is.differs(without)).first->second;
  };
  for (std::uint32_t i = 0; i < table.rows.size(); ++i) {
    const auto& row = table.rows[i];
    if (row.effect == Effect::present || (declared && row.safety)) continue;
    const bool outranks = outranks_some(table, row.rule);
    if (row.effect == Effect::base && all_owed && on_asked_alone(proof_.tables, row.box) && !is_empty(row.box) &&
        !who.yields(row.rule) && !outranks)
      continue;  // it decides for all it applies to
    // One step of a size that no player needs is told with the answers nobody can get.
    if (policy_.rules[row.rule].sized_from) continue;
    const auto applies = sets.both(sets.box(row.box), scope);
    if (!refused && !declared &&
        somebody(who, outranks ? sets.both(changed_without(row.rule), applies) : decides(who, i)))
      continue;
    const bool met = !is_empty(row.box) && somebody(who, applies);
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
  auto& sets = who.sets();
  if (table.outranks.size() > most_pairs) return;
  const bool declared = is_declared(proof_.tables, table);
  const Outranking outranking(table.outranks);
  for (const auto& pair : outranking.direct()) {
    if (!declared) {
      const auto resting = outranking.resting_on(pair);
      auto over = sets.nobody(), under = over;
      for (const auto& lost : resting) {
        over = sets.either(over, who.of_rule(lost.first));
        under = sets.either(under, who.of_rule(lost.second));
      }
      const auto within = sets.both(sets.both(over, under), who.concerned());
      if (somebody(who, within)) {
        Version as_it_is(proof_.tables, who, within), without(proof_.tables, who, within);
        without.leave_out(resting);
        if (somebody(who, as_it_is.differs(without))) continue;
      }
    }
    Finding finding;
    finding.kind = Finding::Kind::idle_outranks;
    finding.rules = {pair.first, pair.second};
    add(std::move(finding));
  }
}

// An outranks between rules that speak about several answers is told once, and where it decides none of them. While a
// rule is met by nobody, and so stands in no table, what follows through it looks as if it were written: none is told.
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

void Prover::unreached(Regions& who) {
  const auto& space = proof_.tables.answers[who.table().target];
  const auto& rows = who.table().rows;
  auto& sets = who.sets();
  std::vector<bool> reached(space.steps);
  if (std::any_of(rows.begin(), rows.end(), [](const Row& row) { return row.effect == Effect::keep; })) {
    // Bands that are narrowed: from one end of a band to the next, all steps are alike.
    std::set<std::uint32_t> ends = {space.steps};
    for (const auto& row : rows)
      if (row.effect == Effect::base || row.effect == Effect::keep)
        ends.insert({static_cast<std::uint32_t>(row.low), static_cast<std::uint32_t>(row.high) + 1});
    for (auto end = ends.begin(); *end != space.steps; ++end)
      if (somebody(who, sets.without(who.at_least(*end, true), who.at_least(*end + 1, false))))
        std::fill(reached.begin() + *end, reached.begin() + *std::next(end), true);
  } else {
    const bool limited = std::any_of(rows.begin(), rows.end(), [](const Row& row) {
      return row.effect == Effect::floor || row.effect == Effect::cap;
    });
    for (std::uint32_t i = 0; i < rows.size(); ++i) {
      const auto& row = rows[i];
      const bool speaks = row.effect == Effect::base || row.effect == Effect::floor || row.effect == Effect::cap;
      if (!speaks || is_empty(row.box)) continue;
      const auto first = reached.begin() + row.low, end = reached.begin() + row.high + 1;
      if (std::all_of(first, end, [](bool known) { return known; })) continue;
      auto set = sets.both(who.of_row(i), who.answered());
      if (limited && space.ordered && !space.band)  // the answer is this step: at least it, and no higher
        set = sets.without(sets.both(set, who.at_least(row.low, false)), who.at_least(row.low + 1, false));
      if (somebody(who, set)) std::fill(first, end, true);
    }
  }
  Finding finding;
  finding.kind = Finding::Kind::unreached;
  for (std::uint32_t step = 0; step < reached.size(); ++step)
    if (!reached[step]) finding.steps.push_back(step);
  if (!finding.steps.empty()) add(std::move(finding));
}

}  // namespace lacestay::compiler
