// A policy's trees with every name resolved, once: a map from each place in the tree that names something to what
// it names. Nothing is rewritten: the evaluator still walks the owner's conditions, charts and formulas.
//
// This is not a checker. It takes policies that compile, and throws Unready where it can't make sense of a name.
#pragma once

#include <cstdint>
#include <optional>
#include <set>
#include <stdexcept>
#include <string>
#include <unordered_map>
#include <vector>

#include "grammar/tree/tree.hpp"
#include "tests/reference/values.hpp"

namespace lacestay::naive {

struct Unready : std::runtime_error {
  using std::runtime_error::runtime_error;
};

// One of the three is set.
struct Detail {
  std::string name;
  const grammar::Ask* ask = nullptr;
  const grammar::Expression* formula = nullptr;
  const grammar::Chart* chart = nullptr;
  std::vector<std::string> members;  // of an asked one, or of the one that a chart is graded as

  // What a cell of its chart gives: a member by its place, or an amount.
  [[nodiscard]] Rational given(const grammar::Cell& cell) const;
};

// Answers are counted from 0: the members in order, or the steps of the range.
struct Property {
  std::string name;
  const grammar::Property* tree = nullptr;
  Rational first, step;              // of a range; where sizes rise unevenly, the step is the first one
  std::vector<Rational> sizes;       // all of them, where they rise unevenly
  std::vector<std::string> answers;  // as written: a member's name, or the step's number
  std::vector<std::string> shown;    // as people see them: a member's own words; a number in fractions, if written so
  std::string unit;                  // what follows such a number, with its blank; may be empty
  Rational one = 1;                  // what that unit is worth
  std::vector<std::size_t> voices;   // the rules and charts that concern it

  // An amount in steps from the first, and the other way round. Between two sizes, and past the ends, a step is as long
  // as from the one to the next there.
  [[nodiscard]] Rational steps_of(const Rational& amount) const;
  [[nodiscard]] Rational amount_at(const Rational& steps) const;
  // Of an amount: the last quantity of what it can be.
  [[nodiscard]] const grammar::Quantity& last_written() const {
    const auto& domain = tree->domain;
    return domain.sizes.empty() ? std::get<grammar::Quantity>(domain.interval->to) : domain.sizes.back();
  }
  [[nodiscard]] std::int64_t last() const { return static_cast<std::int64_t>(answers.size()) - 1; }
};

struct Piece {
  std::string name;
  const grammar::Piece* tree = nullptr;
  std::vector<Property> properties;
  std::vector<std::size_t> voices;  // the rules that need, suggest or omit it
};

// A rule, or a chart that gives a property. `name` has the pack in front, as answers show it: `junior: young_neck`.
struct Voice {
  std::string name;
  const grammar::Clauses* clauses = nullptr;
  const grammar::Rule* rule = nullptr;  // one of these two
  const grammar::Chart* chart = nullptr;
  const std::vector<grammar::Condition>* pack_when = nullptr;  // of the pack it stands in, if it does
  const Property* sized = nullptr;                             // what a `size … from` gives
  std::optional<std::int64_t> smallest, largest;               // and its ends, where it says `never under`, `over`
  std::vector<bool> outranks;                                  // by voice, reached through
};

// Of a choice that is left open, some members are one number: 2^40, and a bit for each.
constexpr std::int64_t open_from = std::int64_t{1} << 40;
[[nodiscard]] inline bool is_open(std::int64_t answer) { return answer >= open_from; }
[[nodiscard]] inline bool is_one_of(std::int64_t open, const Rational& member) {
  return member.is_whole() && member >= 0 && ((open - open_from) >> member.floor() & 1) != 0;
}

// Answers from `low` to `high`, both of a property's own; none where low > high (a band that holds no step, a choice of
// which nothing is left). Both are that one number where a choice is left open.
struct Reach {
  std::int64_t low = 0, high = 0;
};
[[nodiscard]] Reach shared(const Reach& a, const Reach& b);
[[nodiscard]] bool takes_in(const Reach& reach, std::int64_t answer);

// The members a condition or a chart's head names.
struct Membership {
  std::size_t detail = 0;
  std::vector<std::size_t> members;
};

// A `make sure` line that bounds a property: of these answers each must be one.
struct Claim {
  const grammar::MakeSure* tree = nullptr;
  std::size_t piece = 0, property = 0;
  std::vector<std::int64_t> allowed;  // ascending
};

// A place where a number or a day is compared: what test players should stand on and beside.
struct Edge {
  std::size_t detail = 0;
  Rational at;
  std::set<std::string> units;  // it is written in, as answers spell them; none of a bare number or a day
};

struct Policy {
  std::vector<grammar::File> files;  // everything below points into them

  std::vector<Detail> details;
  std::vector<Piece> pieces;
  std::vector<Voice> voices;
  std::vector<Edge> edges;
  std::vector<Claim> claims;
  std::vector<const grammar::Nobody*> nobody;  // players that cannot be, line by line

  std::unordered_map<std::string, std::vector<std::size_t>> groups;  // of pieces; all of them as `every_piece`

  std::unordered_map<const grammar::Phrase*, std::size_t> detail_of;
  std::unordered_map<const grammar::Condition*, Membership> membership_of;  // `skill new, league`
  std::unordered_map<const grammar::Condition*, std::size_t> member_of;     // `skill at least league`
  std::unordered_map<const grammar::Head*, std::vector<std::size_t>> members_of;
  std::unordered_map<const grammar::Cell*, Reach> reach_of;  // answers of rules and charts

  Policy() = default;
  Policy(Policy&&) = default;
  Policy& operator=(Policy&&) = default;
  Policy(const Policy&) = delete;
  Policy& operator=(const Policy&) = delete;

  [[nodiscard]] const Detail& detail(std::string_view name) const;
};

// The policy's file, its parts and its packs, in any order. A pack is known by the file its `along with` names.
[[nodiscard]] Policy prepare(std::vector<grammar::File> files);

// The asked details a detail comes from: itself, or those its formula or chart looks at, straight or through others.
[[nodiscard]] std::set<std::size_t> asked_under(const Policy& policy, std::size_t detail);
// Those a condition is about.
[[nodiscard]] std::set<std::size_t> asked_under(const Policy& policy, const grammar::Condition& condition);
// Those on which it rests whether a player has the piece, and what the rules and charts say of its property.
[[nodiscard]] std::set<std::size_t> rests_on(const Policy& policy, const Piece& piece, std::size_t property);
// Of a range of whole values, `2 to 4`: the next one after its last, by the unit it is written in.
[[nodiscard]] Rational past_last(const grammar::Condition& condition);

// A text to be read as a file of this name; `extra.fitting`, `house_rules/club.fitting`, a chart's `flex.csv`.
struct TextFile {
  std::string name, text;
};
// Reads the texts and prepares them. Throws Unready, with the messages, if the reader is not content.
[[nodiscard]] Policy prepare(const std::vector<TextFile>& texts);

}  // namespace lacestay::naive
