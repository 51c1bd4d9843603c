// A policy's laws as formulas of z3, made from its trees: what can be said of each piece and each property of one
// player. Written from the semantics of the language, like the naive evaluator; it knows nothing of tables.
#pragma once

#include "tests/compiler/proof/z3_terms.hpp"

namespace lacestay::judges {

struct OfPiece {
  z3::expr present;    // needed or suggested, and not left out
  z3::expr needed;     // as a `make sure` has it: nothing leaves it out at the same time
  z3::expr need_omit;  // needed and left out at once
  z3::expr left_out;   // by a rule, and nothing needs it
};

// What a rule that speaks allows of steps.
struct Limit {
  z3::expr speaks;
  naive::Reach allows;
};

struct OfProperty {
  z3::expr to_fitter;       // present, and left to the fitter
  z3::expr owed;            // present, and not left to the fitter
  z3::expr gap;             // owed, no base speaks, and nothing clashes
  z3::expr past_range;      // steps lead the base past the range, and nothing clashes
  z3::expr two_answers;     // owed, and two bases speak; or, beside a refer, two of safety rules
  z3::expr floor_over_cap;  // owed, and a floor above a cap; or, beside a refer, of safety rules
  z3::expr safety_moved;    // owed, and an ordinary step meets a safety rule's base
  z3::expr band_emptied;    // owed, one base at least, and no step of the band is left; or of safety rules alone
  z3::expr answered;        // owed, and none of these
  z3::expr low, high;    // the answer's ends, Int, where answered; of a choice left open both as `naive::Answer` has it
  z3::expr referred;     // left to the fitter, and nothing clashes
  z3::expr least, most;  // what safety rules leave beside that, Int; -1 for no such end
  // What binds an item of it, whatever is accepted: floors, caps and keeps of safety rules and packs; and whether a
  // safety rule gave the base, or moved it.
  std::vector<Limit> binding;
  z3::expr binding_base;
  std::vector<z3::expr> members;  // of a choice, by member: the answer is this one, or leaves it open; where answered
};

class Model {
 public:
  Model(z3::context& context, const naive::Policy& policy, const std::vector<AskedRange>& asked,
        std::vector<z3::expr> steps, bool relaxed)
      : terms_(context, policy, asked, std::move(steps), relaxed) {}

  [[nodiscard]] Terms& terms() { return terms_; }
  // Each detail lies in its domain, and nobody is shut out.
  [[nodiscard]] z3::expr can_be();
  // Made once for each.
  [[nodiscard]] const OfPiece& piece(std::size_t piece);
  [[nodiscard]] const OfProperty& property(std::size_t piece, std::size_t property);
  // Of a caution's rule: it speaks.
  [[nodiscard]] const z3::expr& caution(std::size_t voice) { return applies(voice); }

 private:
  [[nodiscard]] const z3::expr& applies(std::size_t voice);
  [[nodiscard]] z3::expr speaks(std::size_t voice, const std::vector<std::size_t>& concerned);
  // The smallest step not below the first detail, and that one again or, of a band, the largest not above the second:
  // past either end of the range too.
  [[nodiscard]] std::pair<z3::expr, z3::expr> sized(const naive::Voice& voice);
  [[nodiscard]] OfPiece make(const naive::Piece& piece);
  [[nodiscard]] OfProperty make(const naive::Property& property, const z3::expr& present);

  Terms terms_;
  std::map<std::size_t, z3::expr> applies_;
  std::map<std::size_t, OfPiece> pieces_;
  std::map<std::pair<std::size_t, std::size_t>, OfProperty> properties_;
};

// The piece, or the piece and property, a `make sure` is about.
struct Subject {
  std::size_t piece = 0;
  std::optional<std::size_t> property;
};
[[nodiscard]] Subject subject_of(const naive::Policy& policy, const grammar::MakeSure& sure);

// Of a claim that something never falls or rises: the asked detail (its place in `asked`) along which it does not, and
// after it those that it matters whether the two players differ in, and they may, since neither what the rules say of
// the property nor whether the piece is there rests on them. Nothing for the other forms.
[[nodiscard]] std::optional<std::vector<std::size_t>> moves_along(const naive::Policy& policy,
                                                                  const std::vector<AskedRange>& asked,
                                                                  const grammar::MakeSure& sure);

// Of a claim that bounds a property: a step is as it says.
[[nodiscard]] bool allows(const grammar::MakeSure& sure, const naive::Property& property, std::int64_t step);

// The claim is broken by the advice: of one player, or of two, of whom `earlier` has less of a detail.
[[nodiscard]] z3::expr broken(const grammar::MakeSure& sure, Model& player);
[[nodiscard]] z3::expr broken(const grammar::MakeSure& sure, Model& earlier, Model& later);

}  // namespace lacestay::judges
