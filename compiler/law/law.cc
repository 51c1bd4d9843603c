#include "compiler/law/law.hpp"

#include <algorithm>
#include <optional>

namespace lacestay::compiler {
namespace {

using Kind = Role::Kind;

class Deciding {
 public:
  Deciding(const Tables& tables, const Table& table, std::span<const std::uint32_t> rows)
      : tables_(tables), table_(table) {
    roles_.reserve(rows.size());
    for (const auto row : rows) roles_.push_back({row, Kind::idle, 0});
    if (!table.outranks.empty()) silence();
  }

  Outcome property() {
    const auto& space = tables_.answers[table_.target];
    if (const auto outcome = referred()) return *outcome;
    const auto bases = speaking(Effect::base);
    if (bases.size() > 1) return clash(bases);
    auto* floor = highest(Effect::floor, false);
    auto* cap = lowest_cap();
    if (floor && cap && clash_of(row(*floor), row(*cap)) != Clash::none) return clash({floor, cap});
    if (bases.empty()) return {Standing::gap, 0, 0};
    bases.front()->kind = Kind::decides;
    Outcome outcome{Standing::answered, row(*bases.front()).low, row(*bases.front()).high};
    if (space.band) return narrowed(outcome, bases.front());
    if (floor && row(*floor).low > outcome.low) move(outcome, floor, *bases.front());
    if (cap && row(*cap).low < outcome.low) move(outcome, cap, *bases.front());
    return outcome;
  }

  Outcome piece() {
    const auto presence = tables_.presence[table_.target];
    if (presence == Presence::always) return {Standing::needed, 0, 0};
    if (presence == Presence::conditional) {
      const auto present = speaking(Effect::present);
      for (auto* role : present) role->kind = Kind::decides;
      return {present.empty() ? Standing::not_in_kit : Standing::needed, 0, 0};
    }
    const auto needs = speaking(Effect::need), omits = speaking(Effect::omit), suggests = speaking(Effect::suggest);
    if (!needs.empty() && !omits.empty()) {
      clash(needs);
      return clash(omits);
    }
    const auto settle = [&](const std::vector<Role*>& winners, Standing standing) {
      for (auto* role : winners) role->kind = Kind::decides;
      return Outcome{standing, 0, 0};
    };
    if (!needs.empty() || !omits.empty()) {
      for (auto* role : suggests)
        role->kind = Kind::overruled, role->by = row(*(needs.empty() ? omits : needs).front()).rule;
      return needs.empty() ? settle(omits, Standing::left_out) : settle(needs, Standing::needed);
    }
    return suggests.empty() ? Outcome{Standing::not_in_kit, 0, 0} : settle(suggests, Standing::suggested);
  }

  Outcome caution() {
    for (auto& role : roles_) role.kind = Kind::decides;
    return {roles_.empty() ? Standing::silent : Standing::spoken, 0, 0};
  }

  Outcome detail() {
    if (roles_.size() != 1) return {roles_.empty() ? Standing::gap : Standing::clash, 0, 0};
    roles_.front().kind = Kind::decides;
    return {Standing::answered, row(roles_.front()).low, row(roles_.front()).high};
  }

  std::vector<Role> take_roles() { return std::move(roles_); }

 private:
  const Row& row(const Role& role) const { return table_.rows[role.row]; }

  // An outranked rule still silences the rules it outranks.
  void silence() {
    for (auto& role : roles_) {
      const auto over = std::find_if(roles_.begin(), roles_.end(), [&](const Role& other) {
        return outranks(table_, row(other).rule, row(role).rule);
      });
      if (over == roles_.end()) continue;
      role.kind = Kind::silenced;
      role.by = row(*over).rule;
    }
  }

  std::vector<Role*> speaking(Effect effect) {
    std::vector<Role*> found;
    for (auto& role : roles_)
      if (role.kind != Kind::silenced && row(role).effect == effect) found.push_back(&role);
    return found;
  }

