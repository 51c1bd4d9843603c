// A compiled policy: the decision tables, and beside them every name and text an answer needs.
//
// Immutable once compiled; threads may share it. It owns its sources, so spans in it stay good.
#pragma once

#include <algorithm>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "compiler/tables/shop.hpp"
#include "compiler/tables/tables.hpp"
#include "compiler/values/quantity.hpp"
#include "grammar/text/source.hpp"

namespace lacestay::compiler {

// An amount that an owner wrote in other units than it is shown in.
struct WrittenAmount {
  std::int64_t at = 0;  // ticks
  std::vector<ShownUnit> units;
};

// What a detail or a property is called and how its values are written.
struct Scale {
  enum class Kind : std::uint8_t { amount, day, grades, choice };
  Kind kind = Kind::amount;
  Dimension dimension = Dimension::number;
  std::vector<ShownUnit> shown;  // amount: one unit, or a large and a small one
  int money_digits = 2;
  std::vector<std::string> members;        // grades, choice: their names, as policies write them
  std::vector<std::string> shown_as;       // by member: the words shown for it, empty for its name; or none for all
  std::optional<grammar::Unit> bare_unit;  // what a bare number means
  bool whole = false;
  std::vector<WrittenAmount> edges;  // of a detail: those to be shown as they were written, rising

  [[nodiscard]] bool has_members() const { return kind == Kind::grades || kind == Kind::choice; }
  [[nodiscard]] std::string write(std::int64_t value) const;       // ticks, or a member's place; rounded as `show` says
  [[nodiscard]] std::string write(const Rational& value) const;    // the same of a value that is worked out
  [[nodiscard]] std::string write_edge(std::int64_t value) const;  // as it was written: "6 ft" of a height shown in cm
  [[nodiscard]] const std::vector<ShownUnit>& units_of_edge(std::int64_t value) const;
  // To the last tick, for a player who is to be tried again: in the unit it is shown in where that can be, else in one
  // that is a decimal of the tick.
  [[nodiscard]] std::string write_exactly(std::int64_t value) const;
  // The same as policies and players files write it: a member by its name, not by the words shown for it.
  [[nodiscard]] std::string write_for_policy(std::int64_t value) const;

  [[nodiscard]] const std::string& shown_member(std::size_t place) const;
  [[nodiscard]] std::vector<std::string> shown_members() const;
  // The member that these are the words of, whatever stands between their letters and digits, capitals aside.
  [[nodiscard]] std::optional<std::uint32_t> member_shown_as(std::string_view words) const;
  // The member of this name; else the one that these are the words of.
  [[nodiscard]] std::optional<std::uint32_t> member_called(std::string_view name, std::string_view words) const;
};

struct DetailText {
  std::string name;
  std::string question;  // may be empty
  Scale scale;
  bool may_change = false;
  bool may_be_blank = false;
  std::optional<std::int64_t> precision;  // give or take, in ticks
  grammar::Span span;
};

struct WorkedOutText {
  std::string name;
  Scale scale;
  grammar::Span span;
};

struct PropertyText {
  std::string name;
  std::string label;
  std::uint32_t piece = 0;
  Scale scale;
  std::int64_t first = 0, step = 1;  // amount: the ticks of step 0, and from one step to the next
  std::vector<std::int64_t> sizes;   // by step, in ticks, where they rise unevenly; `step` then says nothing
  grammar::Span span;

  // Of an amount: the ticks of a step, and the last step that is not above so many ticks (below step 0, under 0).
  [[nodiscard]] std::int64_t at(std::int64_t of_step) const;
  [[nodiscard]] std::int64_t step_within(std::int64_t ticks) const;
  [[nodiscard]] std::string write(std::int64_t low, std::int64_t high) const;  // steps
  // The same with a member by its name, as policies and players files write it.
  [[nodiscard]] std::string write_for_policy(std::int64_t low, std::int64_t high) const;
};

struct PieceText {
  std::string name;
  std::string label;  // the name with blanks where the policy gives none
  std::uint32_t first_property = 0, properties = 0;
  grammar::Span span;
};

struct RuleText {
  enum class Kind : std::uint8_t { chart, rule, declaration };
  Kind kind = Kind::rule;
  std::string name;  // as answers show it: a pack's rule is "pack: name"
  std::string because, source, caution;
  bool safety = false;
  Effect effect = Effect::base;
  // `size … from`: its rows are the steps up of this detail. Of a band with a second end, `to`: those up of the first,
  // each to the last step, which give the answer; and those down of the second, which keep it within them.
  std::optional<ColumnId> sized_from, sized_to;
  grammar::Span span;                  // its first line
  std::optional<grammar::Span> whom;   // its conditions; absent where it has none, or was sealed before form 3
  std::vector<grammar::Span> entries;  // by Row::entry: the row of a chart, the action of a rule

