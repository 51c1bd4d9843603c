// The checker (semantic analysis): from trees to a policy whose names, units and types are known to be right.
//
// Inner to compiler/. Its work is one pass after another over a shared state, listed in compile.cc; each pass has
// its own file. What it makes is a draft: the finished texts of the policy, and rules whose conditions are still
// edges in ticks. Lowering (lower.cc) numbers the edges and turns the draft into tables.
#pragma once

#include <map>
#include <optional>
#include <set>
#include <string>
#include <unordered_map>
#include <utility>
#include <vector>

#include "compiler/tables/policy.hpp"
#include "grammar/text/diagnostic.hpp"
#include "grammar/tree/tree.hpp"

namespace lacestay::compiler {

// A condition on one column: values from one edge up to another, or some of the members.
struct DraftTest {
  ColumnId column = 0;
  std::optional<Cut> from, to;
  std::vector<std::uint32_t> members;
};

struct DraftRow {
  std::vector<DraftTest> tests;
  std::int64_t low = 0, high = 0;
  std::uint32_t entry = 0;
  bool upper_end = false;  // of `size … from … to`: it keeps the rule's other rows within its steps
};

// A rule, a chart or a piece's own `for`, ready to be lowered: in each target's table it puts its rows, each held
// to `when` as well.
struct DraftRule {
  RuleId id = 0;
  Effect effect = Effect::base;
  bool safety = false;
  std::size_t file = 0;                // index into Checker::files
  std::vector<std::uint32_t> targets;  // properties, pieces, one caution or one worked-out detail
  std::vector<DraftTest> when;
  std::vector<DraftRow> rows;
};

struct DraftSure {
  Sure sure;
  std::vector<DraftTest> when;
};

// Conditions that nobody meets together.
struct DraftNobody {
  std::vector<DraftTest> has;
  std::uint32_t line = 0;  // Policy::nobody
};

// One file of the policy, as it was brought in.
struct PolicyFile {
  grammar::File tree;
  bool pack = false;
  std::string pack_name;                     // the file's name without its ending
  std::vector<grammar::Condition> only_for;  // of the line that brought a pack in
};

struct TargetName {
  bool piece = false;  // else a property
  std::uint32_t index = 0;
};

// `group padding is …`; and, without a name of its own, every piece.
struct NamedGroup {
  std::string name;
  std::vector<std::uint32_t> pieces;
  grammar::Span span;
};

class Checker {
 public:
  Checker(Policy& made, std::vector<PolicyFile>& read, grammar::Diagnostics& told)
      : policy(made), files(read), diagnostics(told) {}

  // The passes, in order.
  void read_headings();       // policy, edition, money                   headings.cc
  void declare_details();     // ask                                      details.cc
  void declare_kit();         // piece, its properties                    kit.cc
  void declare_groups();      // group                                    groups.cc
  void declare_worked_out();  // work out, charts that give a detail      formulas.cc
  void check_reliance();      // relies on                                details.cc
  void check_rules();         // rule, chart, a piece's `for`             rules.cc, charts.cc
  void check_outranks();      // cycles, safety, nothing shared           outranks.cc
  void check_sures();         // make sure                                sures.cc
  void check_nobody();        // nobody has                               nobody.cc
  void check_stock();         // accept, worth, deal, over the limit      stock.cc
  void check_owed();          // every property has something that answers it   kit.cc

  Policy& policy;
  std::vector<PolicyFile>& files;
  grammar::Diagnostics& diagnostics;

  std::vector<DraftRule> rules;
  std::vector<DraftSure> sures;
  std::size_t shop_lines = 0;  // those with conditions; each has a table
  std::vector<DraftNobody> nobody;
  std::vector<std::pair<RuleId, RuleId>> outranks;  // closed, sorted

  // ---- names
  std::unordered_map<std::string, ColumnId> columns;  // details, asked and worked out
  std::unordered_map<std::string, std::uint32_t> pieces;
  std::multimap<std::string, TargetName> targets;  // pieces, and "piece_property" for every way to split
  std::set<ColumnId> relied_on_otherwise;  // by a pack that relies on another kind, or grain, than the policy has
  std::unordered_map<std::string, RuleId> rule_names;
  std::vector<NamedGroup> groups;

