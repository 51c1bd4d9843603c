// What of the shelf may be handed over, by the letter of the semantics: who may have which item, at which stage, and
// where a `make sure` line is broken by one.
//
// It stands on the naive evaluator and shares no code with compiler/law, compiler/shelf or runtime/quote. A player with
// blanks is the list of all players he could be; a cell is tried value by value. Slow, plain, and meant to be believed.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "tests/reference/evaluator.hpp"

namespace lacestay::naive {

// From one amount to another, both in; in the units of values.hpp.
struct Stretch {
  Rational low, high;
};

// What an item's row says of one property: members of a choice or a grade, or an amount. Neither: it is blank.
struct ShelfCell {
  std::vector<std::int64_t> members;
  std::optional<Stretch> amount;

  [[nodiscard]] bool blank() const { return members.empty() && !amount; }
};

struct ShelfItem {
  bool on_hand = true, used = false;
  std::optional<Day> certified_until, made;
  Rational price;
  std::string make, number;
  std::vector<std::string> goes_with;                  // the makes and numbers it names of its partner
  std::vector<ShelfCell> values;                       // by property of its piece
  std::map<std::string, Stretch, std::less<>> covers;  // by detail
};

// One of the piece's accept lines as it stands, or with one of its lines below, or one that settles for something else
// where the customer's limit is short; all counted from 0.
struct ShelfStage {
  std::size_t line = 0;
  std::optional<std::size_t> instead, settled;
};

// A player all of whose details are known, and all that is said to him.
struct Fitted {
  Player player;
  Outcome outcome;
  std::map<const Property*, std::vector<Saying>> sayings;
};

struct HandedOver {
  enum class Kind {
    items,
    none,         // nothing on the shelf is as the policy wants it, and no line says what then
    refer,        // the fitter's
    order,        // to be ordered in
    not_certain,  // a detail must be taken first
    not_sold,     // no accept line that is for him
  };
  Kind kind = Kind::none;
  std::vector<std::size_t> items;      // places in what was asked about, ascending
  std::optional<std::size_t> instead;  // where a line below took

  friend bool operator==(const HandedOver&, const HandedOver&) = default;
};

class Shelf {
 public:
  // Keeps a reference to the policy.
  explicit Shelf(const Policy& policy);

  [[nodiscard]] Fitted fitted(const Player& player) const;

  // Of a piece, for a player who may be each of `possible`; nothing where none of them has it in his kit.
  [[nodiscard]] std::optional<HandedOver> hand_over(std::size_t piece, const std::vector<const Fitted*>& possible,
                                                    const std::vector<ShelfItem>& items, Day day) const;

  // Of every piece that he may have in his kit, owning these pieces: pieces that go together looked at together.
  // `items` is by piece.
  [[nodiscard]] std::map<std::size_t, HandedOver> hand_over_kit(const std::vector<const Fitted*>& possible,
                                                                const std::set<std::size_t>& owned,
                                                                const std::vector<std::vector<ShelfItem>>& items,
                                                                Day day) const;
  // Of two items of these pieces: whether they may be handed over together.
  [[nodiscard]] bool go_together(std::size_t a, const ShelfItem& of_a, std::size_t b, const ShelfItem& of_b) const;

  // The stages there are: of each line in the order in which they are tried, then what is settled for. None where
  // nothing is accepted for the piece.
  [[nodiscard]] std::vector<ShelfStage> stages(std::size_t piece) const;
  // The steps of a property that an item handed over at a stage may have in its owner's hands.
  [[nodiscard]] std::vector<std::int64_t> steps(std::size_t piece, std::size_t property, ShelfStage stage,
                                                const Fitted& player) const;
  // Whether a claim is broken by the player's advice, and by such an item.
  [[nodiscard]] bool broken_by_advice(const Claim& claim, const Fitted& player) const;
  [[nodiscard]] bool broken_by_item(const Claim& claim, ShelfStage stage, std::int64_t step,
                                    const Fitted& player) const;
  // Whether an item may be handed over at a stage, to a player who may be each of `possible`.
  [[nodiscard]] bool may_settle(std::size_t piece, ShelfStage stage, const std::vector<const Fitted*>& possible,
                                const ShelfItem& item, Day day) const;
  // Two of the piece's accept lines are for one player.
  [[nodiscard]] bool two_lines(std::size_t piece, const Fitted& player) const;
  // By the advice of any player, or an item of any stage. Of a claim on the advice alone: by the advice.
  [[nodiscard]] bool broken(const Claim& claim, const std::vector<Fitted>& everybody) const;

  // What an item does to what must hold, stages aside: each value it could be sold as breaks a safety rule, a pack's
  // limit or one of the claims, of somebody who has the piece; told in words, empty where it does not. `possible` as
  // above.
  [[nodiscard]] std::string breaks(std::size_t piece, const std::vector<const Fitted*>& possible, const ShelfItem& item,
                                   const std::vector<const Claim*>& proved, Day day) const;

 private:
  using Relation = grammar::Requirement::Kind;

