// The naive evaluator: a policy's tree and one player to a whole outcome, by the letter of the semantics.
//
// It shares nothing with the compiler or the engine beyond the reader's tree. It builds no tables: for each player it
// walks every condition, chart and formula again. Slow, plain, and meant to be believed.
//
// What it takes for granted (the compiler refuses the rest): names are known, types agree, charts answer every
// player of their `for`, nothing is worked out from itself, no divisor can be 0.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <set>
#include <string>

#include "tests/reference/prepared.hpp"

namespace lacestay::naive {

enum class Standing { needed, suggested, left_out, not_in_kit, clash };

// One answer, or the ends of a band. Counted from 0 among the property's own members or steps, so that answers
// of two evaluators compare as numbers; `text` is the same in words: `performance`, `255 mm`, `30 to 40 flex`, and
// `45 flex` for a band of one step.
struct Answer {
  std::int64_t low = 0, high = 0;
  std::string text;
  friend bool operator==(const Answer&, const Answer&) = default;
};

struct PropertyOutcome {
  enum class Kind { answer, refer, gap, clash };
  Kind kind = Kind::gap;
  std::optional<Answer> answer{};
  std::optional<Answer> least{}, most{};  // under `refer`: one step each, where safety rules leave no less, or no more
  friend bool operator==(const PropertyOutcome&, const PropertyOutcome&) = default;
};

struct PieceOutcome {
  Standing standing = Standing::not_in_kit;
  std::map<std::string, PropertyOutcome> properties;  // of a piece that is needed or suggested, else none
  friend bool operator==(const PieceOutcome&, const PieceOutcome&) = default;
};

struct Outcome {
  std::map<std::string, PieceOutcome> pieces;  // every piece of the policy
  std::set<std::string> cautions;              // the rules that speak; a pack's as `junior: book_decides`
  friend bool operator==(const Outcome&, const Outcome&) = default;
};

// What a rule or chart that speaks to a player says of a property; `reach` is what it names: of a step how far up the
// base goes, of a refer nothing.
struct Saying {
  enum class Kind { base, step, floor, cap, keep, refer };
  Kind kind = Kind::base;
  Reach reach;
  const Voice* voice = nullptr;

  [[nodiscard]] bool of_safety() const { return voice->clauses->safety.has_value(); }
  [[nodiscard]] bool of_pack() const { return voice->pack_when != nullptr; }
};

// Thread-safe: nothing is kept between players. Throws Unready if the player lacks a detail that is looked at.
[[nodiscard]] Outcome evaluate(const Policy& policy, const Player& player);

// By property, in kit or not: what is said of it, silenced rules aside.
[[nodiscard]] std::map<const Property*, std::vector<Saying>> sayings(const Policy& policy, const Player& player);

// Whether all of a policy's conditions hold of the player: of a claim, say.
[[nodiscard]] bool holds(const Policy& policy, const Player& player, const std::vector<grammar::Condition>& conditions);

// Whether there can be such a player: no line of the policy says that nobody has all of what it lists.
[[nodiscard]] bool can_be(const Policy& policy, const Player& player);

// The number of one detail, asked or worked out: of a day its days since 1970, of a member its place from 0.
[[nodiscard]] Rational detail_number(const Policy& policy, const Player& player, std::size_t detail);

// A line for each piece, property and caution, by name; two outcomes are the same where their lines are.
[[nodiscard]] std::string describe(const Outcome& outcome);

// A player from texts such as {"weight", "12.5 kg"}, {"skill", "new"}, {"birth_day", "2009-03-04"}.
[[nodiscard]] Player read_player(const Policy& policy, const std::map<std::string, std::string>& texts);

}  // namespace lacestay::naive
