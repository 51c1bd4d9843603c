// How rows that speak at once combine: the law of each answer's type, applied to a set of rows.
//
// Which rows apply to a player is a matter of places and boxes; what follows from them is decided here, once, for
// the engine, for explanations and for the proof alike.
//
// Of a property: rows whose rule is outranked by another rule that speaks are silent. If a `refer` is left, the
// fitter decides, and the highest safety floor stands beside. Two bases are a clash, a floor above a cap is a
// clash, no base is a gap; the answer is the base, lifted to the highest floor and lowered to the lowest cap. A
// band is narrowed by every `keep`; one that holds no step is a clash.
// Of a piece: `need` against `omit` is a clash; need beats suggest, and omit beats suggest.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "compiler/tables/tables.hpp"

namespace lacestay::compiler {

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
  silent  // of a caution
};

// The piece is in the kit, needed or suggested.
[[nodiscard]] constexpr bool in_kit(Standing standing) {
  return standing == Standing::needed || standing == Standing::suggested;
}

struct Outcome {
  Standing standing = Standing::gap;
  // answered: the steps, or (a detail's value) the ticks; referred: the safety floor's step, or -1.
  std::int64_t low = 0, high = 0;
  friend bool operator==(const Outcome&, const Outcome&) = default;
};

// What one row had to do with an outcome.
struct Role {
  enum class Kind : std::uint8_t {
    decides,    // the answer is this row's
    lifts,      // a floor or cap moved the base, or a keep narrowed it
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

}  // namespace lacestay::compiler
