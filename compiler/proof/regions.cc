#include "compiler/proof/regions.hpp"

#include <algorithm>
#include <set>

namespace lacestay::compiler {

Regions::Regions(const Tables& tables, const Table& table, std::size_t budget)
    : tables_(tables), table_(table), sets_(tables.place_counts(), budget) {
  for (const auto& [over, under] : table.outranks) outranked_by_[under].push_back(over);
}

Regions::Set Regions::of_rule(RuleId rule) {
  if (const auto known = of_rule_.find(rule); known != of_rule_.end()) return known->second;
  std::vector<const Box*> boxes;
  for (const auto& row : table_.rows)
    if (row.rule == rule && !is_empty(row.box)) boxes.push_back(&row.box);
  return of_rule_.emplace(rule, sets_.any_of(std::move(boxes))).first->second;
}

Regions::Set Regions::outrankers_of(RuleId rule) {
  if (const auto known = outrankers_.find(rule); known != outrankers_.end()) return known->second;
  auto all = sets_.nobody();
  if (const auto found = outranked_by_.find(rule); found != outranked_by_.end())
    for (const auto over : found->second) all = sets_.either(all, of_rule(over));
  return outrankers_.emplace(rule, all).first->second;
}

bool Regions::related(RuleId a, RuleId b) const {
  const auto has = [&](RuleId over, RuleId under) {
    return std::binary_search(table_.outranks.begin(), table_.outranks.end(), std::pair(over, under));
  };
  return has(a, b) || has(b, a);
}

Regions::Set Regions::lazily(std::optional<Set>& known, Set (Regions::*make)()) {
  if (!known) known = (this->*make)();
  return *known;
}

Regions::Set Regions::present() { return lazily(present_, &Regions::make_present); }
Regions::Set Regions::referred() { return lazily(referred_, &Regions::make_referred); }
Regions::Set Regions::owed() { return lazily(owed_, &Regions::make_owed); }
Regions::Set Regions::crossed() { return lazily(crossed_, &Regions::make_crossed); }
Regions::Set Regions::answered() { return lazily(answered_, &Regions::make_answered); }

Regions::Set Regions::make_present() {
  return piece_present(table_.kind == Table::Kind::property
                           ? tables_.tables[tables_.piece_table(tables_.piece_of[table_.target])]
                           : table_);
}

Regions::Set Regions::piece_present(const Table& piece) {
  if (tables_.presence[piece.target] == Presence::always) return sets_.everybody();
  if (&piece != &table_) {
    // Another table's rules: its own regions, then the same set here.
    std::vector<Box> boxes;
    Regions other(tables_, piece, 4'000'000);
    const auto there = other.present();
    other.sets().each_box(there, [&](const Box& box) {
      boxes.push_back(box);
      return true;
    });
    std::vector<const Box*> pointers;
    for (const auto& box : boxes) pointers.push_back(&box);
    return sets_.any_of(std::move(pointers));
  }
  if (tables_.presence[piece.target] == Presence::conditional) return speaking(Effect::present);
  const auto needed = speaking(Effect::need), omitted = speaking(Effect::omit);
  return sets_.either(sets_.without(needed, omitted),
                      sets_.without(sets_.without(speaking(Effect::suggest), omitted), needed));
}

Regions::Set Regions::make_referred() { return sets_.both(present(), speaking(Effect::refer)); }

Regions::Set Regions::make_owed() { return sets_.without(present(), referred()); }

Regions::Set Regions::make_crossed() {
  std::set<std::int64_t> caps;
  for (const auto& row : table_.rows)
    if (row.effect == Effect::cap) caps.insert(row.low);
  auto all = sets_.nobody();
  for (const auto cap : caps) {
    const auto above = speaking(Effect::floor, [&](const Row& row) { return row.low > cap; });
    const auto held = speaking(Effect::cap, [&](const Row& row) { return row.low == cap; });
    all = sets_.either(all, sets_.both(above, held));
  }
  return all;
}

std::optional<std::vector<const Box*>> Regions::bases_together() const {
  std::set<RuleId> bases, others;
  std::vector<const Box*> boxes;
  for (const auto& row : table_.rows) {
    if (row.effect != Effect::base && row.effect != Effect::refer) others.insert(row.rule);
    if (row.effect != Effect::base) continue;
    bases.insert(row.rule);
    if (!is_empty(row.box)) boxes.push_back(&row.box);
  }
  for (const auto& [over, under] : table_.outranks)
    if (others.count(over) != 0 && bases.count(under) != 0) return std::nullopt;
  return boxes;
}

Regions::Set Regions::make_answered() { return sets_.both(owed(), speaking(Effect::base)); }

Regions::Set Regions::at_least(std::int64_t step, bool upper_end) {
  const auto known = at_least_.find({step, upper_end});
  if (known != at_least_.end()) return known->second;
  return at_least_.emplace(std::pair(step, upper_end), make_at_least(step, upper_end)).first->second;
}

Regions::Set Regions::make_at_least(std::int64_t step, bool upper_end) {
  const bool band = tables_.answers[table_.target].band;
  Set reached;
  if (band && upper_end) {
    reached = sets_.without(speaking(Effect::base, [&](const Row& row) { return row.high >= step; }),
                            speaking(Effect::keep, [&](const Row& row) { return row.high < step; }));
  } else if (band) {
    reached = sets_.either(speaking(Effect::base, [&](const Row& row) { return row.low >= step; }),
                           speaking(Effect::keep, [&](const Row& row) { return row.low >= step; }));
  } else {
    const auto lifted = sets_.either(speaking(Effect::base, [&](const Row& row) { return row.low >= step; }),
                                     speaking(Effect::floor, [&](const Row& row) { return row.low >= step; }));
    reached = sets_.without(lifted, speaking(Effect::cap, [&](const Row& row) { return row.low < step; }));
  }
  return sets_.both(answered(), reached);
}

}  // namespace lacestay::compiler
