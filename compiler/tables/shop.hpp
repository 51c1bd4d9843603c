// What a policy says of the shelf and the till: which items are accepted for an advice, what a step up is worth, deals,
// and what may be done for a piece where the customer's limit is short. No answer of an advice turns on any of it.
//
// Money is in the currency's minor units. Pieces and properties are places in Policy::pieces and Policy::properties.
// A line that is for some players alone counts where it is certain that it applies: with a blank that may decide it, it
// does not.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "compiler/tables/tables.hpp"
#include "grammar/text/source.hpp"

namespace lacestay::compiler {

// The columns every stock file may have, as headings are compared: no property may be called so, since its own column
// could not be told from them.
inline constexpr std::array<std::string_view, 10> stock_columns = {
    "certified_until", "condition", "goes_with", "item", "made", "make", "model", "on_hand", "piece", "price"};

// Lines of the shop with conditions of their own; those that may not meet are compared two by two.
inline constexpr std::size_t most_shop_lines = 200;

// The most years that an item may be asked to have been made within.
inline constexpr std::int64_t most_years_made = 100;

// What must be so of an item.
struct Requirement {
  enum class Kind : std::uint8_t {
    as_advised,  // the item's own value is the advised one
    at_least,
    at_most,        // of an ordered property
    within,         // the item's value lies in the advised band
    covers,         // the item's range of a detail holds what was measured
    in_date,        // certified until today or later
    is,             // a member, whatever the advice
    condition_new,  // new goods
    price,          // the tag, from `least` to `most`
    made,           // at most `most` years before today: the day it was made plus so many years is today or later
  };
  Kind kind = Kind::as_advised;
  std::uint32_t property = 0;                // up to `within`, and `is`
  std::optional<std::uint32_t> once_cut_to;  // within: a length; flex is felt stiffer where the shaft is cut to it
  std::uint16_t column = 0;                  // covers: the detail's column
  std::uint32_t member = 0;                  // is
  std::int64_t least = 0, most = 0;          // price, made
  enum class Goods : std::uint8_t { all, only_new, only_used };
  Goods goods = Goods::all;  // price, made: of which goods it is asked; of the others nothing is
  grammar::Span span;

  [[nodiscard]] bool is_of(bool used) const { return goods == Goods::all || (goods == Goods::only_used) == used; }
};

// Where to look when none is in stock. Each begins from the advice again.
struct Instead {
  enum class Kind : std::uint8_t { step, any, refer, order, any_condition };
  Kind kind = Kind::order;
  std::uint32_t property = 0;  // step, any
  int steps = 0;               // up is positive
  std::string note;            // told with an item that is found there; may be empty
  grammar::Span span;
};

// One `accept` line of a piece. At most one of them applies to a player, which is for the proof.
struct Acceptance {
  std::optional<TableId> players;  // the table, of kind `shop_line`, that says to whom it applies; nothing: everybody
  std::vector<Requirement> requirements;
  std::vector<Instead> instead;  // tried in this order
  grammar::Span span;
};

// An item of the piece goes with those of the partner that it names. Links form trees, of at most four pieces each.
struct Link {
  std::uint32_t piece = 0, partner = 0;
  bool both_ways = false;  // and the partner is not sold without the piece
  grammar::Span span;

  // What is not sold where this piece is not; nothing where that is neither of the two, or all the same.
  [[nodiscard]] std::optional<std::uint32_t> without(std::uint32_t lost) const {
    if (lost == partner) return piece;
    return lost == piece && both_ways ? std::optional(partner) : std::nullopt;
  }
};
inline constexpr std::size_t most_linked = 4;

struct Worth {
  std::uint32_t property = 0;      // ordered, no band
  std::int64_t amount = 0;         // of each step above the lowest
  std::optional<TableId> players;  // as of an Acceptance
  grammar::Span span;
};

struct Deal {
  enum class Gives : std::uint8_t { percent_off, sum_off, price_together };
  // Of this piece only items with such a tag count: both bounds belong.
  struct Tag {
    std::uint32_t piece = 0;
    std::int64_t least = 0, most = 0;
  };
  std::string name, label, because;
  std::vector<std::uint32_t> pieces;  // those it is for, ascending
  std::vector<Tag> tags;              // of some of them, by piece, ascending
  std::uint32_t at_least = 1;         // of them; all of them where it gives one price
  bool whole_kit = false;             // every piece on the bill, and two at least, whatever `at_least` says
  bool one_make = false;              // counted make by make
  std::string make;                   // not empty: of this make alone
  Gives gives = Gives::percent_off;
  std::int64_t numerator = 0, denominator = 1;  // percent_off: the fraction taken off, in lowest terms
  std::vector<std::uint32_t> off_pieces;        // percent_off: it is off these alone, ascending; empty: off each
  std::int64_t amount = 0;                      // the other two
  std::vector<std::uint32_t> adds_to;           // other deals it may stand beside, both ways
  std::optional<TableId> players;               // as of an Acceptance
  grammar::Span span;
};

struct PlanStep {
  enum class Kind : std::uint8_t { hire, borrow, buy_used, put_off, settle };
  Kind kind = Kind::hire;
  std::uint32_t piece = 0;
  std::int64_t cost = 0;
  // settle: the property of the piece for which another answer will do: the advice moved by these steps, up being
  // positive; 0: any.
  std::uint32_t property = 0;
  int steps = 0;
  bool any_condition = false;      // settle: used goods will do; no property is looked at
  std::optional<TableId> players;  // as of an Acceptance
  grammar::Span span;
};

// One of its items as the policy writes it, blanks folded and comments left out: by this two editions are compared.
struct ShopItem {
  std::string about;  // "what is accepted for skates", "deal head_to_toe"
  std::string text;
};

struct Shop {
  std::vector<std::vector<Acceptance>> accepts;  // by piece, in the policy's order
  std::vector<bool> protection;  // by piece: named as such, or a safety rule speaks of it; only new, never put off
  std::vector<Link> links;
  std::vector<Worth> worth;
  std::vector<Deal> deals;
  bool round_on_bill = false;  // else each line's percentages are rounded on that line
  std::vector<PlanStep> plan;  // in the order they are taken where the limit is short
  std::vector<ShopItem> items;
};

}  // namespace lacestay::compiler
