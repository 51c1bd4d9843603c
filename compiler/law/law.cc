#include "compiler/law/law.hpp"

#include <algorithm>
#include <bit>
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
    for (auto* base : bases)
      for (auto* step : speaking(Effect::step))
        if (clash_of(row(*base), row(*step)) != Clash::none) return clash({base, step});
    auto* floor = highest_floor(any);
    auto* cap = lowest_cap(any);
    if (floor && cap && clash_of(row(*floor), row(*cap)) != Clash::none) return clash({floor, cap});
    if (bases.empty()) return {Standing::gap, 0, 0};
    const auto landing = stepped(Standing::answered, *bases.front(), any);
    if (!landing) return {Standing::gap, 0, 0};
    if (space.band) return narrowed(*landing, bases.front(), any);
    return space.ordered ? moved(*landing, floor, cap, *bases.front()) : chosen(*landing, bases.front(), any);
  }

  Outcome piece() {
    if (tables_.presence[table_.target] == Presence::always) return {Standing::needed, 0, 0};
    auto needs = speaking(Effect::present);
    if (is_declared(tables_, table_)) {
      for (auto* role : needs) role->kind = Kind::decides;
      return {needs.empty() ? Standing::not_in_kit : Standing::needed, 0, 0};
    }
    for (auto* role : speaking(Effect::need)) needs.push_back(role);
    const auto omits = speaking(Effect::omit), suggests = speaking(Effect::suggest);
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

  // Which rows are asked.
  using Which = bool (*)(const Row&);
  static bool any(const Row&) { return true; }
  static bool of_safety(const Row& row) { return row.safety; }
  static bool none(const Row&) { return false; }

  std::vector<Role*> speaking(Effect effect, Which which) {
    auto found = speaking(effect);
    std::erase_if(found, [&](const Role* role) { return !which(row(*role)); });
    return found;
  }
  Role* highest_floor(Which which) {
    Role* found = nullptr;
    for (auto* role : speaking(Effect::floor, which))
      if (!found || row(*role).low > row(*found).low) found = role;
    return found;
  }
  Role* lowest_cap(Which which) {
    Role* found = nullptr;
    for (auto* role : speaking(Effect::cap, which))
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
    for (auto& role : roles_) {
      if (role.kind == Kind::silenced) continue;
      role.kind = row(role).effect == Effect::refer ? Kind::decides : Kind::overruled;
      if (role.kind == Kind::overruled) role.by = row(*refers.front()).rule;
    }
    return beside_refer();
  }

  // What the safety rules come to without the others. They need no base.
  Outcome beside_refer() {
    const auto which = tables_.safety_reaches_items ? of_safety : none;
    const auto bases = speaking(Effect::base, which);
    if (bases.size() > 1) return clash(bases);
    auto* floor = highest_floor(of_safety);
    auto* cap = lowest_cap(which);
    if (floor && cap && clash_of(row(*floor), row(*cap)) != Clash::none) return clash({floor, cap});
    Outcome outcome{Standing::referred, -1, -1};
    const auto decides = [](Role& role) { role.kind = Kind::decides; };
    auto* base = bases.empty() ? nullptr : bases.front();
    if (base) {
      const auto landing = stepped(Standing::referred, *base, which);
      if (!landing) return {Standing::gap, 0, 0};
      outcome = *landing;
    }
    if (tables_.answers[table_.target].band) {
      if (!base && speaking(Effect::keep, which).empty()) return outcome;
      if (!base) outcome.low = 0, outcome.high = std::int64_t{tables_.answers[table_.target].steps} - 1;
      return narrowed(outcome, base, which);
    }
    if (!tables_.answers[table_.target].ordered) {
      if (!base && speaking(Effect::keep, which).empty()) return outcome;
      if (!base) outcome.low = outcome.high = answer_of(all_members(tables_.answers[table_.target].steps));
      return chosen(outcome, base, which);
    }
    if (base) return moved(outcome, floor, cap, *base);
    if (floor) outcome.low = row(*floor).low, decides(*floor);
    if (cap) outcome.high = row(*cap).low, decides(*cap);
    return outcome;
  }

  // The base, moved by all steps that are asked; nothing where it lands past the range.
  std::optional<Outcome> stepped(Standing standing, Role& base, Which which) {
    Outcome outcome{standing, row(base).low, row(base).high};
    base.kind = Kind::decides;
    const auto steps = speaking(Effect::step, which);
    if (steps.empty()) return outcome;
    for (auto* step : steps) {
      outcome.low += row(*step).low;
      outcome.high += row(*step).low;
      step->kind = Kind::lifts;
    }
    overrule(base, *steps.front());
    const bool within = 0 <= outcome.low && outcome.high < std::int64_t{tables_.answers[table_.target].steps};
    return within ? std::optional(outcome) : std::nullopt;
  }

  // One value by the highest floor and the lowest cap, which may be absent.
  Outcome moved(Outcome outcome, Role* floor, Role* cap, Role& base) {
    if (floor && row(*floor).low > outcome.low) move(outcome, floor, base);
    if (cap && row(*cap).low < outcome.low) move(outcome, cap, base);
    return outcome;
  }
  void move(Outcome& outcome, Role* mover, Role& base) {
    outcome.low = outcome.high = row(*mover).low;
    for (auto& role : roles_)
      if (role.kind == Kind::lifts) overrule(role, *mover);  // the base's steps
    overrule(base, *mover);
    mover->kind = Kind::lifts;
  }
  void overrule(Role& role, const Role& by) {
    role.kind = Kind::overruled;
    role.by = row(by).rule;
  }

  // A band by the keeps that are asked. `base` may be absent: then by them alone.
  Outcome narrowed(Outcome outcome, Role* base, Which which) {
    std::vector<Role*> narrowing;
    if (base) narrowing.push_back(base);
    for (auto* role : speaking(Effect::keep, which)) {
      const auto& keep = row(*role);
      if (allows(keep, outcome.low, outcome.high)) continue;
      outcome.low = std::max(outcome.low, keep.low);
      outcome.high = std::min(outcome.high, keep.high);
      role->kind = Kind::lifts;
      narrowing.push_back(role);
    }
    return outcome.low > outcome.high ? clash(narrowing) : outcome;
  }

  // A choice by the keeps that are asked: what is left of its members. `base` may be absent: then by them alone.
  Outcome chosen(Outcome outcome, Role* base, Which which) {
    std::vector<Role*> narrowing;
    if (base) narrowing.push_back(base);
    const auto keeps = speaking(Effect::keep, which);
    if (keeps.empty()) return outcome;
    auto members = members_of(outcome.low);
    for (auto* role : keeps) {
      const auto left = members & members_of(row(*role).low);
      if (left == members) continue;
      members = left;
      role->kind = Kind::lifts;
      narrowing.push_back(role);
    }
    if (members == 0) return clash(narrowing);
    outcome.low = outcome.high = answer_of(members);
    return outcome;
  }

  const Tables& tables_;
  const Table& table_;
  std::vector<Role> roles_;
};