  struct Line {
    const grammar::Accept* tree = nullptr;
    std::vector<std::optional<std::size_t>> of_requirement, of_instead;  // the property each names
    std::vector<std::optional<std::size_t>> cut_to;                      // by requirement
    std::vector<std::optional<std::int64_t>> member;                     // by requirement that names one
    std::optional<std::size_t> felt, cut;                                // flex, and the length it is cut to
  };

  // Another answer that will do where the limit is short.
  struct Settling {
    const grammar::PlanStep* tree = nullptr;
    std::size_t piece = 0, property = 0;
  };
  // Where a stage looks elsewhere than at the advised answer of a property; one past the piece's properties where it
  // takes used goods, for which no property is looked at.
  struct Elsewhere {
    const grammar::Instead* tree = nullptr;
    std::size_t property = 0;
  };
  [[nodiscard]] std::optional<Elsewhere> elsewhere(std::size_t piece, ShelfStage stage) const;
  [[nodiscard]] bool lets_used(std::size_t piece, ShelfStage stage) const;

  // What can be said of a piece by itself: it is decided, or there is something at some stages, by the piece's accept
  // line that applies.
  struct Looked {
    std::optional<HandedOver> decided;
    std::size_t line = 0;
    std::vector<std::pair<ShelfStage, std::vector<std::size_t>>> stages;
  };
  [[nodiscard]] std::optional<Looked> look(std::size_t piece, const std::vector<const Fitted*>& possible,
                                           const std::vector<ShelfItem>& items, Day day) const;
  // Nothing of the piece is handed over at any stage of the line.
  [[nodiscard]] HandedOver past_shelf(std::size_t piece, std::size_t line,
                                      const std::vector<const Fitted*>& possible) const;
  // shelf_together.cc
  struct Kit;

  [[nodiscard]] std::size_t piece_called(const std::string& name) const;
  [[nodiscard]] std::vector<std::string> names_of(std::size_t piece) const;
  [[nodiscard]] std::optional<std::size_t> property_named(std::size_t piece, const std::string& joined) const;
  void add(const grammar::Accept& accept);
  void add(const grammar::PlanStep& step);
  void protect(const grammar::Phrase& phrase);

  [[nodiscard]] bool in_kit(std::size_t piece, const Fitted& player) const;
  [[nodiscard]] const PropertyOutcome& told(std::size_t piece, std::size_t property, const Fitted& player) const;
  [[nodiscard]] bool referred(std::size_t piece, const Fitted& player) const;
  // The steps that floors, caps and keeps which bind items leave; whether a safety rule gave the base.
  [[nodiscard]] std::vector<std::int64_t> within_limits(std::size_t piece, std::size_t property,
                                                        const Fitted& player) const;
  [[nodiscard]] bool has_safe_base(std::size_t piece, std::size_t property, const Fitted& player) const;
  // Whether a stage asks anything of a property, and whether an own value, and what it is read as, is as asked. Values
  // are counted in steps from the first, members from 0.
  [[nodiscard]] bool asks(std::size_t piece, std::size_t property, ShelfStage stage, const Fitted& player) const;
  [[nodiscard]] bool may_have(std::size_t piece, std::size_t property, ShelfStage stage, const Fitted& player,
                              const Rational& own, const Rational& read) const;
  [[nodiscard]] std::vector<Relation> relations(std::size_t piece, std::size_t property, ShelfStage stage) const;
  [[nodiscard]] std::int64_t moved(std::size_t piece, std::size_t property, ShelfStage stage) const;
  [[nodiscard]] bool past_the_range(std::size_t piece, ShelfStage stage, const Fitted& player) const;
  // Of the amounts in a cell, those that matter: its ends, and what reads as a step where it is divided by `one`.
  [[nodiscard]] std::vector<Rational> tried(const Property& property, const ShelfCell& cell, const Rational& one) const;
  [[nodiscard]] bool fits(std::size_t piece, ShelfStage stage, const std::vector<const Fitted*>& possible,
                          const ShelfItem& item, Day day) const;
  [[nodiscard]] bool fits_beside(std::size_t piece, std::size_t property, ShelfStage stage,
                                 const std::vector<const Fitted*>& possible, const ShelfCell& cell) const;
  [[nodiscard]] bool fits_cut(std::size_t piece, ShelfStage stage, const std::vector<const Fitted*>& possible,
                              const ShelfItem& item) const;

  const Policy& policy_;
  [[nodiscard]] const Line& line_at(std::size_t piece, ShelfStage stage) const { return lines_.at(piece)[stage.line]; }
  [[nodiscard]] bool is_for(const Line& line, const Fitted& player) const;

  std::map<std::size_t, std::vector<Line>> lines_;             // by piece, in the order of the policy
  std::vector<Settling> settling_;                             // in the order of the policy
  std::set<std::size_t> protection_;                           // pieces
  std::vector<std::pair<std::size_t, std::size_t>> links_;     // a piece, and one that it goes with
  std::vector<std::pair<std::size_t, std::size_t>> not_sold_;  // a piece, and one without which it is not sold
};

}  // namespace lacestay::naive
