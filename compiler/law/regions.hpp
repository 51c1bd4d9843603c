// The law of law.hpp for all players at once, as sets of players: the form that the proof asks.
//
// A row speaks to a player to whom it applies, unless a rule that outranks its own applies to that player as well. From
// who each row speaks to follow, by joining and cutting sets, who is referred, who has a gap, who gets which answer;
// and from two such statements, with and without a row, to whom the row matters. For every player the sets say what
// `decide` says of the rows that apply to that player; tests/compiler/law holds the two together.
//
// The sets are decision diagrams over one store with a budget of edges; all may throw Diagrams::OverBudget. What is
// asked for is worked out once and kept. Inner to compiler/.
#pragma once

#include <map>
#include <memory>
#include <optional>
#include <set>
#include <vector>

#include "compiler/law/law.hpp"
#include "compiler/law/outranking.hpp"
#include "compiler/space/diagram.hpp"

namespace lacestay::compiler {

class Regions {
 public:
  using Set = Diagrams::Node;

  // Of a property its piece's table is read as well, which tells who has the piece; its diagrams have as large a budget
  // of their own. Tables and table must outlive this.
  Regions(const Tables& tables, const Table& table, std::size_t budget);

  Diagrams& sets() { return *sets_; }
  [[nodiscard]] const Table& table() const { return table_; }

  // Who a row speaks to.
  Set of_row(std::uint32_t row) {
    return sets_->without(sets_->box(table_.rows[row].box), outrankers_of(table_.rows[row].rule));
  }
  // Everybody a rule applies to, whether it is silenced or not.
  Set of_rule(RuleId rule);

  // Of a property: who has the piece. Of a piece: who has it, needed or suggested, where nothing clashes.
  Set present();
  // The players for whom the table's outcome is defined: of a property those who have the piece, else all.
  Set concerned() { return table_.kind == Table::Kind::property ? present() : within_; }

  // Of a piece: who needs it, who is suggested it, and from whose kit a rule leaves it out.
  Set needed();
  Set suggested();
  Set left_out();

  // Of a property, among those who have the piece: to whom a refer speaks; of these, who is left to the fitter, since
  // nothing that stands beside it clashes; and of these, for whom safety rules leave steps from this one on, or up to
  // this one, alone.
  Set to_fitter();
  Set referred();
  Set referred_from(std::int64_t step);
  Set referred_up_to(std::int64_t step);
  // For whom any other property of the same piece is the fitter's.
  Set to_fitter_elsewhere();
  // Who must get an answer from the rules: present, and no refer speaks.
  Set owed();
  // To whom a base speaks that steps move past the range, where nothing clashes: of those who are owed an answer; of
  // those who are left to the fitter, by safety rules alone.
  Set past_range();
  // To whom a floor and a cap below it speak. (They clash, base or no base.)
  Set crossed();
  // Owed, and a base speaks to them.
  Set with_base();
  // Who is in a gap unless a base speaks to them: owed, and not crossed, which is a clash with or without a base.
  Set needs_base() { return sets_->without(owed(), crossed()); }
  Set without_base() { return sets_->without(needs_base(), with_base()); }
  Set gap() { return sets_->either(without_base(), past_range()); }
  // Owed, and answered by one base with nothing that clashes.
  Set answered();
  // Among `answered`: whose answer is at least a step; of a band, whose lower (or upper) end is.
  Set at_least(std::int64_t step, bool upper_end);
  // Of a choice: among `answered`, whose answer is this member, or leaves it open.
  Set gets(std::int64_t member);
  // Whether a row leaves the choice open, or narrows it: then `at_least` says nothing, and `gets` all there is to say.
  [[nodiscard]] bool left_open() const { return left_open_; }
  // Of such a choice: to whom one base and keeps speak, or keeps alone beside a refer, that leave nothing of it
  // together: two of them, as `opposed` has them, or only three or more.
  Set emptied_together();
  // Among them: to whom all of these rows speak, which leave nothing together.
  Set emptied_by(const std::vector<std::uint32_t>& rows);
  // The steps at which `at_least`, and `forbidden`, can turn: between two neighbouring ones each stays the same set.
  [[nodiscard]] std::vector<std::int64_t> turns() const;
  // Of items: to whom a binding floor, cap or keep speaks that a step does not meet; and whose base a safety rule gives
  // or moves.
  Set forbidden(std::int64_t step);
  Set with_binding_base();