  [[nodiscard]] std::string name_as_written() const;  // by the policy itself: a pack's rule is pack_name
  [[nodiscard]] bool is_upper_end(const Row& row) const { return sized_to && row.effect == Effect::keep; }
};

// A claim that must hold for every player. One that bounds a property is of the advice and of every item that may be
// handed over for it (compiler/shelf); the others are of the advice.
struct Sure {
  enum class Kind : std::uint8_t { needed, left_out, at_least, at_most, within, never_falls, never_rises, one_of };
  Kind kind = Kind::needed;
  bool advice_alone = false;           // of a bounding claim: nothing is said of items
  std::uint32_t target = 0;            // piece for needed and left_out, else property
  std::int64_t low = 0, high = 0;      // steps
  std::vector<std::uint32_t> members;  // one_of: of a choice, ascending
  std::uint16_t detail = 0;            // an asked detail
  Box when;
  grammar::Span span;

  [[nodiscard]] bool of_piece() const { return kind == Kind::needed || kind == Kind::left_out; }
  [[nodiscard]] bool moves() const { return kind == Kind::never_falls || kind == Kind::never_rises; }
  [[nodiscard]] bool of_items() const { return !of_piece() && !moves() && !advice_alone; }
  // Of a bounding claim: whether a step is as it says.
  [[nodiscard]] bool allows(std::int64_t step) const {
    if (kind == Kind::one_of) return std::binary_search(members.begin(), members.end(), step);
    return (kind == Kind::at_most || low <= step) && (kind == Kind::at_least || step <= high);
  }
};

// A line on players that cannot be; who they are is in Tables::shut_out.
struct NobodyText {
  std::string sentence;  // what the fitter is told of such a player
  grammar::Span span;
};

// Of a policy that was sealed and loaded again (runtime/seal/sealed_policy.hpp): where it comes from. Its sources then
// hold the lines its spans point into, at their places, and nothing else of the text.
struct SealedOrigin {
  int form = 0;                           // of its sealed document
  std::string compiled_by;                // the version of lacestay that compiled it
  std::vector<std::string> texts_sha256;  // by source: of its whole text
};

struct Policy {
  std::string title;
  std::int64_t edition = 0;
  std::int64_t in_force_from = 0;           // day
  std::optional<std::int64_t> in_force_to;  // day
  std::string currency;

  std::vector<DetailText> details;
  std::vector<WorkedOutText> worked_out;
  std::vector<PieceText> pieces;
  std::vector<PropertyText> properties;
  std::vector<RuleText> rules;   // by RuleId
  std::vector<RuleId> cautions;  // by place among the cautions
  std::vector<Sure> sures;
  std::vector<NobodyText> nobody;
  Shop shop;

  Tables tables;
  std::vector<std::shared_ptr<const grammar::Source>> sources;  // the policy's own file first
  std::optional<SealedOrigin> origin;                           // absent where it was compiled from its text

  // Of an older form: what it advised and quoted stands in daybooks in the words of that time.
  [[nodiscard]] bool was_sealed_before(int form) const { return origin && origin->form < form; }
  [[nodiscard]] const Scale& scale_of(ColumnId column) const;
  [[nodiscard]] Scale& scale_of(ColumnId column);
  [[nodiscard]] const std::string& name_of(ColumnId column) const;
  // What a table answers: "stick flex", "neck_guard"; of a caution its rule, of a chart the detail it works out.
  [[nodiscard]] std::string name_of(const Table& table) const;
  // An edge as it was meant: on a detail measured in ticks "over 115 kg" is kept as "from one tick past 115 kg".
  [[nodiscard]] Cut edge_as_meant(ColumnId column, const Cut& cut) const;
  // Places of a column as a shop reads them: "under 60 kg", "60 kg up to 95 kg", "over 115 kg", "league, elite".
  [[nodiscard]] std::string write_places(ColumnId column, const std::vector<PlaceRange>& places) const;
};

}  // namespace lacestay::compiler
