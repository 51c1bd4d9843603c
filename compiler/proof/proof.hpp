// The proof: every player gets an answer, and never two; and what the owner makes sure of holds.
//
// Each property and each piece is proved by itself, over one store of diagrams (diagram.hpp): who its rules speak
// to, less who they yield to. A gap is who owes an answer and is covered by no base; a clash is who is in two guards
// at once. Both are sought by partition of the space (box_partition.hpp) where diagrams could grow past any budget.
// Findings are shown with a player that exists (witness.hpp). Three verdicts: proved, refuted with a player, not
// settled (the budget of work ran out); never unsound, never hung, the same on every machine.
#pragma once

#include <memory>
#include <optional>
#include <vector>

#include "compiler/space/witness.hpp"
#include "compiler/tables/policy.hpp"

namespace lacestay::compiler {

struct Finding {
  enum class Kind : std::uint8_t {
    // These refuse the policy.
    gap,                // a player for whom a present piece's property has no answer
    past_range,         // one whose base is moved past the range
    two_answers,        // two base answers meet
    safety_base_moved,  // an ordinary step meets a safety rule's base
    floor_over_cap,
    band_emptied,  // a band, or a choice that is left open, narrowed to nothing
    need_and_omit,
    two_lines,  // two accept lines of one piece, or two lines on what a step is worth, are for one player
    sure_broken,
    nobody_left,  // the lines on players that cannot be leave none, and nothing else is proved
    no_pair,      // they leave no two players for a claim that something never falls or rises to compare
    not_settled,  // the budget ran out
    // These are remarks, made as far as the budget goes. Of a table that is refused only the first is told.
    never_applies,     // a row or rule no player meets
    never_decides,     // a row that could be left out: every player's outcome would stay, gaps and clashes included
    idle_outranks,     // an outranks that could be left out, and with it what follows through it alone in its table
    unreached,         // grades, choices or steps no player can get, nor an item have in place of what he gets
    idle_detail,       // a detail that is asked and that no row looks at, nor an accept line
    not_accepted,      // a piece that nothing in stock is accepted for, where the policy says of others what is
    shuts_out_nobody,  // a line on players that cannot be, and nobody would be let in without it
  };
  Kind kind = Kind::gap;
  TableId table = 0;
  std::vector<RuleId> rules;        // those it is about; two for a clash, or of a choice three or more
  std::vector<std::uint32_t> rows;  // the table's rows, one for each of `rules`, where one row is meant
  std::size_t sure = 0;             // sure_broken, no_pair: index into policy.sures
  std::size_t line = 0;             // shuts_out_nobody: index into policy.nobody
  // two_lines: which two, of the lines that accept items for the piece, or of those on a step of the property.
  std::pair<std::size_t, std::size_t> lines;
  // sure_broken by an item: at which stage (compiler/shelf) it may be handed over, and which step it then has.
  struct Item {
    std::size_t stage = 0;
    std::uint32_t step = 0;
  };
  std::optional<Item> item;
  std::vector<std::uint32_t> steps;  // unreached
  std::uint16_t detail = 0;          // idle_detail
  Box region;                        // who it concerns, over Proof::tables; of a clash, a part of them
  std::vector<Box> also;             // of a clash: the other parts, each with a player, largest first
  double share = 0;                  // how much of the space, from 0 to 1; for ordering
  std::vector<Readings> players;     // one; two where something falls or rises

  [[nodiscard]] bool refuses() const { return kind <= Kind::not_settled; }
};

// How much work a proof may do before it says "not settled".
struct ProofBudget {
  std::size_t edges = 4'000'000;      // of one pass's diagrams over a table
  std::size_t looked_at = 2'000'000;  // boxes, in one search for gaps without diagrams
  std::size_t compared = 20'000'000;  // rows of one table, two by two
  std::size_t parts = 40'000;         // of one search for a player
  std::size_t boxes = 2'000;          // searched for one finding
  std::size_t shown = 10;             // findings of one kind about one table; other parts of one clash
};

struct Proof {
  std::vector<Finding> findings;  // those that refuse first, the largest first within a table
  std::size_t left_out = 0;       // findings past `shown`, and parts of those that are shown
  std::size_t tables_proved = 0;  // properties and pieces
  Tables tables;                  // what `region` is numbered by

  [[nodiscard]] bool refused() const { return !findings.empty() && findings.front().refuses(); }
};

// Cost: about linear in rows where rules lie apart; bounded by the budget.
[[nodiscard]] Proof prove(const Policy& policy, const ProofBudget& budget = {});

}  // namespace lacestay::compiler