  // Of a property or a piece: for whom any rows clash. Costly where many bases speak; see `no_clashes`.
  Set clash();

  // What was proved otherwise, and so need not be worked out: that all who are owed an answer have a base; that nobody
  // is in a clash.
  void no_gaps() {
    if (crossed() == sets_->nobody()) with_base_ = owed();
  }
  void no_clashes() { clash_ = sets_->nobody(); }
  // The bases' boxes, where who is owed an answer gets one just where one of them applies, whoever is silenced: each
  // rule that outranks a base is one itself, or leaves the answer to the fitter. Nothing elsewhere.
  [[nodiscard]] std::optional<std::vector<const Box*>> bases_together() const;

  // Rows that clash, two by two. Rows of one rule lie apart, and of two rules of which one outranks the other one is
  // silent: neither ever clash.
  struct Opposed {
    std::uint32_t first, second;
    Clash clash;
  };
  [[nodiscard]] std::vector<std::uint32_t> bases() const;  // any two clash where they meet
  [[nodiscard]] std::vector<Opposed> opposed() const;      // all others that clash where they meet
  [[nodiscard]] bool may_speak_together(std::uint32_t first, std::uint32_t second) const;
  // For whom the two clash; that it is whoever meets both boxes.
  Set clash(const Opposed& rows);
  bool clash_wherever_they_meet(const Opposed& rows);

  // Steps of a property that are got together: a row's, or those from one end of bands to the next. Together they are
  // all steps that anybody gets.
  struct Steps {
    std::uint32_t first, last;
    std::optional<std::uint32_t> row;
  };
  [[nodiscard]] std::vector<Steps> steps_together() const;
  Set who_gets(const Steps& steps);

  // Whose outcome, or what binds whose items, would be another if a row were not there; a safety rule's row counts for
  // everybody it applies to. Of players who are in a gap or a clash it says nothing.
  Set changed_without(std::uint32_t row);
  // It would be that of all to whom the row applies, as is plain without working it out.
  bool changes_all_it_applies_to(std::uint32_t row);
  // A row that is not there to change outcomes: a piece's declaration, or what makes a declared piece protection.
  [[nodiscard]] bool stands_by_itself(std::uint32_t row) const;
  // Of some outranks of the table, ascending: for whom both rules of one apply; whose outcome would be another if none
  // of them held.
  Set met_by_both(const std::vector<RulePair>& pairs);
  Set changed_without(const std::vector<RulePair>& pairs);

 private:
  // The table's rows and outranks as seen by some of its players, all of whom have the piece: over the same store.
  Regions(const Regions& all, Set within);
  void leave_out(RuleId rule);
  void leave_out(const std::vector<RulePair>& pairs);
  // Whose outcome differs between two such views of the same players, of which this one is without gaps and clashes.
  Set differs(Regions& other);
  std::vector<Set> outcomes(const std::set<std::int64_t>& lows, const std::set<std::int64_t>& highs);
  template <typename Keep>
  Set bound_to(Effect effect, Keep keep) {
    if (!binds_) return sets_->nobody();
    return speaking(effect, [&](const Row& row) { return row.binds && keep(row); });
  }

  // By how many steps the base is moved, by all rows or by those of safety: who is moved so far. Together everybody.
  using Moves = std::map<std::int64_t, Set>;
  const Moves& moves(bool of_safety);
  // The sums that some of the rows come to, whoever meets them together.
  [[nodiscard]] std::set<std::int64_t> sums_of_moves() const;
  // To whom a base speaks, of all or of those of safety, that lands where `lands(row, moved by)` lets pass.
  template <typename Lands>
  Set landing(bool of_safety, Lands lands) {
    auto all = sets_->nobody();
    for (const auto& [by, who] : moves(of_safety)) {
      const auto bases =
          speaking(Effect::base, [&, by = by](const Row& row) { return (row.safety || !of_safety) && lands(row, by); });
      all = sets_->either(all, stepped_ ? sets_->both(who, bases) : bases);
    }
    return all;
  }

