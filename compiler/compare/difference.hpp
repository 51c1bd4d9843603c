// The difference of two editions: for whom an answer changes, and for whom other items may be handed over; exactly, in
// few statements.
//
// An answer depends on which rows apply, and on the law that combines them (law.hpp). So it can differ only where a row
// (or an outranks) that one edition alone has applies. There every set of rows that can apply is put before the law of
// each edition, and where the two outcomes differ the players are joined into statements. Boxes in which no player can
// be, because of worked-out details, are dropped: every statement has a player. What may be handed over is compared
// where an accept line, what is protection or a row that binds items differs (items.hpp). README.md beside this file
// explains the method and why it is exact.
//
// Cost: about rows times changed rows, and the diagrams of the rows around the changes; bounded by the budget.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "compiler/compare/editions.hpp"
#include "compiler/law/law.hpp"

namespace lacestay::compiler {

// Some of a statement's players, for all of whom the same changes.
struct Changed {
  std::vector<Box> where;  // among the statement's players; one box without cells: all of them
  double share = 0;        // of the space, from 0 to 1
  Readings player;         // one of them, of the shared space
  bool settled = true;     // false: the budget ended before a player was found or excluded, and `player` is empty
};

template <typename What>
struct StatementOf {
  Box who;
  std::vector<Box> but_not;  // exceptions: those of `who` for whom nothing changes
  std::vector<What> becomes;
  double share = 0;  // of the space, from 0 to 1
};

template <typename What>
struct Told {
  std::vector<StatementOf<What>> statements;  // the largest first
  std::size_t left_out = 0;                   // statements past the budget
  bool settled = true;                        // false: the budget ran out, and there may be more than these say
};

// One answer becoming another.
struct Becomes : Changed {
  // In each edition's own steps; where an edition lacks the answer, a piece is not in the kit and a caution is silent.
  Outcome before, after;
};
using Statement = StatementOf<Becomes>;

// An item that one edition lets be handed over to a player. It is as it is in its owner's hands: of a shaft that was
// cut, its length then and the flex that is felt.
struct SampleItem {
  enum class Label : std::uint8_t { in_date, undated, out_of_date };
  struct Value {
    OfSides<std::optional<std::uint32_t>> property;  // absent where an edition lacks it
    OfSides<std::optional<std::int64_t>> value;      // ticks, or an edition's own member; absent where it has no such
    bool free = false;                               // any other would do as well, in both editions
  };
  std::vector<Value> values;  // of every property of the piece, the later edition's first
  bool used = false;
  Label label = Label::in_date;
  std::optional<std::int64_t> price;  // where an edition's line asks for one; minor units
  // How old it is, where a line asks: made at most so many years ago, longer ago than that, or nobody tells.
  enum class Age : std::uint8_t { not_asked, within, over, not_told };
  Age age = Age::not_asked;
  std::int64_t years = 0;
  std::vector<std::string> not_covered;  // details that an edition wants covered, by name, and it does not cover
  std::size_t stage = 0;                 // the first it may be handed over at, of that edition's `stages_of`
};

// What may be handed over to some players in one edition alone.
struct ItemsBecome : Changed {
  OfSides<bool> only_in;                      // some item may be in this edition alone; true of one at least
  OfSides<std::optional<SampleItem>> sample;  // one such, to `player`; none where that is not settled
};

// A piece of which other items may be handed over to somebody.
struct ItemsChange : Told<ItemsBecome> {
  OfSides<std::uint32_t> piece;
};

// One answer that the editions share, or that one of them lacks.
struct MatchedAnswer {
  Table::Kind kind = Table::Kind::property;
  OfSides<std::optional<std::uint32_t>> target;  // property, piece or caution; absent where an edition lacks it
  bool comparable = true;                        // of a property: its answers are of the same kind in both editions
  OfSides<std::vector<std::int64_t>> meaning;    // of a property, by step: the amount, or the member's number

  // The table that gives it, in the edition's own numbering; the edition must have the answer.
  [[nodiscard]] TableId table_in(const Tables& tables, Side side) const;
  // The two outcomes say the same to a customer.
  [[nodiscard]] bool same(const Outcome& before, const Outcome& after) const;
};

// One answer of the kit that changes for somebody.
struct AnswerChange : Told<Becomes> {
  MatchedAnswer answer;
};

// Players that cannot be under one edition alone, by a line of it.
struct ShutOutAlone {
  std::uint32_t line = 0;  // the edition's Policy::nobody; another may shut out the same players
  std::vector<Box> who;    // lie apart, the largest first
  Readings player;         // one of them, of the shared space; empty where none was found
  bool settled = true;     // false: the budget ended first, and there may be more than these
};

// In counts, so that a result does not depend on the machine. What is past a budget is flagged (settled, left_out).
struct DifferenceBudget {
  std::size_t edges = 4'000'000;  // of one answer's diagrams
  std::size_t parts = 40'000;     // of one search for a player
  std::size_t boxes = 20'000;     // of one answer
  std::size_t shown = 1'000;      // statements of one answer
};

struct Difference {
  std::unique_ptr<const Editions> editions;
  Policy space;                                 // the shared space with the columns that boxes are numbered by
  std::vector<MatchedAnswer> same;              // what stays as it is for every player
  std::vector<AnswerChange> changes;            // what does not; both none where the editions share no player
  OfSides<std::vector<ShutOutAlone>> shut_out;  // by the edition that alone shuts them out
  std::vector<ItemsChange> items;               // by piece, of those that both editions accept items of
  // Rules matched between the editions, by name or, where renamed, by all their rows.
  std::vector<std::pair<RuleId, RuleId>> rules;

  [[nodiscard]] bool settled() const;
};

// Both policies must outlive the result. Answers are matched by name and listed in the later edition's order, then
// those that it lacks. A property is compared among players who have its piece under both editions, and so are its
// items; who gets or loses the piece is reported with the piece. All is compared among the players who can be under
// both editions; who can be under one alone is listed by itself.
[[nodiscard]] Difference differences(const Policy& earlier, const Policy& later, const DifferenceBudget& budget = {});

}  // namespace lacestay::compiler