  // Each of these says what is wrong and returns nothing.
  std::optional<ColumnId> column_named(const grammar::Phrase& phrase);
  std::optional<TargetName> target_named(const grammar::Phrase& phrase) { return target_named(phrase, false); }
  std::optional<std::uint32_t> piece_named(const grammar::Phrase& phrase);
  std::optional<std::uint32_t> property_named(const grammar::Phrase& phrase);

  // ---- groups                                                              groups.cc
  // What a phrase says of several pieces at once: a group, or every piece; and of which property of each, if any.
  struct Grouped {
    const NamedGroup* group = nullptr;  // null: every piece
    std::string property;
  };
  [[nodiscard]] std::optional<Grouped> grouped(const grammar::Phrase& phrase) const;
  // All that a phrase names where one or several may stand: pieces; properties, which are declared alike. None where
  // something was said.
  std::vector<std::uint32_t> pieces_named(const grammar::Phrase& phrase);
  std::vector<std::uint32_t> properties_named(const grammar::Phrase& phrase);
  // Of a group's pieces the property of this name.
  std::vector<std::uint32_t> properties_alike(const Grouped& named, const grammar::Span& span);

  // ---- quantities                                                          values.cc
  [[nodiscard]] Due due_for(const Scale& scale) const;
  std::optional<std::int64_t> ticks(const grammar::Quantity& quantity, const Due& due);
  // The ticks of a quantity or a day, for a value that stands where `scale` is due.
  std::optional<std::int64_t> amount(const grammar::Value& value, const Scale& scale);
  std::optional<std::uint32_t> member(const grammar::Phrase& phrase, const Scale& scale, const std::string& of);
  // The steps of a property's answer.
  std::optional<std::pair<std::int64_t, std::int64_t>> answer(const grammar::Cell& cell, std::uint32_t property);
  [[nodiscard]] bool names_another_answer(const grammar::Cell& cell, const Scale& scale) const;
  std::optional<std::pair<std::int64_t, std::int64_t>> left_open(const grammar::LeftOpen& open, std::uint32_t property);
  [[nodiscard]] std::string instead_of_limits(std::uint32_t property, bool in_pack) const;
  // An asked detail's edge must be a value of its grain.
  bool on_grain(std::int64_t ticks, ColumnId column, const grammar::Span& span);

  // ---- conditions                                                          conditions.cc
  // Nothing where one of them is wrong. In a pack, edges outside the owner's domain are let pass.
  std::optional<std::vector<DraftTest>> tests(const std::vector<grammar::Condition>& conditions, bool pack);
  // An edge on a column; on an asked detail "after a value" becomes "before the next one".
  [[nodiscard]] Cut cut_before(ColumnId column, std::int64_t ticks) const;
  [[nodiscard]] Cut cut_after(ColumnId column, std::int64_t ticks) const;
  // True where no value of the column lies below the edge, or none from it on.
  [[nodiscard]] bool nothing_below(ColumnId column, const Cut& cut) const;
  [[nodiscard]] bool nothing_above(ColumnId column, const Cut& cut) const;

  // ---- charts                                                              charts.cc
  // The tests of each head of an axis, in order; nothing where the axis is wrong.
  std::optional<std::vector<DraftTest>> axis(ColumnId column, const std::vector<const grammar::Head*>& heads,
                                             const grammar::Span& chart);
  // Rows of a chart, row by row; `read` turns a cell into the two ends of an answer.
  template <typename ReadCell>
  std::optional<std::vector<DraftRow>> chart_rows(const grammar::Chart& chart, RuleText& text, ReadCell read);

  // Takes in how an edge of a column was written, so that it is shown so.           details.cc
  void note_edge(ColumnId column, const grammar::Value& value, std::int64_t ticks);
  void note_edge(ColumnId column, const std::vector<ShownUnit>& units, std::int64_t ticks);
  void show_edges_as_written();

  // ---- the shelf and the till                                              stock.cc
  // The table of a line with conditions, by its number; once all details, pieces and cautions are known.
  [[nodiscard]] TableId shop_line_table(std::size_t line) const;

