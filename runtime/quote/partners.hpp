// Pieces that go together: whose items fit which, and the stages at which the shelf is looked at for all of them at
// once.
//
// Of linked pieces (compiler/tables/shop.hpp) each has stages of its own: its accept line, and the lines below. They
// are tried together: fewest pieces past their first line, and of those, the piece that stands first in the policy
// keeps furthest up its own lines; the first at which there is a choice of an item each that all go together serves.
// Where there is none for all, a piece that goes with another gives way to that, and of two, the later one in the
// policy. Of two that are not sold without each other both go then, and what is not sold without these; the rest is
// looked at anew.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <vector>

#include "compiler/tables/shop.hpp"
#include "runtime/kit/problem.hpp"
#include "runtime/stock/stock.hpp"

namespace lacestay::runtime {

// Items of a piece and of the one that it goes with, each a place in the stock.
struct Side {
  std::size_t place = 0;  // of the piece, among those of a problem
  const std::vector<std::size_t>& items;
};
// An item's cell `goes with` names the partner's make, model or number; a blank one names nothing. Linear.
[[nodiscard]] KitLink link_of(const Stock& stock, const Side& piece, const Side& partner);
// The items that go with one of the partner's at least. Linear.
[[nodiscard]] std::vector<std::size_t> those_that_go(const Stock& stock, const std::vector<std::size_t>& items,
                                                     const std::vector<std::size_t>& partner_items);

// Every piece comes after those that it goes with; else they are in the policy's order.
[[nodiscard]] std::vector<std::uint32_t> partners_first(const std::vector<compiler::Link>& links, std::size_t pieces);

// By piece: the first of those that links join it to, itself where they join it to none before it.
[[nodiscard]] std::vector<std::uint32_t> trees(const std::vector<compiler::Link>& links, std::size_t pieces);

// What is on hand for a piece, stage by stage: places in the stock, ascending.
struct Offer {
  std::uint32_t piece = 0;
  std::vector<std::vector<std::size_t>> stages;
};
struct Together {
  std::optional<std::size_t> stage;  // nothing: nothing of the piece is handed over beside the others
  std::vector<std::size_t> items;    // of that stage: each can be had with some choice of the others
  bool given_up = false;             // no stage, and it had one until it went with what is not sold without it
};
// One for each offer. A piece that goes with one which is not among the offers, or gives way, has no stage. Linear.
[[nodiscard]] std::vector<Together> together(const std::vector<compiler::Link>& links, std::size_t pieces,
                                             const Stock& stock, const std::vector<Offer>& offers);

}  // namespace lacestay::runtime
