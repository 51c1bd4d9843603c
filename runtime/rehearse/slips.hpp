// Planted slips: the small things a person gets wrong when editing a policy, each made on the policy's own text.
//
// A slip is a change an owner could make by mistake: an edge moved by one step, a member forgotten, two rows swapped.
// It is made on the text and compiled like any other, so that what it does is never guessed.
#pragma once

#include <string>
#include <vector>

#include "compiler/check/compile.hpp"
#include "compiler/tables/policy.hpp"

namespace lacestay::runtime {

struct Slip {
  enum class Kind : std::uint8_t {
    edge_moved,      // by one step of its unit
    edge_turned,     // "under" for "at most", "over" for "at least"
    condition_lost,  // a cell to "any"
    member_changed,  // added to a list of members, or dropped from it
    answer_changed,  // to its neighbour
    row_lost,        // of a chart
    rule_lost,       // a rule or a whole chart
    outranks_lost,
    safety_lost,
    rows_swapped,     // the answers of two neighbouring rows
    rounding_turned,  // up for down
    step_turned,      // of a rule, up for down
    grouped_lost,     // a piece of a group
    // Of what may be handed over.
    requirement_lost,   // of an `accept` line
    relation_weakened,  // "as advised" to "at least advised", of what has an order
    instead_lost,       // an `if none in stock` line
    instead_turned,     // its step up for down
    protection_lost,    // a piece named as protection
    link_lost,          // a line that says which piece goes with which
  };
  struct Edit {
    std::uint32_t begin, end;  // bytes of the file
    std::string text;          // what stands there instead
  };
  Kind kind = Kind::edge_moved;
  grammar::Span place;      // what it is made on
  std::vector<Edit> edits;  // in one file, ascending, apart
  std::string says;         // "'70 kg' becomes '71 kg'"
  std::string detail;       // on an edge of a number or a day: the detail it stands on, and where it stood, in ticks
  std::int64_t at = 0;
  bool of_accept = false;  // made on an accept line, its conditions too
};

// "an edge moved", for a heading.
[[nodiscard]] const char* name_of(Slip::Kind kind);

// It is made on what the shelf lets be handed over: no answer of an advice need turn on it.
[[nodiscard]] inline bool on_the_shelf(const Slip& slip) {
  return slip.of_accept || slip.kind >= Slip::Kind::requirement_lost || slip.kind == Slip::Kind::safety_lost;
}

// An edge of a number or a day moved, or open for closed.
[[nodiscard]] inline bool on_an_edge(const Slip& slip) { return !slip.detail.empty(); }

// Every slip of these kinds that can be made on a policy, in order of file and place. Cost: linear in the text.
[[nodiscard]] std::vector<Slip> slips_of(const compiler::Policy& policy);

// The policy with one slip made. May not compile.
[[nodiscard]] compiler::Compiled with_slip(const compiler::Policy& policy, const Slip& slip);

}  // namespace lacestay::runtime