  // ---- shared by rules and charts                                          rules.cc
  RuleId new_rule(const grammar::Word& name, RuleText::Kind kind, const grammar::Clauses& clauses, std::size_t file,
                  const grammar::Span& head);
  std::vector<DraftTest> applies_when(const grammar::Clauses& clauses, std::size_t file);

  // Calls `visit(form, item, file index)` for each item of the form, in order of file and place.
  template <typename Form, typename Visit>
  void each(Visit visit) {
    for (std::size_t file = 0; file < files.size(); ++file)
      for (auto& item : files[file].tree.items)
        if (auto* form = std::get_if<Form>(&item.form)) visit(*form, item, file);
  }

 private:
  void check_rule(const grammar::Rule& rule, const grammar::Item& item, std::size_t file);
  void note_cells_beside(const grammar::Chart& chart, std::size_t row, std::size_t column);
  void check_chart(const grammar::Chart& chart, const grammar::Item& item, std::size_t file);
  bool add_piece(std::uint32_t piece, const grammar::Phrase& phrase, DraftRule& made);
  void add_referred(const grammar::Phrase& phrase, DraftRule& made);
  bool restricts_only(const grammar::Rule& rule, const grammar::Item& item, std::size_t file);
  std::optional<DraftTest> test(const grammar::Condition& condition, bool pack);
  std::optional<std::pair<ColumnId, grammar::Phrase>> member_in(const grammar::Condition& condition);
  std::optional<DraftTest> membership(const grammar::Condition& condition);
  std::optional<DraftTest> span_of_grades(const grammar::Condition& condition);             // spans.cc
  std::optional<DraftTest> span_of_values(const grammar::Condition& condition, bool pack);  // spans.cc
  [[nodiscard]] std::optional<std::int64_t> whole_steps_of(ColumnId column) const;          // spans.cc
  std::optional<DraftTest> comparison(const grammar::Condition& condition, bool pack);
  [[nodiscard]] std::vector<std::string> column_names() const;
  [[nodiscard]] std::string target_begins(const std::string& name) const;
  [[nodiscard]] std::string asked_and_unread() const;
  std::optional<TargetName> target_named(const grammar::Phrase& phrase, bool property_due);
  void unknown_property(const PieceText& piece, const std::string& name, const grammar::Span& span);
  void unknown_target(const grammar::Phrase& phrase, bool property_due);
  bool check_sized_from(std::uint32_t property, ColumnId column, const grammar::Span& span);  // sizes.cc
  void check_size(const grammar::Action& action, std::uint32_t property, DraftRule& made);    // sizes.cc
  void check_formula(const grammar::WorkOut& form, const grammar::Item& item);
  void add_worked_out(WorkedOut made, WorkedOutText text);
  std::optional<Scale> scale_given(const grammar::Chart& chart);
  void check_detail_chart(const grammar::Chart& chart, const grammar::Item& item, std::size_t file);
  void read_domain(const grammar::Domain& domain, Scale& scale, std::int64_t& low, std::int64_t& high);
  void take_units(const grammar::Quantity& last, const grammar::Domain& domain, Scale& scale);
  static std::optional<grammar::Amount> cell_unit(const grammar::Domain& domain, const Scale& scale);
  static void note_ends(const grammar::Interval& interval, Scale& scale);
  static void note_written(const grammar::Quantity& quantity, Scale& scale);
  void read_sizes(const grammar::Domain& domain, PropertyText& text);
  void read_shown(const grammar::Domain& domain, Scale& scale);
  void declare_property(const grammar::Property& property, std::uint32_t piece);
  bool members_once(const grammar::Domain& domain, Scale& scale);
  bool read_shown_members(const grammar::Domain& domain, Scale& scale);
  bool fresh_name(const std::string& name, const grammar::Span& span, const char* what,
                  const std::vector<std::pair<std::string, grammar::Span>>& known);

  std::vector<std::optional<grammar::Amount>> cell_units_;  // by property, of its chart's cells: an amount in that unit
  // By column and ticks. The first way of writing an edge stays, but for the detail's own units.
  std::map<std::pair<ColumnId, std::int64_t>, std::vector<ShownUnit>> written_edges_;

  struct WrittenOutrank {
    RuleId over;
    std::size_t file;
    const grammar::Phrase* under;
  };
  std::vector<WrittenOutrank> written_outranks_;
};

}  // namespace lacestay::compiler
