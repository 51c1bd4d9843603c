// Which items on the shelf answer to an advice, piece by piece.
//
// What the `accept` line that is for a player asks of an item is held against the certain answers of the advice. Where
// nothing on hand fits, the policy's `if none in stock` lines are tried in their order, each from the advice again
// (compiler/shelf). At each of them what binds items holds, whether a line names the property or not; of players who
// differ in a blank detail all bounds hold together. Pieces that go together are matched together (partners.hpp); one
// whose partner the customer owns, or is not on the bill, is the fitter's. What is protection is never matched by used
// goods, or by an item whose label is out of date, whatever the policy says.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "runtime/engine/engine.hpp"
#include "runtime/engine/possible.hpp"
#include "runtime/player/player.hpp"
#include "runtime/quote/holding.hpp"
#include "runtime/stock/stock.hpp"

namespace lacestay::runtime {

// Items that may be settled for where the customer's limit is short.
struct Settled {
  std::size_t step = 0;            // into Shop::plan
  std::vector<std::size_t> items;  // as a Match's; of a piece that goes with others, before these are looked at
  std::vector<HeldTo> held;
};

// An item that would do but for one thing.
struct NearMiss {
  std::size_t item = 0;
  std::string but;  // "its width is narrow", "none is on hand"
};

struct Match {
  enum class Kind : std::uint8_t {
    items,        // there are some to choose from
    none,         // nothing on hand, and no line says what then
    refer,        // for the fitter: the advice, or a line of the policy, says so
    order,        // a line of the policy says to order one in
    not_certain,  // a detail must be taken first
    no_answer,    // the policy gives none, or two, for what the line looks at
    not_sold,     // the policy has no `accept` line for it
    not_for_him,  // it has some, each for other players
  };
  std::uint32_t piece = 0;
  bool suggested = false;  // else needed
  Kind kind = Kind::none;
  std::size_t line = 0;                // of the policy's `accept` lines for the piece, the one that applies
  std::vector<std::size_t> items;      // into Stock::items, ascending
  std::optional<std::size_t> instead;  // which line of the policy's that took, counted in Acceptance::instead
  std::vector<std::string> not_known;  // not_certain: details it turns on
  // Of a piece that goes with others, where they are why nothing of it is handed over: the customer's own, or not on
  // the bill, or in stock with nothing that goes with them.
  std::vector<std::uint32_t> partners;
  bool partner_owned = false;
  std::vector<HeldTo> held;            // items: by property of the piece, at the stage that took
  std::optional<std::int64_t> cut_to;  // ticks of length: where the shaft must be cut to the advised one
  std::vector<NearMiss> near;          // where nothing fits as advised: others than `items`
  std::vector<Settled> settled;        // items of a needed piece: by the lines over the limit that are for him
};

// What is known of a line of the shop for a player with blanks: it applies, or does not, or a detail must be taken.
enum class Applies : std::uint8_t { yes, no, not_certain };
[[nodiscard]] Applies applies(const Engine& engine, const Player& player, const std::optional<compiler::TableId>& line);

// One for each piece that is in the player's kit, or may be, and that he does not own; in the policy's order.
// `possible` is what the player's answers can be (possible.hpp), `today` a day number. Cost: linear in the items of
// those pieces.
[[nodiscard]] std::vector<Match> match(const Engine& engine, const Player& player,
                                       const std::vector<Possible>& possible, const Stock& stock, std::int64_t today);

}  // namespace lacestay::runtime
