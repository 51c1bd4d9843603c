// What a policy says of the shelf and the till, checked: what is accepted for a piece (stock.cc); which pieces go
// together (links.cc); what a step is worth, deals, and what may be done over the limit (till.cc). Inner to compiler/.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "compiler/check/checker.hpp"

namespace lacestay::compiler {

class StockChecker {
 public:
  explicit StockChecker(Checker& checker);

  // The passes, in order; each leaves its part of Policy::shop.
  void protection();
  void accepts();
  void links();
  void worth();
  void deals();
  void rounding();
  void plan();
  void idle_conditions();  // after the others

 private:
  using Conditions = std::vector<grammar::Condition>;

  // ---- shared
  // Keeps the item's text, by which two editions are compared.
  void keep(std::string about, const grammar::Item& item);
  // Whom a line is for: a table of its own, where it has conditions. False where something was said.
  bool hold_to(const Conditions& when, std::string name, std::size_t file, const grammar::Span& line,
               std::optional<TableId>& players);
  [[nodiscard]] const std::string& name(std::uint32_t piece) const { return policy_.pieces[piece].name; }
  [[nodiscard]] std::string full_name(std::uint32_t property) const;
  void say(const char* code, const grammar::Span& span, std::string message, std::string hint);
  void twice(const grammar::Span& span, const std::string& what, const grammar::Span& first);
  std::optional<std::int64_t> money(const grammar::Quantity& quantity);

  // ---- what is accepted
  bool says_no_requirement(const Conditions& when);
  void accept(const grammar::Accept& form, const grammar::Item& item, std::uint32_t piece,
              const std::optional<TableId>& players);
  // A property of this piece by its own name, or with the piece's before it; of a group that all its pieces have alike,
  // with the group's before it.
  std::optional<std::uint32_t> property_of(std::uint32_t piece, const grammar::Phrase& phrase);
  void require(const grammar::Requirement& form, std::uint32_t piece, Acceptance& made);
  bool require_member(const grammar::Requirement& form, std::uint32_t piece, Requirement& need);
  bool require_related(const grammar::Requirement& form, std::uint32_t piece, Requirement& need);
  bool require_goods(const grammar::Requirement& form, std::uint32_t piece, Requirement& need);
  bool require_price(const grammar::Requirement& form, Requirement& need);
  // The tags so bounded, in minor units; false where something was said.
  bool tags(grammar::Relation relation, const grammar::Quantity& sum, const grammar::Span& span, const char* as_in,
            std::int64_t& least, std::int64_t& most);
  bool require_made(const grammar::Requirement& form, Requirement& need);
  void look_instead(const grammar::Instead& form, std::uint32_t piece, Acceptance& made);
  [[nodiscard]] bool names_condition(const grammar::Phrase& phrase, std::uint32_t piece) const;
  // Used goods, where `lines` want new ones; false where something was said.
  bool may_be_used(const grammar::Instead& form, std::uint32_t piece, std::span<const Acceptance> lines);
  // Another answer than the advised one, of an ordered property by steps, or any; false where something was said.
  bool may_look_elsewhere(const grammar::Instead& form, std::uint32_t property, const std::string& written,
                          const char* or_else);

  // ---- which pieces go together
  [[nodiscard]] std::vector<std::uint32_t> linked_to(std::uint32_t piece) const;
  // A piece of protection that is not sold without this one, or without one that is not.
  [[nodiscard]] std::optional<std::uint32_t> protection_beside(std::uint32_t piece) const;

  // ---- deals
  bool lines(const grammar::Deal::Lines& form, Deal& made);
  bool gives(const grammar::Deal& form, Deal& made);
  bool gives_off(const grammar::Deal::Gives& form, Deal& made);
  void add(std::size_t deal, const grammar::Phrase& other);

  // ---- over the limit
  void plan_step(const grammar::PlanStep& form, std::size_t file);
  // In place of buying the piece; where it protects, never.
  bool may_be_left(const grammar::PlanStep& form, std::uint32_t piece);
  bool settles(const grammar::PlanStep& form, PlanStep& made);
  bool has_lines(const grammar::PlanStep& form, std::uint32_t piece);  // false where something was said

  Checker& checker_;
  Policy& policy_;
  Shop& shop_;
  std::optional<Checker::Grouped> group_;  // of the accept line at hand
  std::vector<bool> by_group_;             // by piece: it is accepted by a group's line
};

}  // namespace lacestay::compiler
