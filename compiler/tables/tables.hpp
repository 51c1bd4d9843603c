// The decision tables: what a policy means, with no text in it and nothing of how a player is looked up.
//
// A column is a detail, cut into places: the values between two neighbouring edges of the whole policy, or the
// members of a set. A cell is a set of places of one column; a row is a box of cells (a column without a cell is
// open) with what it says and which rule says it. All rows that speak about one answer stand in one table, and
// how they combine is the law of the answer's type (law.hpp), never their order.
#pragma once

#include <algorithm>
#include <compare>
#include <cstdint>
#include <optional>
#include <utility>
#include <vector>

#include "compiler/tables/members.hpp"
#include "compiler/values/formula.hpp"

namespace lacestay::compiler {

using ColumnId = std::uint16_t;
using RuleId = std::uint32_t;
using TableId = std::uint32_t;

// An edge on a number line: just before the value `at`, or just after it. In ticks. On an asked detail's column
// every edge is "before" (the next value of its grain), so equal edges are equal here.
struct Cut {
  std::int64_t at = 0;
  bool after = false;
  friend auto operator<=>(const Cut&, const Cut&) = default;
};

// What an asked detail can be: ticks from `lowest` to `highest` in steps of `grain`, or 0 … highest for members.
struct AskedDomain {
  bool members = false;
  bool plain_number = false;  // formulas take it in ones (10^9 ticks)
  std::int64_t lowest = 0;
  std::int64_t highest = 0;
  std::int64_t grain = 1;
};

// A value of an asked detail as formulas take it: in ticks, or in ones where it is a plain number. Counts stay whole.
[[nodiscard]] inline Fraction64 as_fraction(const AskedDomain& domain, std::int64_t value) {
  if (!domain.plain_number) return {value, 1};
  return domain.grain % ticks_per_one == 0 ? Fraction64{value / ticks_per_one, 1} : Fraction64{value, ticks_per_one};
}

// How a worked-out detail comes about: a formula, or a chart (a table whose rows' answers are ticks).
struct WorkedOut {
  std::vector<FormulaStep> formula;  // empty where a chart gives it
  TableId chart = 0;
  bool plain_number = false;          // its fraction is in ones (10^9 ticks)
  std::vector<std::uint16_t> inputs;  // the asked details it rests on, ascending
  Rational lowest, highest;           // bounds, in ticks; not always reached
  Int128 largest_numerator = 0;       // of its unreduced fraction, whatever the inputs
  Int128 largest_denominator = 1;
  bool fits_64 = true;  // no step on the way, of this formula or those it uses, needs more

  [[nodiscard]] bool rounded() const { return !formula.empty() && formula.back().kind >= FormulaStep::Kind::round_up; }
};

struct PlaceRange {
  std::uint32_t first, last;  // both belong
  friend auto operator<=>(const PlaceRange&, const PlaceRange&) = default;
};

struct Column {
  bool worked_out = false;
  std::uint16_t detail = 0;  // index among the asked details, or among the worked-out ones
  std::vector<Cut> cuts;     // ascending; place k lies between cut k-1 and cut k
  std::uint32_t places = 1;  // cuts + 1, or the number of an asked detail's members

