// Parsed lines become the typed tree. Inner to grammar/.
#pragma once

#include "grammar/read/nodes.hpp"
#include "grammar/text/diagnostic.hpp"
#include "grammar/tree/tree.hpp"

namespace lacestay::grammar {

// Where a number stands without a unit, that of the last one beside it serves it too.
void share_unit(Quantity& bare, const Quantity& last);

class Builder {
 public:
  Builder(const Source& source, Diagnostics& diagnostics) : source_(source), diagnostics_(diagnostics) {}

  // A line at the very left. The root's one child is the item.
  [[nodiscard]] Item item(const Node& root) const;
  // Adds what an indented line says to the item it stands under.
  void add_property(const Node& root, Piece& piece) const;
  void add_to_rule(const Node& root, const Span& line, Rule& rule) const;
  void add_to_chart(const Node& root, const Span& line, Chart& chart) const;
  void add_to_accept(const Node& root, const Span& line, Accept& accept) const;
  void add_to_deal(const Node& root, const Span& line, Deal& deal) const;
  void add_to_plan(const Node& root, const Span& line, OverTheLimit& plan) const;
  void add_to_player(const Node& root, Player& player) const;

  [[nodiscard]] Value value(const Node& node) const;
  [[nodiscard]] Phrase phrase(const Node& node) const;
  [[nodiscard]] Cell cell(const Node& node) const;
  [[nodiscard]] Head head(const Node& node) const;

 private:
  [[nodiscard]] Word word(const Node& node) const;
  [[nodiscard]] std::vector<Phrase> phrases(const Node& parent) const;  // all its children
  [[nodiscard]] Text text(const Node& node) const;
  [[nodiscard]] Amount number(const Node& node) const;  // its text is the number's
  [[nodiscard]] Amount amount(const Node& node) const;
  [[nodiscard]] Quantity quantity(const Node& node) const;
  [[nodiscard]] Date date(const Node& node) const;
  [[nodiscard]] Interval interval(const Node& node) const;
  [[nodiscard]] static Relation relation(const Node& node);
  [[nodiscard]] Condition condition(const Node& node) const;
  [[nodiscard]] std::vector<Condition> conditions(const Node& parent) const;  // of its `when` child, or none
  [[nodiscard]] Expression expression(const Node& node) const;
  [[nodiscard]] Domain domain(const Node& parent) const;
  [[nodiscard]] Instead instead(const Node& node, const Span& line) const;
  [[nodiscard]] Steps steps(const Node& node) const;
  [[nodiscard]] MakeSure make_sure(const Node& node) const;
  [[nodiscard]] Nobody nobody(const Node& node) const;
  [[nodiscard]] Requirement requirement(const Node& node) const;
  [[nodiscard]] Accept accept(const Node& node) const;
  [[nodiscard]] bool add_clause(const Node& node, const Span& line, Clauses& clauses) const;
  [[nodiscard]] std::optional<Text> find_text(const Node& parent) const;
  // The node's span without the blanks that its rule consumed after it.
  [[nodiscard]] Span span(const Node& node) const;
  // `first` is where the item said it before; a default span if it did not.
  void once(const Span& first, const Span& line, const char* what) const;

  const Source& source_;
  Diagnostics& diagnostics_;
};

}  // namespace lacestay::grammar