// Of rows of a property that apply.
std::vector<std::uint32_t> speaking_rows(const Tables& tables, const Table& table,
                                         std::span<const std::uint32_t> rows) {
  std::vector<std::uint32_t> all;
  for (const auto& role : Deciding(tables, table, rows).take_roles())
    if (role.kind != Kind::silenced) all.push_back(role.row);
  return all;
}

}  // namespace

bool outranks(const Table& table, RuleId over, RuleId under) {
  return std::binary_search(table.outranks.begin(), table.outranks.end(), std::pair(over, under));
}

Clash clash_of(const Row& a, const Row& b) {
  const auto are = [&](Effect one, Effect other) { return a.effect == one && b.effect == other; };
  if (are(Effect::base, Effect::base)) return Clash::two_bases;
  if (are(Effect::base, Effect::step)) return a.safety && !b.safety ? Clash::safety_base_moved : Clash::none;
  if (are(Effect::floor, Effect::cap)) return a.low > b.low ? Clash::floor_over_cap : Clash::none;
  if (are(Effect::need, Effect::omit)) return Clash::need_and_omit;
  const bool narrows = are(Effect::keep, Effect::keep) || are(Effect::base, Effect::keep);
  if (narrows && (leaves_open(a.low) || leaves_open(b.low)))
    return (members_of(a.low) & members_of(b.low)) == 0 ? Clash::band_emptied : Clash::none;
  if (narrows) return a.high < b.low || b.high < a.low ? Clash::band_emptied : Clash::none;
  const bool turned = are(Effect::step, Effect::base) || are(Effect::cap, Effect::floor) ||
                      are(Effect::omit, Effect::need) || are(Effect::keep, Effect::base);
  return turned ? clash_of(b, a) : Clash::none;
}

Outcome decide(const Tables& tables, const Table& table, std::span<const std::uint32_t> rows,
               std::vector<Role>* roles) {
  Deciding deciding(tables, table, rows);
  Outcome outcome;
  switch (table.kind) {
    case Table::Kind::property: outcome = deciding.property(); break;
    case Table::Kind::piece: outcome = deciding.piece(); break;
    case Table::Kind::caution:
    case Table::Kind::shop_line: outcome = deciding.caution(); break;
    case Table::Kind::detail: outcome = deciding.detail(); break;
  }
  if (roles) *roles = deciding.take_roles();
  return outcome;
}

std::vector<std::uint32_t> binding_rows(const Tables& tables, const Table& table, std::span<const std::uint32_t> rows) {
  std::vector<std::uint32_t> all;
  for (const auto row : speaking_rows(tables, table, rows))
    if (table.rows[row].binds) all.push_back(row);
  return all;
}

ItemBounds item_bounds(const Tables& tables, const Table& table, std::span<const std::uint32_t> rows) {
  const auto last = std::int64_t{tables.answers[table.target].steps} - 1;
  ItemBounds bounds{0, last, false};
  for (const auto row : binding_rows(tables, table, rows)) {
    const auto own = bounds_of(table.rows[row], last);
    bounds = {std::max(bounds.low, own.low), std::min(bounds.high, own.high), bounds.base || own.base,
              bounds.among && own.among ? std::optional(*bounds.among & *own.among)
              : own.among               ? own.among
                                        : bounds.among};
  }
  if (!bounds.among) return bounds;
  // What is left of a choice is said in one way, whichever rows leave it: one member as a step, all of them as no
  // bound.
  MemberSet left = 0;
  for (auto member = bounds.low; member <= bounds.high; ++member) left |= *bounds.among & MemberSet{1} << member;
  if (std::has_single_bit(left)) return {answer_of(left), answer_of(left), bounds.base};
  return {0, last, bounds.base,
          left == all_members(static_cast<std::uint32_t>(last + 1)) ? std::nullopt : std::optional(left)};
}

bool safety_allows(const Tables& tables, const Table& table, std::span<const std::uint32_t> rows, std::int64_t low,
                   std::int64_t high) {
  const auto speaking = speaking_rows(tables, table, rows);
  return std::all_of(speaking.begin(), speaking.end(),
                     [&](auto row) { return !table.rows[row].safety || allows(table.rows[row], low, high); });
}

}  // namespace lacestay::compiler
