#include "compiler/law/regions.hpp"

#include <algorithm>
#include <numeric>
#include <set>

namespace lacestay::compiler {
namespace {

template <typename Known, typename Make>
const Known& lazily(std::optional<Known>& known, Make make) {
  if (!known) known = make();
  return *known;
}

constexpr auto any_row = [](const Row&) { return true; };
constexpr auto of_safety = [](const Row& row) { return row.safety; };

}  // namespace

Regions::Regions(const Tables& tables, const Table& table, std::size_t budget)
    : tables_(tables),
      table_(table),
      budget_(budget),
      band_(table.kind == Table::Kind::property && tables.answers[table.target].band),
      sets_(std::make_shared<Diagrams>(tables.place_counts(), budget)),
      within_(sets_->everybody()) {
  const bool ordered = table.kind != Table::Kind::property || tables.answers[table.target].ordered;
  for (const auto& row : table.rows) {
    if (!is_empty(row.box)) rows_.push_back(&row);
    limited_ |= moves_answer(row.effect);
    binds_ |= row.binds;
    stepped_ |= moves_base(row.effect);
    left_open_ |= names_steps(row.effect) && (leaves_open(row.low) || (!ordered && narrows_band(row.effect)));
  }
  for (const auto& [over, under] : table.outranks) outranked_by_[under].push_back(over);
}

Regions::Set Regions::of_rule(RuleId rule) {
  if (const auto known = of_rule_.find(rule); known != of_rule_.end()) return known->second;
  std::vector<const Box*> boxes;
  for (const auto* row : rows_)
    if (row->rule == rule) boxes.push_back(&row->box);
  return of_rule_.emplace(rule, among(std::move(boxes))).first->second;
}

Regions::Set Regions::outrankers_of(RuleId rule) {
  if (const auto known = outrankers_.find(rule); known != outrankers_.end()) return known->second;
  auto all = sets_->nobody();
  if (const auto found = outranked_by_.find(rule); found != outranked_by_.end())
    for (const auto over : found->second) all = sets_->either(all, of_rule(over));
  return outrankers_.emplace(rule, all).first->second;
}

Regions::Set Regions::present() {
  return lazily(present_, [&] {
    if (table_.kind != Table::Kind::property) return sets_->either(needed(), suggested());
    const auto& piece = tables_.tables[tables_.piece_table(tables_.piece_of[table_.target])];
    if (tables_.presence[piece.target] == Presence::always) return sets_->everybody();
    return of_other(piece, &Regions::present);
  });
}

Regions::Set Regions::of_other(const Table& other, Set (Regions::*which)()) {
  std::vector<Box> boxes;
  Regions there(tables_, other, budget_);
  const auto set = (there.*which)();
  there.sets().each_box(set, [&](const Box& box) {
    boxes.push_back(box);
    return true;
  });
  std::vector<const Box*> pointers;
  for (const auto& box : boxes) pointers.push_back(&box);
  return sets_->any_of(std::move(pointers));
}

Regions::Set Regions::needed() {
  if (tables_.presence[table_.target] == Presence::always) return within_;
  const auto declared = speaking(Effect::present);
  if (is_declared(tables_, table_)) return declared;
  return sets_->either(declared, sets_->without(speaking(Effect::need), speaking(Effect::omit)));
}

Regions::Set Regions::suggested() {
  if (is_declared(tables_, table_)) return sets_->nobody();
  return sets_->without(sets_->without(speaking(Effect::suggest), speaking(Effect::omit)),
                        sets_->either(speaking(Effect::need), speaking(Effect::present)));
}

Regions::Set Regions::left_out() {
  if (is_declared(tables_, table_)) return sets_->nobody();
  return sets_->without(speaking(Effect::omit), speaking(Effect::need));
}

Regions::Set Regions::to_fitter() {
  return lazily(to_fitter_, [&] { return sets_->both(present(), speaking(Effect::refer)); });
}

Regions::Set Regions::referred() { return sets_->without(to_fitter(), sets_->either(crossed_beside(), past_range())); }

Regions::Set Regions::crossed_beside() {
  return lazily(crossed_beside_, [&] {
    if (to_fitter() == sets_->nobody() || !tables_.safety_reaches_items) return sets_->nobody();
    const auto crossed = sets_->either(two_bases(of_safety), floors_over_caps(of_safety));
    return sets_->both(to_fitter(), sets_->either(crossed, bands_apart(of_safety)));
  });
}

// Of one value the base is moved by floors and caps, of which none are crossed; without a base they stand themselves.
Regions::Set Regions::referred_from(std::int64_t step) {
  if (referred() == sets_->nobody()) return referred();
  const auto from_here = [&](const Row& row) { return row.safety && row.low >= step; };
  auto reached = speaking(Effect::floor, from_here);
  if (tables_.safety_reaches_items) {
    const auto lowered = speaking(Effect::cap, [&](const Row& row) { return row.safety && row.low < step; });
    const auto landed = landing(true, [&](const Row& row, std::int64_t by) { return row.low + by >= step; });
    reached = sets_->either(reached, sets_->without(landed, lowered));
    reached = sets_->either(reached, speaking(Effect::keep, from_here));
  }
  return sets_->both(referred(), reached);
}

Regions::Set Regions::referred_up_to(std::int64_t step) {
  if (referred() == sets_->nobody() || !tables_.safety_reaches_items) return sets_->nobody();
  const auto up_to_here = [&](const Row& row) { return row.safety && row.high <= step; };
  const auto lifted = speaking(Effect::floor, [&](const Row& row) { return row.safety && row.low > step; });
  auto held = sets_->either(speaking(Effect::cap, up_to_here), speaking(Effect::keep, up_to_here));
  const auto landed = landing(true, [&](const Row& row, std::int64_t by) { return row.high + by <= step; });
  held = sets_->either(held, sets_->without(landed, lifted));
  return sets_->both(referred(), held);
}

Regions::Set Regions::to_fitter_elsewhere() {
  auto all = sets_->nobody();
  for (std::uint32_t property = 0; property < tables_.piece_of.size(); ++property)
    if (property != table_.target && tables_.piece_of[property] == tables_.piece_of[table_.target])
      all = sets_->either(all, of_other(tables_.tables[tables_.property_table(property)], &Regions::to_fitter));
  return all;
}

Regions::Set Regions::owed() {
  return lazily(owed_, [&] { return sets_->without(present(), to_fitter()); });
}

template <typename Keep>
Regions::Set Regions::floors_over_caps(Keep keep) {
  std::set<std::int64_t> caps;
  for (const auto* row : rows_)
    if (row->effect == Effect::cap && keep(*row)) caps.insert(row->low);
  auto all = sets_->nobody();
  for (const auto cap : caps) {
    const auto above = speaking(Effect::floor, [&](const Row& row) { return keep(row) && row.low > cap; });
    const auto held = speaking(Effect::cap, [&](const Row& row) { return keep(row) && row.low == cap; });
    all = sets_->either(all, sets_->both(above, held));
  }
  return all;
}

Regions::Set Regions::crossed() {
  return lazily(crossed_, [&] { return floors_over_caps(any_row); });
}

Regions::Set Regions::forbidden(std::int64_t step) {
  const auto forbids = [&](const Row& row) { return row.binds && !allows(row, step, step); };
  auto all = sets_->nobody();
  for (const auto effect : {Effect::floor, Effect::cap, Effect::keep})
    all = sets_->either(all, speaking(effect, forbids));
  return all;
}

Regions::Set Regions::with_binding_base() {
  const auto binding = [](const Row& row) { return row.binds; };
  return sets_->either(speaking(Effect::base, binding), speaking(Effect::step, binding));
}

Regions::Set Regions::with_base() {
  return lazily(with_base_, [&] { return sets_->both(owed(), speaking(Effect::base)); });
}

Regions::Set Regions::answered() {
  return lazily(answered_, [&] { return sets_->without(with_base(), sets_->either(clash(), past_range())); });
}

Regions::Set Regions::past_range() {
  return lazily(past_range_, [&] {
    if (!stepped_) return sets_->nobody();
    const auto last = std::int64_t{tables_.answers[table_.target].steps} - 1;
    const auto past = [last](const Row& row, std::int64_t by) { return row.low + by < 0 || row.high + by > last; };
    const auto all =
        sets_->either(sets_->both(owed(), landing(false, past)), sets_->both(to_fitter(), landing(true, past)));
    return sets_->without(all, clash());
  });
}

// Each row splits those who were moved so far into whom it moves and whom it does not.
const Regions::Moves& Regions::moves(bool of_safety) {
  return lazily(of_safety ? moves_of_safety_ : moves_, [&] {
    Moves all = {{0, within_}};
    for (const auto* row : rows_) {
      if (!moves_base(row->effect) || (of_safety && !row->safety)) continue;
      const auto moved = sets_->without(sets_->box(row->box), outrankers_of(row->rule));
      Moves next;
      const auto add = [&](std::int64_t by, Set who) {
        if (who == sets_->nobody()) return;
        const auto [known, fresh] = next.emplace(by, who);
        if (!fresh) known->second = sets_->either(known->second, who);
      };
      for (const auto& [by, who] : all) {
        add(by, sets_->without(who, moved));
        add(by + row->low, sets_->both(who, moved));
      }
      all = std::move(next);
    }
    return all;
  });
}

std::set<std::int64_t> Regions::sums_of_moves() const {
  std::set<std::int64_t> sums = {0};
  for (const auto* row : rows_) {
    if (!moves_base(row->effect)) continue;
    const auto before = sums;
    for (const auto sum : before) sums.insert(sum + row->low);
  }
  return sums;
}

Regions::Set Regions::at_least(std::int64_t step, bool upper_end) {
  const std::pair asked(step, upper_end && band_);
  if (const auto known = at_least_.find(asked); known != at_least_.end()) return known->second;
  return at_least_.emplace(asked, make_at_least(asked.first, asked.second)).first->second;
}

Regions::Set Regions::make_at_least(std::int64_t step, bool upper_end) {
  const auto from_here = [&](const Row& row) { return row.low >= step; };
  Set reached;
  if (upper_end) {
    reached = sets_->without(speaking(Effect::base, [&](const Row& row) { return row.high >= step; }),
                             speaking(Effect::keep, [&](const Row& row) { return row.high < step; }));
  } else if (band_) {
    reached = sets_->either(speaking(Effect::base, from_here), speaking(Effect::keep, from_here));
  } else {
    const auto landed = landing(false, [&](const Row& row, std::int64_t by) { return row.low + by >= step; });
    const auto lifted = sets_->either(landed, speaking(Effect::floor, from_here));
    reached = sets_->without(lifted, speaking(Effect::cap, [&](const Row& row) { return row.low < step; }));
  }
  return sets_->both(answered(), reached);
}

Regions::Set Regions::gets(std::int64_t member) {
  if (left_open_) return sets_->without(answered(), shut_out_of(member, any_row));
  return sets_->without(at_least(member, false), at_least(member + 1, false));
}

template <typename Keep>
Regions::Set Regions::emptied(Keep keep) {
  auto all = sets_->either(speaking(Effect::base, keep), speaking(Effect::keep, keep));
  for (std::int64_t member = 0; member < std::int64_t{tables_.answers[table_.target].steps}; ++member)
    if (all != sets_->nobody()) all = sets_->both(all, shut_out_of(member, keep));
  return all;
}

Regions::Set Regions::emptied_together() {
  const auto all = sets_->without(sets_->both(with_base(), emptied(any_row)), two_bases(any_row));
  if (!tables_.safety_reaches_items) return all;
  const auto beside = sets_->without(emptied(of_safety), two_bases(of_safety));
  return sets_->either(all, sets_->both(to_fitter(), beside));
}

Regions::Set Regions::emptied_by(const std::vector<std::uint32_t>& rows) {
  auto all = with_base();
  const bool safe = std::all_of(rows.begin(), rows.end(), [&](auto row) { return table_.rows[row].safety; });
  if (safe && tables_.safety_reaches_items) all = sets_->either(all, to_fitter());
  for (const auto row : rows) all = sets_->both(all, of_row(row));
  return all;
}

std::vector<std::int64_t> Regions::turns() const {
  if (left_open_) {
    std::vector<std::int64_t> members(tables_.answers[table_.target].steps + 1);
    std::iota(members.begin(), members.end(), 0);
    return members;
  }
  const auto moves = sums_of_moves();
  std::set<std::int64_t> steps;
  for (const auto* row : rows_)
    if (names_steps(row->effect)) steps.insert({row->low, row->low + 1, row->high, row->high + 1});
  for (const auto* row : rows_)
    if (gives_answer(row->effect))
      for (const auto by : moves) steps.insert({row->low + by, row->high + by + 1});
  return {steps.begin(), steps.end()};
}

Regions::Set Regions::clash() {
  return lazily(clash_, [&] { return make_clash(); });
}

Regions::Set Regions::make_clash() {
  if (table_.kind == Table::Kind::piece)
    return is_declared(tables_, table_) ? sets_->nobody() : sets_->both(speaking(Effect::need), speaking(Effect::omit));
  auto all = sets_->both(owed(), sets_->either(two_bases(any_row), crossed()));
  if (stepped_) {
    const auto ordinary = speaking(Effect::step, [](const Row& row) { return !row.safety; });
    all = sets_->either(all, sets_->both(owed(), sets_->both(speaking(Effect::base, of_safety), ordinary)));
  }
  if (!rows_of(Effect::keep).empty()) all = sets_->either(all, sets_->both(with_base(), bands_apart(any_row)));
  return sets_->either(all, crossed_beside());
}

// Rows of one rule lie apart: two bases are always of two rules.
template <typename Keep>
Regions::Set Regions::two_bases(Keep keep) {
  std::map<RuleId, std::vector<const Box*>> rules;
  for (const auto* row : rows_)
    if (row->effect == Effect::base && keep(*row)) rules[row->rule].push_back(&row->box);
  auto one = sets_->nobody(), two = one;
  if (rules.size() < 2) return two;
  for (auto& [rule, boxes] : rules) {
    const auto speaks = sets_->without(among(std::move(boxes)), outrankers_of(rule));
    two = sets_->either(two, sets_->both(one, speaks));
    one = sets_->either(one, speaks);
  }
  return two;
}

// One end of what speaks begins past where another's ends.
template <typename Keep>
Regions::Set Regions::bands_apart(Keep keep) {
  if (left_open_) return emptied(keep);
  auto all = sets_->nobody();
  std::set<std::int64_t> lows;
  bool narrows = false;
  for (const auto* row : rows_)
    if (keep(*row) && names_steps(row->effect)) lows.insert(row->low), narrows |= narrows_band(row->effect);
  if (!narrows) return all;
  for (const auto low : lows) {
    const auto begins = [&](const Row& row) { return keep(row) && row.low == low; };
    const auto ends = [&](const Row& row) { return keep(row) && row.high < low; };
    const auto past = sets_->either(speaking(Effect::base, begins), speaking(Effect::keep, begins));
    const auto before = sets_->either(speaking(Effect::base, ends), speaking(Effect::keep, ends));
    all = sets_->either(all, sets_->both(past, before));
  }
  return all;
}

std::optional<std::vector<const Box*>> Regions::bases_together() const {
  std::set<RuleId> bases, others;
  std::vector<const Box*> boxes;
  for (const auto& row : table_.rows) {
    if (!fills_gaps(row.effect)) others.insert(row.rule);
    if (!gives_answer(row.effect)) continue;
    bases.insert(row.rule);
    if (!is_empty(row.box)) boxes.push_back(&row.box);
  }
  for (const auto& [over, under] : table_.outranks)
    if (others.count(over) != 0 && bases.count(under) != 0) return std::nullopt;
  return boxes;
}

std::vector<std::uint32_t> Regions::rows_of(Effect effect) const {
  std::vector<std::uint32_t> all;
  for (std::uint32_t i = 0; i < table_.rows.size(); ++i)
    if (table_.rows[i].effect == effect && !is_empty(table_.rows[i].box)) all.push_back(i);
  return all;
}

std::vector<std::uint32_t> Regions::bases() const { return rows_of(Effect::base); }

std::vector<Regions::Opposed> Regions::opposed() const {
  std::vector<Opposed> all;
  const auto add = [&](std::uint32_t first, std::uint32_t second) {
    const auto clash = clash_of(table_.rows[first], table_.rows[second]);
    if (clash != Clash::none) all.push_back({first, second, clash});
  };
  if (is_declared(tables_, table_)) return all;
  const auto caps = rows_of(Effect::cap), keeps = rows_of(Effect::keep), bases = rows_of(Effect::base),
             omits = rows_of(Effect::omit);
  for (const auto step : rows_of(Effect::step))
    for (const auto base : bases) add(base, step);
  for (const auto floor : rows_of(Effect::floor))
    for (const auto cap : caps) add(floor, cap);
  // The upper end of a band that a rule sizes speaks only with that rule's base, and two bases clash as such.
  std::set<RuleId> sizing;
  for (const auto base : bases) sizing.insert(table_.rows[base].rule);
  const auto is_upper_end = [&](std::uint32_t keep) { return sizing.count(table_.rows[keep].rule) != 0; };
  for (const auto keep : keeps) {
    for (const auto base : bases)
      if (!is_upper_end(keep)) add(base, keep);
    for (const auto other : keeps)
      if (other < keep && !(is_upper_end(keep) && is_upper_end(other))) add(other, keep);
  }
  for (const auto need : rows_of(Effect::need))
    for (const auto omit : omits) add(need, omit);
  return all;
}

bool Regions::may_speak_together(std::uint32_t first, std::uint32_t second) const {
  const auto a = table_.rows[first].rule, b = table_.rows[second].rule;
  return a != b && !outranks(table_, a, b) && !outranks(table_, b, a);
}

Regions::Set Regions::scope_of(const Opposed& rows) {
  auto scope = sets_->nobody();
  switch (rows.clash) {
    case Clash::two_bases:
    case Clash::floor_over_cap: scope = owed(); break;
    case Clash::safety_base_moved:
    case Clash::band_emptied: scope = with_base(); break;
    case Clash::need_and_omit: return within_;
    case Clash::none: return scope;
  }
  // Two of safety stand beside a refer as well, with no base needed.
  const bool beside = tables_.safety_reaches_items && table_.rows[rows.first].safety && table_.rows[rows.second].safety;
  return beside ? sets_->either(scope, to_fitter()) : scope;
}

Regions::Set Regions::clash(const Opposed& rows) {
  const auto &first = table_.rows[rows.first], &second = table_.rows[rows.second];
  auto both = sets_->both(sets_->box(shared_box(first.box, second.box)), scope_of(rows));
  both = sets_->without(both, outrankers_of(first.rule));
  return sets_->without(both, outrankers_of(second.rule));
}

bool Regions::clash_wherever_they_meet(const Opposed& rows) {
  return scope_of(rows) == sets_->everybody() && !yields(table_.rows[rows.first].rule) &&
         !yields(table_.rows[rows.second].rule);
}

std::vector<Regions::Steps> Regions::steps_together() const {
  std::vector<Steps> all;
  if (left_open_) {
    for (std::uint32_t member = 0; member < tables_.answers[table_.target].steps; ++member)
      all.push_back({member, member, std::nullopt});
    return all;
  }
  if (rows_of(Effect::keep).empty() && !stepped_) {
    for (std::uint32_t i = 0; i < table_.rows.size(); ++i) {
      const auto& row = table_.rows[i];
      if (names_steps(row.effect) && !is_empty(row.box))
        all.push_back({static_cast<std::uint32_t>(row.low), static_cast<std::uint32_t>(row.high), i});
    }
    return all;
  }
  // Bands that are narrowed, or bases that are moved: from one end of a band, or one answer, to the next, all steps are
  // alike.
  const auto steps = tables_.answers[table_.target].steps;
  std::set<std::uint32_t> ends = {steps};
  const auto add = [&](std::int64_t end) {
    if (0 <= end && end < std::int64_t{steps}) ends.insert(static_cast<std::uint32_t>(end));
  };
  const auto moves = sums_of_moves();
  for (const auto& row : table_.rows) {
    if (!names_steps(row.effect)) continue;
    add(row.low), add(row.high + 1);
    if (gives_answer(row.effect))
      for (const auto by : moves) add(row.low + by), add(row.high + by + 1);
  }
  for (auto end = ends.begin(); *end != steps; ++end) all.push_back({*end, *std::next(end) - 1, std::nullopt});
  return all;
}

Regions::Set Regions::who_gets(const Steps& steps) {
  if (left_open_) return gets(steps.first);
  if (!steps.row) return sets_->without(at_least(steps.first, true), at_least(steps.first + 1, false));
  const auto set = sets_->both(of_row(*steps.row), answered());
  if (!limited_) return set;
  return sets_->without(sets_->both(set, at_least(steps.first, false)), at_least(steps.first + 1, false));
}

}  // namespace lacestay::compiler
