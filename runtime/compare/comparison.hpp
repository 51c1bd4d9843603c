// Two editions of a policy compared: who gets another answer, why each edition says so, to whom other items may be
// handed over, and what else is different.
//
// Plain data, ready to be written as a text, as JSON or as a page. What changes for whom is
// compiler/compare/difference.hpp's; every player shown has been run through both editions' engines first.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "compiler/compare/difference.hpp"
#include "runtime/advice/advice.hpp"
#include "runtime/compare/people.hpp"

namespace lacestay::runtime {

struct EditionLine {
  std::string policy, in_force;
  std::string file;  // as the caller names it
  std::int64_t edition = 0;
  std::string money;  // its currency
};

// Some of a statement's players, for all of whom the same changes.
struct ChangedLine {
  std::vector<std::string> where;                           // beside the statement's conditions; empty: for all of them
  std::vector<std::pair<std::string, std::string>> player;  // what both editions' rules about it look at
  std::vector<std::pair<std::string, std::string>> complete;  // every detail
  bool settled = true;  // false: whether there is such a player could not be settled, and none is shown
};

// One answer becoming another.
struct BecomesLine : ChangedLine {
  std::string before, after;
  std::vector<Part> why_before, why_after;
};

// An item that may be handed over under one edition alone.
struct ItemLine {
  std::vector<std::pair<std::string, std::string>> values;  // of its properties, without those that may be anything
  bool used = false;
  std::string label;                     // "in date", "without a date", "out of date"
  std::vector<std::string> not_covered;  // details
  std::string price;                     // "85 GBP", where the line of either edition asks for one
  std::string made;                      // "made at most 4 years ago", where one asks how old it is
  std::string by;                        // the line it is handed over by, as the policy has it

  // "tier entry, size 260 mm, used", "one that is used"; empty where nothing about it matters.
  [[nodiscard]] std::string what() const;
};

// What may be handed over in one edition alone: an item for instance, to the player shown.
struct ItemsBecomeLine : ChangedLine {
  bool some_lost = false, some_gained = false;
  std::optional<ItemLine> lost, gained;
};

template <typename What>
struct StatementLineOf {
  std::string who;  // "weight 60 kg up to 75 kg, skill new or improving", or "every player"
  std::vector<std::string> but_not;
  std::vector<What> becomes;
  double share = 0;
};
using StatementLine = StatementLineOf<BecomesLine>;

// What changes about one answer, or about the items of one piece.
template <typename What>
struct ChangeLinesOf {
  std::string answer;  // "stick flex", "neck_guard", the name of a caution; the piece's
  std::vector<StatementLineOf<What>> statements;
  std::size_t left_out = 0;
  bool settled = true;
};
using ChangeLines = ChangeLinesOf<BecomesLine>;
using ItemsLines = ChangeLinesOf<ItemsBecomeLine>;

// Players who can be under one edition alone, and by which of the other's lines they cannot be there.
struct ShutOutLine {
  std::vector<std::string> who;
  std::string sentence;
  std::vector<std::pair<std::string, std::string>> player;    // what the line looks at
  std::vector<std::pair<std::string, std::string>> complete;  // every detail; empty where nobody was found
  bool settled = true;
};

// Something that is different beside the answers.
struct AlsoLine {
  std::string about;          // "age", "rule flex_chart"
  std::string before, after;  // empty where an edition has none
};

// What stays as it is for every player: a whole piece, a single answer, or of a piece that changes otherwise who gets
// it.
struct SameLine {
  std::string answer;  // "stick", "stick flex"
  bool who_gets = false;
};

struct Comparison {
  EditionLine earlier, later;
  bool apart = false;  // no player lies in both editions' domains
  std::vector<ShutOutLine> shut_out_now, let_in_now;
  std::vector<ChangeLines> changes;
  std::vector<ItemsLines> items;  // what may be handed over
  std::vector<SameLine> same;
  std::vector<AlsoLine> asked;        // details, their domains and members; pieces and properties one edition alone has
  std::vector<AlsoLine> texts;        // names, reasons, sources and cautions of rules that say the same
  std::vector<AlsoLine> held_to;      // which rules are safety rules, the `make sure` lines and who nobody is
  std::vector<AlsoLine> shop;         // what is accepted from stock, deals, worth and what is done over the limit
  std::optional<PeopleLines> people;  // where the caller brought any
  [[nodiscard]] bool any() const {
    return apart || !shut_out_now.empty() || !let_in_now.empty() || !changes.empty() || !items.empty() ||
           !asked.empty() || !texts.empty() || !held_to.empty() || !shop.empty();
  }
};

// The engines are those of the policies the difference was taken of. Throws std::logic_error if a player does not
// differ as the difference says, or an item is not handed over as it says, which would be a fault of this program.
[[nodiscard]] Comparison comparison_of(const Engine& earlier, const Engine& later,
                                       const compiler::Difference& difference);

// "stick flex", "neck_guard", the name of a caution's rule.
[[nodiscard]] std::string name_of(const Engine& earlier, const Engine& later, const compiler::MatchedAnswer& answer);

// A box in a shop's words: "weight 60 kg up to 75 kg, skill new or improving"; empty for all players.
[[nodiscard]] std::string in_words(const compiler::Policy& policy, const compiler::Box& box);

}  // namespace lacestay::runtime
