// What a kit is built from: the pieces it needs, the items that may be each of them, the deals, and the limit.
//
// A kit takes exactly one candidate of each piece; of two linked pieces, two that go together. Money is whole minor
// units (pence) throughout. Plain data, copied freely; whoever fills it in owns it. What must hold is said beside each
// part, and `fault_of` looks.
//
// What the deals mean:
//
// - A deal reaches the lines whose items it covers. It stands where at least `at_least` lines are reached: over the
//   whole kit, or make by make (`one_make`), where every make with enough lines gets it for that make's lines alone.
//   Each standing is an application. A part may be taken off some of the lines alone: a gift with the others. An item
//   without a make is of no make, never of one shared by all such.
// - Everything is worked out from list prices, so the order of deals never matters. The parts several deals take off
//   one line are added up, to at most the whole line, and rounded once, halves in the customer's favour: line by line,
//   or once for the whole bill. Sums and prices are whole as they are.
// - Two different deals stand on one bill only where `adds` says so of the pair. Applications of one deal always go
//   together. An application that takes nothing off (one price above its lines' sum, say) does not stand.
// - The customer pays the least total any set of deals that may stand together gives; never below 0.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "compiler/values/money.hpp"
#include "grammar/text/problem.hpp"

namespace lacestay::runtime {

struct KitItem {
  std::int64_t price = 0;  // 0 to largest_sum
  std::int64_t worth = 0;  // what its grade is worth to the shop's customers; may be negative
  int make = -1;           // -1: of no make
};

struct PartOff {  // of each reached line, or of those that `off` names: 15 per cent is 3/20
  std::int64_t numerator = 0, denominator = 1;
};
struct SumOff {  // once an application
  std::int64_t sum = 0;
};
struct OnePrice {  // for the reached lines together
  std::int64_t price = 0;
};

struct Deal {
  // [piece][candidate]: the items it covers. Of a piece it does not concern, the list is empty.
  std::vector<std::vector<bool>> reaches;
  bool one_make = false;
  std::size_t at_least = 1;  // lines; 1 or more. For OnePrice no fewer than the pieces with a list: one line of each
  std::variant<PartOff, SumOff, OnePrice> effect;
  std::vector<bool> off;  // by piece: those whose line a PartOff reduces; empty: each that is reached

  [[nodiscard]] bool reduces(std::size_t piece) const { return off.empty() || off[piece]; }
};

// Of two pieces only items that share a name go together: a cage has those of the makes it is for, a helmet that of its
// own.
struct KitLink {
  std::size_t first = 0, second = 0;                                  // pieces, first < second
  std::vector<std::vector<std::uint32_t>> first_names, second_names;  // by candidate, ascending; none goes with nothing

  [[nodiscard]] std::size_t other_than(std::size_t piece) const { return piece == first ? second : first; }
  [[nodiscard]] const std::vector<std::vector<std::uint32_t>>& names(std::size_t piece) const {
    return piece == first ? first_names : second_names;
  }
};

enum class Rounding : std::uint8_t { per_line, per_bill };
enum class KitObjective : std::uint8_t {
  price_less_worth,  // the least price less worth, ties by price
  price,             // the least price, ties by worth
};

struct KitProblem {
  static constexpr std::size_t most_pieces = 32, most_deals = 32;

  std::vector<std::vector<KitItem>> pieces;  // [piece][candidate]: none empty, candidates in the order that breaks ties
  std::vector<KitLink> links;                // a forest
  std::vector<Deal> deals;
  std::vector<std::vector<bool>> adds;  // [deal][deal], symmetric; empty where no two add
  std::optional<std::int64_t> limit;    // on what the customer pays
  Rounding rounding = Rounding::per_line;
  KitObjective objective = KitObjective::price_less_worth;
};

// The first thing in the problem that breaks what is said above, as a clause for a programmer; nothing where all is
// well. Also refused: sums that would not fit 52 bits in exact money (deals.hpp), so that the search can do its sums in
// 64 bits. 32 pieces at the largest prices with a common denominator of 10,000 fit, so a till's sums are never near it.
[[nodiscard]] std::optional<Problem> fault_of(const KitProblem& problem);

}  // namespace lacestay::runtime
