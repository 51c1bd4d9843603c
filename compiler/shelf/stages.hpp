// What a piece's `accept` lines and their `if none in stock` lines let be handed over, property by property.
//
// A *stage* is one way in which an item may answer to an advice: an accept line as it stands, or with one of its lines
// below taken, or, where the customer's limit is short, with a line that settles for something else. Of several accept
// lines one at most applies to a player. Each begins from the advice again. A stage
// turns the advised step of a property into the steps an item may have: by its relation (a moved step keeps it),
// narrowed by the rows that bind items (law.hpp), whether the line names the property or not. The quote asks this of
// one player and of an item's cells, the proof of all players.
//
// Steps are those of AnswerSpace. Hired, borrowed and used goods, and what the fitter chooses, are at no stage.
#pragma once

#include <optional>
#include <vector>

#include "compiler/law/regions.hpp"
#include "compiler/tables/policy.hpp"

namespace lacestay::compiler {

// Steps from `low` to `high`; of a choice those that are one of some members. None where `low` is over `high`, or no
// member is left.
struct StepRange {
  std::int64_t low = 0, high = -1;
  std::optional<MemberSet> among = std::nullopt;

  [[nodiscard]] bool empty() const;
  [[nodiscard]] bool holds(std::int64_t step) const {
    return low <= step && step <= high && (!among || has_member(*among, step));
  }
  friend bool operator==(const StepRange&, const StepRange&) = default;
};
[[nodiscard]] StepRange shared_steps(const StepRange& a, const StepRange& b);

// What a stage asks of one property of an item.
struct Asked {
  std::vector<Requirement::Kind> relations;  // as_advised, at_least, at_most, within; none: any step will do
  std::int64_t moved = 0;                    // steps the advice is moved by before it is held to the relations
  std::vector<std::uint32_t> members;        // it must be each of these
  bool cut_to = false;                       // a shaft is cut to the advised value where it is longer

  [[nodiscard]] bool rests_on_advice() const { return !relations.empty() || cut_to; }
};

struct Stage {
  std::size_t line = 0;                // into Shop::accepts of the piece
  std::optional<std::size_t> instead;  // into Acceptance::instead
  std::optional<std::size_t> settled;  // into Shop::plan; neither of the two: the accept line as it stands
  std::vector<TableId> players;        // of those of its lines that are for some: to be handed it, all must apply
  std::vector<Asked> asked;            // by property of the piece
  bool any_condition = false;          // used goods will do, where the line asks for new ones
};

// Of one accept line, in the order in which they are tried. Lines that refer or order end the list: no stage comes
// after them.
[[nodiscard]] std::vector<Stage> stages_of(const Policy& policy, std::uint32_t piece, std::size_t line);
// What is settled for beside an accept line, in the policy's order.
[[nodiscard]] std::vector<Stage> settled_stages(const Policy& policy, std::uint32_t piece, std::size_t line);
// Of all its lines, one after another, each with what is settled for behind it; none where the policy accepts nothing
// for the piece.
[[nodiscard]] std::vector<Stage> stages_of(const Policy& policy, std::uint32_t piece);
// The line of the policy that makes the stage what it is.
[[nodiscard]] const grammar::Span& line_of(const Policy& policy, std::uint32_t piece, const Stage& stage);
// Whom a line of the shop is for: the boxes in which it applies, over the columns of these tables; everybody, one box
// without cells.
[[nodiscard]] std::vector<Box> players_of(const Tables& tables, const std::optional<TableId>& line);

// The steps by the relations alone. `advised` is an answered outcome; none where it is moved past the declared range.
[[nodiscard]] StepRange steps_asked(const AnswerSpace& space, const Asked& asked, const Outcome& advised);
// The steps that binding rows leave. `advised` is looked at only where a safety rule gave the base: a relation that
// lets an item have more, or less, then takes the answer for a floor, or a cap; else the item keeps to it.
[[nodiscard]] StepRange steps_bound(const Asked& asked, const ItemBounds& bounds, const Outcome& advised);
// Of what was sealed in form 1: the stage moves the answer against a safety rule among the rows that apply, and so is
// left out. False of any later form, where items themselves are bound.
[[nodiscard]] bool refused_by_form_1(const Tables& tables, const Table& table, std::span<const std::uint32_t> rows,
                                     const Asked& asked, const Outcome& advised);
// The steps an item may have in its owner's hands: both of these, a shaft's length as it is once cut.
[[nodiscard]] StepRange steps_handed_over(const AnswerSpace& space, const Asked& asked, const Outcome& advised,
                                          const ItemBounds& bounds);

// The same for all players: who is answered, and may be handed an item with this step. Over the store of `who`, the
// regions of the property's table; may throw Diagrams::OverBudget.
[[nodiscard]] Regions::Set who_may_get(Regions& who, const AnswerSpace& space, const Asked& asked, std::int64_t step);
// The steps at which `who_may_get` can turn, ascending, 0 among them.
[[nodiscard]] std::vector<std::int64_t> turns(const Regions& who, const AnswerSpace& space, const Asked& asked);

}  // namespace lacestay::compiler