  // Of a detail with so many members, those at places, rising. An asked one has a place for each; of a worked-out one
  // members are numbers, the first 0, and only those that a rule tells apart have an edge between them.
  [[nodiscard]] std::vector<std::uint32_t> members_in(const std::vector<PlaceRange>& ranges, std::size_t members) const;
};

struct Cell {
  ColumnId column;
  std::vector<PlaceRange> places;  // ascending, apart, not empty
};

using Box = std::vector<Cell>;           // by column, ascending
using Places = std::vector<PlaceRange>;  // as a cell's

// The places in both lists; the first of them alone.
[[nodiscard]] Places shared_places(const Places& a, const Places& b);
[[nodiscard]] inline std::optional<std::uint32_t> first_shared(const Places& a, const Places& b);
[[nodiscard]] inline bool contains(const Places& places, std::uint32_t place);
[[nodiscard]] inline bool lie_in(const Places& inner, const Places& outer);
// Adds places that begin no earlier than the last ones do; joins the two where nothing lies between.
void append(Places& places, const PlaceRange& range);
// A box's places in a column; null where it leaves the column open.
[[nodiscard]] inline const Places* places_in(const Box& box, ColumnId column);
// Whether a player at these places, by column, is in the box.
[[nodiscard]] inline bool holds(const Box& box, const std::vector<std::uint32_t>& places) {
  return std::all_of(box.begin(), box.end(),
                     [&](const Cell& cell) { return contains(cell.places, places[cell.column]); });
}

// The intersection of two boxes; where it is empty, a box with an empty cell.
[[nodiscard]] Box shared_box(const Box& a, const Box& b);
[[nodiscard]] bool is_empty(const Box& box);

enum class Effect : std::uint8_t {
  base,
  keep,
  floor,
  cap,
  step,
  refer,  // of a property
  present,
  need,
  suggest,
  omit,  // of a piece
  caution,
  value,   // of a worked-out detail
  applies  // of a line about the shelf or the till: whom it is for
};

struct Row {
  Box box;
  Effect effect = Effect::base;
  bool safety = false;
  // Steps of the property, or several members of a choice; ticks for `value`; for `step` twice how many steps the base
  // is moved, up above 0.
  std::int64_t low = 0, high = 0;
  RuleId rule = 0;
  std::uint32_t entry = 0;  // which line of the rule: a chart's cell, counted row by row
  bool binds = false;  // of steps: items too, whatever is accepted; a safety rule's, or a pack's floor, cap or keep
};

// What a property's answers are: steps 0 … steps-1, one of them or (a band) two ends.
struct AnswerSpace {
  bool ordered = false;  // grades, sizes and bands
  bool band = false;
  std::uint32_t steps = 0;
};

struct Table {
  enum class Kind : std::uint8_t { property, piece, caution, detail, shop_line };
  Kind kind = Kind::property;
  std::uint32_t target = 0;  // property, piece, caution rule's place, worked-out detail; of the shop its own number
  std::vector<ColumnId> columns;  // those its rows look at, ascending
  std::vector<Row> rows;
  std::vector<std::pair<RuleId, RuleId>> outranks;  // closed; sorted; only between rules of this table
};

// Players that cannot be: nobody is in the box. A box that isn't empty may hold nobody for this reason as for its
// worked-out columns; that somebody exists is the witness search's to say (compiler/space/witness.hpp), and its alone.
struct ShutOut {
  Box box;
  std::uint32_t line = 0;  // Policy::nobody
};

// Where a piece can be in a kit.
enum class Presence : std::uint8_t { always, optional, conditional };

struct Tables {
  std::vector<AskedDomain> asked;
  std::vector<WorkedOut> worked_out;    // each after those it rests on
  std::vector<Column> columns;          // the asked details, then the worked-out ones
  std::vector<AnswerSpace> answers;     // by property
  std::vector<std::uint32_t> piece_of;  // by property
  std::vector<Presence> presence;       // by piece
  // By property, then by piece, then cautions, then detail charts, then lines of the shop that are for some players.
  std::vector<Table> tables;
  std::vector<ShutOut> shut_out;  // in the order of their lines; of a line that no values meet there is none
  // False of what was sealed in form 1, which keeps its meaning: no row binds an item, a refer silences all but safety
  // floors, and a declaration alone tells who has a piece that is there for some players.
  bool safety_reaches_items = true;

  [[nodiscard]] std::size_t property_table(std::size_t property) const { return property; }
  [[nodiscard]] std::size_t piece_table(std::size_t piece) const { return answers.size() + piece; }
  [[nodiscard]] std::size_t first_caution_table() const { return answers.size() + presence.size(); }

  // By column.
  [[nodiscard]] std::vector<std::uint32_t> place_counts() const;
  [[nodiscard]] bool has_members(ColumnId column) const {
    return !columns[column].worked_out && asked[columns[column].detail].members;
  }
  // The asked details a column rests on: itself, or the inputs of a worked-out one.
  template <typename Visit>
  void each_asked_under(ColumnId column, Visit visit) const {
    const auto& known = columns[column];
    if (!known.worked_out) return visit(known.detail);
    for (const auto input : worked_out[known.detail].inputs) visit(input);
  }
  // By asked detail: whether a row of the table, or a cell of the box, looks at it, straight or through worked-out
  // ones.
  [[nodiscard]] std::vector<bool> asked_under(const Table& table) const;
  [[nodiscard]] std::vector<bool> asked_under(const Box& box) const;
};

// Inline, since the proof asks them of every box it looks at.

inline std::optional<std::uint32_t> first_shared(const Places& a, const Places& b) {
  for (std::size_t i = 0, k = 0; i < a.size() && k < b.size();) {
    const auto first = std::max(a[i].first, b[k].first);
    if (first <= std::min(a[i].last, b[k].last)) return first;
    a[i].last < b[k].last ? ++i : ++k;
  }
  return std::nullopt;
}

inline bool contains(const Places& places, std::uint32_t place) {
  return std::any_of(places.begin(), places.end(),
                     [&](const PlaceRange& range) { return range.first <= place && place <= range.last; });
}

inline bool lie_in(const Places& inner, const Places& outer) {
  return std::all_of(inner.begin(), inner.end(), [&](const PlaceRange& range) {
    return std::any_of(outer.begin(), outer.end(),
                       [&](const PlaceRange& held) { return held.first <= range.first && range.last <= held.last; });
  });
}

inline const Places* places_in(const Box& box, ColumnId column) {
  const auto cell = std::lower_bound(box.begin(), box.end(), column,
                                     [](const Cell& each, ColumnId sought) { return each.column < sought; });
  return cell != box.end() && cell->column == column ? &cell->places : nullptr;
}

}  // namespace lacestay::compiler