  // Rows of an effect, and of those `keep` lets pass: who they speak to.
  template <typename Keep>
  Set speaking(Effect effect, Keep keep) {
    std::map<RuleId, std::vector<const Box*>> boxes;
    for (const auto* row : rows_)
      if (row->effect == effect && keep(*row)) boxes[row->rule].push_back(&row->box);
    std::vector<const Box*> plain;  // of rules that nobody outranks; joined in one go
    auto all = sets_->nobody();
    for (auto& [rule, held] : boxes) {
      if (yields(rule))
        all = sets_->either(all, sets_->without(among(std::move(held)), outrankers_of(rule)));
      else
        plain.insert(plain.end(), held.begin(), held.end());
    }
    return sets_->either(all, among(std::move(plain)));
  }
  Set speaking(Effect effect) {
    return speaking(effect, [](const Row&) { return true; });
  }
  // Of the players in question, who is in one of the boxes.
  Set among(std::vector<const Box*> boxes) { return sets_->both(sets_->any_of(std::move(boxes)), within_); }
  [[nodiscard]] bool yields(RuleId rule) const { return outranked_by_.count(rule) != 0; }
  // Everybody to whom a rule that outranks this one applies.
  Set outrankers_of(RuleId rule);
  [[nodiscard]] std::vector<std::uint32_t> rows_of(Effect effect) const;
  // Among whom two rows that speak are counted as clashing.
  Set scope_of(const Opposed& rows);

  // Of another table of this policy: a set of its players, as boxes, in this store.
  Set of_other(const Table& other, Set (Regions::*which)());
  // Beside a refer: two safety bases, or safety floors, caps, keeps and a base that leave no step.
  Set crossed_beside();
  // Among those who are asked of: that two of the bases speak; a floor over a cap; a keep and a base, or two keeps,
  // that share no step.
  template <typename Keep>
  Set two_bases(Keep keep);
  template <typename Keep>
  Set floors_over_caps(Keep keep);
  template <typename Keep>
  Set bands_apart(Keep keep);
  // Of a choice that is left open: who is shut out of a member, of each of them, by rows that `keep` lets pass.
  template <typename Keep>
  Set shut_out_of(std::int64_t member, Keep keep) {
    const auto lacks = [&](const Row& row) { return keep(row) && !has_member(members_of(row.low), member); };
    return sets_->either(speaking(Effect::base, lacks), speaking(Effect::keep, lacks));
  }
  template <typename Keep>
  Set emptied(Keep keep);
  Set make_clash();
  Set make_at_least(std::int64_t step, bool upper_end);
  Set changed_without_rule(RuleId rule);
  Set changed_by_silence(std::uint32_t row);
  [[nodiscard]] bool outranks_some(RuleId rule) const;

  const Tables& tables_;
  const Table& table_;
  std::size_t budget_;
  bool band_ = false, limited_ = false;  // of a property: its answer is a band; has a floor or a cap
  bool binds_ = false;                   // a row binds items
  bool stepped_ = false;                 // a row moves the base
  bool left_open_ = false;               // of a choice: a row gives several members, or narrows it
  std::shared_ptr<Diagrams> sets_;
  Set within_;                    // the players in question
  std::vector<const Row*> rows_;  // those that somebody in question may meet
  std::map<RuleId, std::vector<RuleId>> outranked_by_;
  std::map<RuleId, Set> of_rule_, outrankers_, changed_without_;
  std::optional<Set> present_, to_fitter_, crossed_beside_, owed_, crossed_, with_base_, clash_, past_range_, answered_;
  std::optional<Moves> moves_, moves_of_safety_;
  std::map<std::pair<std::int64_t, bool>, Set> at_least_;
};

}  // namespace lacestay::compiler
