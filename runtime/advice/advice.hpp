// An advice: what a player should leave with, piece by piece, with the reason for every line.
//
// Plain data, ready to be written as a text, as JSON or as a page; answers are outcomes, and the faces add words
// (words.hpp) and layout, never facts. Reasons are the rows of the class that the engine found: they are what decided,
// not a reconstruction of it.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "runtime/base/entry_reference.hpp"
#include "runtime/engine/possible.hpp"

namespace lacestay::runtime {

// A detail a rule looked at, and how near the nearest edge of the same answer is.
struct LookedAt {
  std::string detail;
  bool known = true;
  std::string value;  // "not known" where it is not
  std::string told;   // the same in the units it was told in; for people alone, since what is hashed is the JSON
  std::string edge;   // "30 kg under the edge at 60 kg"; empty where there is none
};

// How a detail that an answer turned on came about: by the row of a chart that speaks for this player, or by a formula.
struct Derivation {
  std::string detail, value;
  std::string chart;            // its name; empty of a formula, which says no because
  std::string because, source;  // the chart's
  std::string file;
  std::uint32_t line = 0;  // of the chart's row, or of the formula
  std::string column;      // of a chart that stands in a spreadsheet: "C"; the line is then its row
  std::vector<LookedAt>
      looked_at;  // by the chart's row; or the details in the formula, which have no edge of their own
};

// One rule's part in an answer.
struct Part {
  compiler::Role::Kind role = compiler::Role::Kind::decides;
  std::string rule;  // its name
  std::string says;  // "entry", "at least performance", "needed"
  std::string because, source;
  bool safety = false;
  std::string by;    // silenced, overruled: the rule that did it
  std::string does;  // and what it did: "outranks it", "lifts it"
  std::string file;
  std::uint32_t line = 0;
  std::string column;  // of a chart that stands in a spreadsheet, as of a derivation
  std::vector<LookedAt> looked_at;
  // Of what it looked at, all that is worked out and known, each followed by what it rests on; each once.
  std::vector<Derivation> derived;
  std::uint32_t row = 0;  // of the answer's table
};

// The answer is this part's doing; one that is outranked or overruled did not decide it.
[[nodiscard]] bool speaks(const Part& part);

// The smallest change of one detail that may change and would change the answer.
struct WhatIf {
  std::string detail, value;
  Outcome answer;    // of the answer's table
  std::string told;  // as of Advice::told; for people alone
};

struct Answer {
  TableId table = 0;                  // whose outcomes these are
  Standing standing = Standing::gap;  // meaningful where `certain`
  bool certain = true;                // just one answer is possible
  bool exact = true;                  // false: some of `possible` could not be ruled out in time
  std::vector<Outcome> possible;      // one where it is certain; of a piece, those that have it in the kit first
  std::vector<Part> parts;            // certain: what spoke; else: what decides each possible answer
  std::optional<WhatIf> what_if;
  std::vector<WhatIf> measure_again;  // measured details so near an edge that a slip would change the answer

  [[nodiscard]] bool fault() const { return certain && (standing == Standing::gap || standing == Standing::clash); }
};

struct PropertyAdvice {
  std::string name, label;
  Answer answer;
};

struct PieceAdvice {
  std::string name, label;
  bool owned = false;
  bool may_be_in_kit = true;  // false: left out, or not a piece of this player's kit
  Answer presence;
  std::vector<PropertyAdvice> properties;  // none where it can't be in the kit
};

// A line at the foot.
struct Caution {
  Part part;
  bool certain = true;  // else it speaks for some values of what is not known
};

// What it says, and where that is from: "Warm up. (common practice)"; if it is not certain, "This may apply: Warm up."
[[nodiscard]] std::string text_of(const Caution& caution);

struct Advice {
  std::shared_ptr<const compiler::Policy> given_by;  // in whose terms its answers are
  std::string policy;
  std::int64_t edition = 0;
  std::string day;                                           // the day it was given
  std::string in_force;                                      // "from 1 September 2026", or with its end
  bool outside_edition = false;                              // the day lies outside
  std::vector<std::pair<std::string, std::string>> details;  // name, value; as known
  // By entry of `details`: the value in the units it was told; where these are inches and the policy shows centimetres,
  // or the like, in both: "164 cm (5 ft 4½ in)". For people alone, since what is hashed is the JSON.
  std::vector<std::string> told;
  std::vector<std::string> not_known;     // details without a value
  std::vector<std::string> still_to_ask;  // of those, the ones the policy wants answered
  std::vector<PieceAdvice> pieces;        // in the policy's order
  std::vector<Caution> cautions;          // those that speak, or may speak
  std::optional<std::string> take_next;
  bool certain = true;                  // every answer and every caution told
  std::size_t faults = 0;               // gaps and clashes this player runs into
  std::optional<EntryReference> entry;  // in the daybook, where it was recorded
  std::vector<HandedOver> handed_over;  // beside it, as the daybook has it
};

// "from 1 September 2026", with its end where it has one.
[[nodiscard]] std::string in_force(const compiler::Policy& policy);

// `today` is a day number. Cost: some microseconds a table where all details are known; more with blanks.
[[nodiscard]] Advice advise(const Engine& engine, const Player& player, std::int64_t today);
// The same where what is possible for him, all of it, has been worked out already.
[[nodiscard]] Advice advise(const Engine& engine, const Player& player, const std::vector<Possible>& possible,
                            std::int64_t today);

// One answer alone, as `advise` gives it.
[[nodiscard]] Answer explain(const Engine& engine, const Player& player, TableId table);

}  // namespace lacestay::runtime
