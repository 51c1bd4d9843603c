// What to write where a proof fails for want of an answer: the rule that fills a gap, ready to be pasted, and what
// stands on both sides of it; how a step that leaves the declared range is held back.
#pragma once

#include <set>
#include <string>
#include <vector>

#include "compiler/proof/proof.hpp"
#include "grammar/text/problem.hpp"
#include "runtime/engine/engine.hpp"

namespace lacestay::runtime {

// Quotes whom a rule is for, since that is what is wrong as often as not.
void note_whom(const compiler::RuleText& rule, Problem& diagnostic);

class Mends {
 public:
  // `shown` is the policy with the proof's columns, for writing places. All must outlive this.
  Mends(const Engine& engine, const compiler::Proof& proof, const compiler::Policy& shown)
      : engine_(engine), policy_(engine.policy()), proof_(proof), shown_(shown) {}

  // Of a gap: puts the hint, the text that is ready and what stands beside it into the problem.
  void gap(const compiler::Finding& finding, Problem& diagnostic);
  // Of an answer moved past the declared range: the same; and what moved it, as the beginning of a sentence.
  void move(const compiler::Finding& finding, Problem& diagnostic);
  [[nodiscard]] std::string moved_past(const compiler::Finding& finding) const;

 private:
  // Of the finding's player: the base, and the rows that move it.
  struct Moved {
    const compiler::Row* base = nullptr;
    std::vector<const compiler::Row*> by;
  };
  struct Side {
    std::string whom;
    Outcome outcome;
    std::string rule = "";    // the one that answers there, where it is one
    grammar::Span span = {};  // its row, or its first line
    bool ends_there = false;  // its row ends where the gap begins
  };
  [[nodiscard]] const compiler::Table& table(compiler::TableId id) const { return policy_.tables.tables[id]; }
  [[nodiscard]] std::string name(compiler::TableId id) const { return policy_.name_of(table(id)); }
  [[nodiscard]] std::string brought_in(const compiler::Finding& finding, const compiler::Box& region,
                                       Problem& diagnostic) const;
  [[nodiscard]] std::string ends_turned_round(const compiler::Finding& finding, Problem& diagnostic) const;
  [[nodiscard]] std::string rule_for(const compiler::Box& region, const std::string& property,
                                     const std::string& action);
  [[nodiscard]] Moved moved(const compiler::Finding& finding) const;
  [[nodiscard]] compiler::Box around_player(const compiler::Finding& finding) const;
  [[nodiscard]] std::string new_name(const std::string& property);
  [[nodiscard]] std::string answer_to_set(compiler::TableId id, const Outcome& outcome) const;
  [[nodiscard]] std::vector<Side> sides_of(const compiler::Finding& finding, const compiler::Box& region) const;
  [[nodiscard]] std::vector<Side> sides_worked_out(const compiler::Finding& finding, const compiler::Box& region) const;
  [[nodiscard]] bool one_answer(compiler::TableId id, const compiler::Box& box) const;

  const Engine& engine_;
  const compiler::Policy& policy_;
  const compiler::Proof& proof_;
  const compiler::Policy& shown_;
  std::set<std::string> suggested_;  // names of rules
};

}  // namespace lacestay::runtime