  Role* highest(Effect effect, bool safety_only) {
    Role* found = nullptr;
    for (auto* role : speaking(effect))
      if ((!safety_only || row(*role).safety) && (!found || row(*role).low > row(*found).low)) found = role;
    return found;
  }

  Role* lowest_cap() {
    Role* found = nullptr;
    for (auto* role : speaking(Effect::cap))
      if (!found || row(*role).low < row(*found).low) found = role;
    return found;
  }

  static Outcome clash(const std::vector<Role*>& between) {
    for (auto* role : between) role->kind = Kind::clashes;
    return {Standing::clash, 0, 0};
  }

  std::optional<Outcome> referred() {
    const auto refers = speaking(Effect::refer);
    if (refers.empty()) return std::nullopt;
    const auto* floor = highest(Effect::floor, true);
    for (auto& role : roles_) {
      if (role.kind == Kind::silenced) continue;
      role.kind = row(role).effect == Effect::refer || &role == floor ? Kind::decides : Kind::overruled;
      if (role.kind == Kind::overruled) role.by = row(*refers.front()).rule;
    }
    const auto step = floor ? row(*floor).low : -1;
    return Outcome{Standing::referred, step, step};
  }

  void move(Outcome& outcome, Role* mover, Role& base) {
    outcome.low = outcome.high = row(*mover).low;
    mover->kind = Kind::lifts;
    base.kind = Kind::overruled;
    base.by = row(*mover).rule;
  }

  Outcome narrowed(Outcome outcome, Role* base) {
    std::vector<Role*> narrowing = {base};
    for (auto* role : speaking(Effect::keep)) {
      const auto& keep = row(*role);
      if (allows(keep, outcome.low, outcome.high)) continue;
      outcome.low = std::max(outcome.low, keep.low);
      outcome.high = std::min(outcome.high, keep.high);
      role->kind = Kind::lifts;
      narrowing.push_back(role);
    }
    return outcome.low > outcome.high ? clash(narrowing) : outcome;
  }

  const Tables& tables_;
  const Table& table_;
  std::vector<Role> roles_;
};

}  // namespace

bool outranks(const Table& table, RuleId over, RuleId under) {
  return std::binary_search(table.outranks.begin(), table.outranks.end(), std::pair(over, under));
}

Clash clash_of(const Row& a, const Row& b) {
  const auto are = [&](Effect one, Effect other) { return a.effect == one && b.effect == other; };
  if (are(Effect::base, Effect::base)) return Clash::two_bases;
  if (are(Effect::floor, Effect::cap)) return a.low > b.low ? Clash::floor_over_cap : Clash::none;
  if (are(Effect::need, Effect::omit)) return Clash::need_and_omit;
  if (are(Effect::keep, Effect::keep) || are(Effect::base, Effect::keep))
    return a.high < b.low || b.high < a.low ? Clash::band_emptied : Clash::none;
  const bool turned =
      are(Effect::cap, Effect::floor) || are(Effect::omit, Effect::need) || are(Effect::keep, Effect::base);
  return turned ? clash_of(b, a) : Clash::none;
}

Outcome decide(const Tables& tables, const Table& table, std::span<const std::uint32_t> rows,
               std::vector<Role>* roles) {
  Deciding deciding(tables, table, rows);
  Outcome outcome;
  switch (table.kind) {
    case Table::Kind::property: outcome = deciding.property(); break;
    case Table::Kind::piece: outcome = deciding.piece(); break;
    case Table::Kind::caution: outcome = deciding.caution(); break;
    case Table::Kind::detail: outcome = deciding.detail(); break;
  }
  if (roles) *roles = deciding.take_roles();
  return outcome;
}

bool safety_allows(const Tables& tables, const Table& table, std::span<const std::uint32_t> rows, std::int64_t low,
                   std::int64_t high) {
  std::vector<Role> roles;
  (void)decide(tables, table, rows, &roles);
  return std::all_of(roles.begin(), roles.end(), [&](const Role& role) {
    const auto& row = table.rows[role.row];
    return !row.safety || role.kind == Role::Kind::silenced || allows(row, low, high);
  });
}

}  // namespace lacestay::compiler
