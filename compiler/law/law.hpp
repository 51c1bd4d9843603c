// How rows that apply together combine: the law of each answer's type, for one set of rows.
//
// Which rows apply to a player is a matter of places and boxes; what follows from them is decided here, for the engine
// and for explanations. regions.hpp states the same law for all players at once, for the proof. No other file asks what
// an effect means: what others need to know of one is a function below.
//
// Of a property: rows whose rule is outranked by another rule that applies are silent. If a `refer` is left, the
// fitter decides, and what safety rules alone come to stands beside. Two bases are a clash, an ordinary step from a
// safety rule's base is a clash, a floor above a cap is a clash, no base is a gap. The base is moved by all steps
// together; past the range it is a gap. The answer is where it lands, lifted to the highest floor and lowered to the
// lowest cap. A band, and a choice that is left open, is narrowed by every `keep`; where nothing is left it is a clash.
// Of a piece: `need` against `omit` is a clash; need beats suggest, and omit beats suggest.
// Of an item: rows that bind hold it, whatever the policy accepts (`ItemBounds`).
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "compiler/tables/tables.hpp"

namespace lacestay::compiler {

// In which kind of table rows of an effect stand.
[[nodiscard]] constexpr Table::Kind kind_of_table(Effect effect) {
  if (effect == Effect::caution) return Table::Kind::caution;
  if (effect == Effect::value) return Table::Kind::detail;
  if (effect == Effect::applies) return Table::Kind::shop_line;
  return effect <= Effect::refer ? Table::Kind::property : Table::Kind::piece;
}

// A property's rows: one answers by itself; a `step` moves that base; a `floor` or `cap` moves an answer along an
// order; a `keep` narrows a band.
[[nodiscard]] constexpr bool gives_answer(Effect effect) { return effect == Effect::base; }
[[nodiscard]] constexpr bool moves_base(Effect effect) { return effect == Effect::step; }
[[nodiscard]] constexpr bool moves_answer(Effect effect) { return effect == Effect::floor || effect == Effect::cap; }
[[nodiscard]] constexpr bool narrows_band(Effect effect) { return effect == Effect::keep; }
// The row names steps of its property; one that moves the base, or leaves the answer to the fitter, names none.
[[nodiscard]] constexpr bool names_steps(Effect effect) {
  return gives_answer(effect) || moves_answer(effect) || narrows_band(effect);
}
// Without a row of such an effect every player of a property is in a gap.
[[nodiscard]] constexpr bool fills_gaps(Effect effect) { return gives_answer(effect) || effect == Effect::refer; }
// A safety rule of such an effect makes its piece, or its property's, protection. In form 1 fewer did.
[[nodiscard]] constexpr bool makes_protection(const Tables& tables, Effect effect) {
  if (tables.safety_reaches_items) return effect < Effect::caution;
  return moves_answer(effect) || narrows_band(effect) || effect == Effect::need;
}
// A row that has a part in the base: it gives the base, or moves it.
[[nodiscard]] constexpr bool makes_base(Effect effect) { return gives_answer(effect) || moves_base(effect); }
// Whether a row of the effect binds items: one that says of which steps an answer is, in a safety rule or, but for the
// base, in a pack.
[[nodiscard]] constexpr bool binds_items(Effect effect, bool safety, bool in_pack) {
  return makes_base(effect) ? safety : names_steps(effect) && (safety || in_pack);
}
// What rows leave an item of a property, in steps; none where `low` is over `high`.
struct ItemBounds {
  std::int64_t low = 0, high = 0;
  bool base = false;  // a safety rule gave the base, or moved it: an item keeps to the answer as well
  std::optional<MemberSet> among = std::nullopt;  // of a choice: it is one of these
  friend bool operator==(const ItemBounds&, const ItemBounds&) = default;
};
// What one row does, of steps up to `last`; a row that answers, or refers, bounds none by itself.
[[nodiscard]] constexpr ItemBounds bounds_of(const Row& row, std::int64_t last) {
  ItemBounds bounds{0, last, makes_base(row.effect)};
  if (row.effect == Effect::floor || row.effect == Effect::keep) bounds.low = row.low;
  if (row.effect == Effect::cap) bounds.high = row.low;
  if (row.effect == Effect::keep) bounds.high = row.high;
  if (row.effect == Effect::keep && leaves_open(row.low)) bounds = {0, last, false, members_of(row.low)};
  return bounds;
}
// Whether a floor, cap or keep lets an item have the steps from `low` to `high`; rows of other effects let any.
[[nodiscard]] constexpr bool allows(const Row& row, std::int64_t low, std::int64_t high) {
  const auto bounds = bounds_of(row, high);
  return bounds.low <= low && high <= bounds.high && (!bounds.among || has_member(*bounds.among, low));
}

// Of a piece: its declaration alone tells who has it, so need, omit and suggest change nobody's kit.
[[nodiscard]] inline bool is_declared(const Tables& tables, const Table& table) {
  if (table.kind != Table::Kind::piece) return false;
  const auto presence = tables.presence[table.target];
  return presence == Presence::always || (presence == Presence::conditional && !tables.safety_reaches_items);
}

// Whether one rule silences another wherever both apply.
[[nodiscard]] bool outranks(const Table& table, RuleId over, RuleId under);

// What two rows clash in where both speak to one player, neither silenced by the other. In one order or along one band
// the rows that clash are always found two by two: where any two share a step, all of them do. Of a choice three may
// leave nothing where each two leave something (Regions::emptied_together).
enum class Clash : std::uint8_t { none, two_bases, safety_base_moved, floor_over_cap, band_emptied, need_and_omit };
[[nodiscard]] Clash clash_of(const Row& a, const Row& b);

enum class Standing : std::uint8_t {
  answered,
  referred,
  gap,
  clash,  // of a property; `answered` too for a detail's value
  needed,
  suggested,
  left_out,
  not_in_kit,  // of a piece (which can clash as well)
  spoken,
  silent  // of a caution, and of a line of the shop, which applies or does not
};

// The piece is in the kit, needed or suggested.
[[nodiscard]] constexpr bool in_kit(Standing standing) {
  return standing == Standing::needed || standing == Standing::suggested;
}

struct Outcome {
  Standing standing = Standing::gap;
  // answered: the steps, several members of a choice, or (a detail's value) the ticks; referred: the least and the
  // greatest step that safety rules leave beside it, each -1 where they set none.
  std::int64_t low = 0, high = 0;
  friend bool operator==(const Outcome&, const Outcome&) = default;
};

// What one row had to do with an outcome.
struct Role {
  enum class Kind : std::uint8_t {
    decides,    // the answer is this row's
    lifts,      // a step, a floor or a cap moved the base, or a keep narrowed it
    idle,       // it applies, but the answer would be the same without it
    silenced,   // outranked by `by`
    overruled,  // beaten by the law itself: a base under a refer, a suggest under a need
    clashes
  };
  std::uint32_t row;
  Kind kind;
  RuleId by = 0;
};

// The outcome for a player to whom just these rows of the table apply (indices into table.rows, ascending).
// `roles`, where given, gets one entry for each row. Cost: linear in rows, times outranks pairs.
[[nodiscard]] Outcome decide(const Tables& tables, const Table& table, std::span<const std::uint32_t> rows,
                             std::vector<Role>* roles = nullptr);

// The rows that speak, of those that apply, and bind items; ascending.
[[nodiscard]] std::vector<std::uint32_t> binding_rows(const Tables& tables, const Table& table,
                                                      std::span<const std::uint32_t> rows);
// What the binding rows that speak leave an item together.
[[nodiscard]] ItemBounds item_bounds(const Tables& tables, const Table& table, std::span<const std::uint32_t> rows);

// Of what was sealed in form 1: whether every safety floor, cap and keep among rows that apply, and are not silenced,
// allows the steps.
[[nodiscard]] bool safety_allows(const Tables& tables, const Table& table, std::span<const std::uint32_t> rows,
                                 std::int64_t low, std::int64_t high);

}  // namespace lacestay::compiler
