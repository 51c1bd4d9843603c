// What a chosen kit costs under the deals, and why: for the quote, which explains it line by line.
//
// The customer pays the exact price, rounded as the problem says (problem.hpp). The printed amounts are whole minor
// units and must still add up, so each is the growth of a rounded running sum: of one line's applications where the
// problem rounds per line, of the whole bill's where it rounds once.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

#include "runtime/kit/deals.hpp"
#include "runtime/kit/problem.hpp"

namespace lacestay::runtime {

struct KitBill {
  struct Line {  // of one piece, in the problem's order
    std::int64_t list = 0;
    std::int64_t off = 0;  // by parts alone: a sum or one price is for several lines, and stands with its application
  };
  struct Application {  // takes something off, though its rounded amount may be 0
    std::size_t deal = 0;
    int make = -1;                   // -1: over all makes together
    std::vector<std::size_t> lines;  // the pieces it reaches, ascending
    std::int64_t off = 0;
  };
  std::vector<Line> lines;
  std::vector<Application> applications;  // by deal, then in the order of their first lines
  std::int64_t list = 0;                  // the lines' list prices together
  std::int64_t total = 0;                 // what the customer pays
  std::int64_t saved = 0;                 // list - total; less than the applications' sum where that would go below 0
};

// The bill of the candidates chosen, one a piece, all amounts in minor units. It is under the set of deals with the
// least exact price; of two such sets, the one that has the first deal that is not in both. The problem is without
// fault.
[[nodiscard]] KitBill bill_of(const KitProblem& problem, std::span<const std::size_t> choice);
[[nodiscard]] KitBill bill_of(const KitDeals& deals, std::span<const std::size_t> choice);

}  // namespace lacestay::runtime
