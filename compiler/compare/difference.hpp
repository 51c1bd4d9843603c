// The difference of two editions: for whom an answer changes, exactly, in few statements.
//
// Rows both editions have, under the same rules, cannot change an answer by themselves. So only where a row that one
// edition alone has (or an outranks that one alone has) applies are both editions looked up: every set of rows that
// can apply there is put before the law of each edition (law.hpp), and where the two outcomes differ the players are
// joined into statements. A statement names players who exist; what no player can meet is left out.
//
// Cost: about rows times changed rows, and the diagrams of the rows around the changes; bounded by the budget.
#pragma once

#include <memory>
#include <optional>
#include <vector>

#include "compiler/compare/editions.hpp"
#include "compiler/law/law.hpp"

namespace lacestay::compiler {

// One answer becoming another, for some of a statement's players.
struct Becomes {
  Outcome before, after;   // in each edition's own steps; a piece or caution an edition lacks is out, or silent
  std::vector<Box> where;  // beside the statement's own conditions; one box without cells: all its players
  double share = 0;
  Readings player;      // one of them, of the shared space
  bool settled = true;  // false: whether anybody is there could not be settled, and there is no player
};

struct Statement {
  Box who;
  std::vector<Box> but_not;  // beside `who`: those of its players for whom nothing changes
  std::vector<Becomes> becomes;
  double share = 0;  // of the space, from 0 to 1
};

// One answer, as each edition gives it.
struct MatchedAnswer {
  Table::Kind kind = Table::Kind::property;
  OfSides<std::optional<std::uint32_t>> target;  // property, piece or caution; absent where an edition lacks it
  bool comparable = true;                        // of a property: its answers are of one kind under both
  OfSides<std::vector<std::int64_t>> meaning;    // of a property, by step: the amount, or the member's number

  // In the edition's own numbering; the answer must not be absent there.
  [[nodiscard]] TableId table_in(const Tables& tables, Side side) const;
  // The two outcomes say the same to a customer.
  [[nodiscard]] bool same(const Outcome& before, const Outcome& after) const;
};

// One answer of the kit that changes for somebody.
struct AnswerChange {
  MatchedAnswer answer;
  std::vector<Statement> statements;  // the largest first
  std::size_t left_out = 0;           // statements past the budget
  bool settled = true;                // false: the budget ran out, and there may be more than the statements say
};

struct DifferenceBudget {
  std::size_t edges = 4'000'000;  // of one answer's diagrams
  std::size_t parts = 40'000;     // of one search for a player
  std::size_t boxes = 20'000;     // of one answer
  std::size_t shown = 1'000;      // statements of one answer
};

struct Difference {
  std::unique_ptr<const Editions> editions;
  Policy space;                       // the shared space with the columns that boxes are numbered by
  std::vector<MatchedAnswer> same;    // what stays as it is for every player
  std::vector<AnswerChange> changes;  // what does not; both none where the editions share no player
  // Rules matched between the editions, by name or, where renamed, by all their rows.
  std::vector<std::pair<RuleId, RuleId>> rules;

  [[nodiscard]] bool settled() const;
};

// Both policies must outlive the result. Answers are matched by name and told in the later edition's order. A property
// is compared among players who have its piece under both editions; who gets or loses the piece is told of the piece.
[[nodiscard]] Difference differences(const Policy& earlier, const Policy& later, const DifferenceBudget& budget = {});

}  // namespace lacestay::compiler
