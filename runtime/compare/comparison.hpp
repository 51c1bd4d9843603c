// Two editions of a policy compared: who gets another answer, why each edition says so, and what else is different.
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

// One answer becoming another.
struct BecomesLine {
  std::vector<std::string> where;  // beside the statement's conditions; empty: for all its players
  std::string before, after;
  std::vector<std::pair<std::string, std::string>> player;    // what both editions' rules about it look at
  std::vector<std::pair<std::string, std::string>> complete;  // every detail
  std::vector<Part> why_before, why_after;
  bool settled = true;  // false: whether there is such a player could not be settled, and none is shown
};

struct StatementLine {
  std::string who;  // "weight 60 kg up to 75 kg, skill new or improving", or "every player"
  std::vector<std::string> but_not;
  std::vector<BecomesLine> becomes;
  double share = 0;
};

struct ChangeLines {
  std::string answer;  // "stick flex", "neck_guard", the name of a caution
  std::vector<StatementLine> statements;
  std::size_t left_out = 0;
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
  std::vector<ChangeLines> changes;
  std::vector<SameLine> same;
  std::vector<AlsoLine> asked;        // details, their domains and members; pieces and properties one edition alone has
  std::vector<AlsoLine> texts;        // names, reasons, sources and cautions of rules that say the same
  std::vector<AlsoLine> held_to;      // which rules are safety rules, and the `make sure` lines
  std::vector<AlsoLine> shop;         // what is accepted from stock, deals, worth and what is done over the limit
  std::optional<PeopleLines> people;  // where the caller brought any
  [[nodiscard]] bool any() const {
    return apart || !changes.empty() || !asked.empty() || !texts.empty() || !held_to.empty() || !shop.empty();
  }
};

// The engines are those of the policies the difference was taken of. Throws std::logic_error if a player does not
// differ as the difference says, which would be a fault of this program.
[[nodiscard]] Comparison comparison_of(const Engine& earlier, const Engine& later,
                                       const compiler::Difference& difference);

// "stick flex", "neck_guard", the name of a caution's rule.
[[nodiscard]] std::string name_of(const Engine& earlier, const Engine& later, const compiler::MatchedAnswer& answer);

// A box in a shop's words: "weight 60 kg up to 75 kg, skill new or improving"; empty for all players.
[[nodiscard]] std::string in_words(const compiler::Policy& policy, const compiler::Box& box);

}  // namespace lacestay::runtime
