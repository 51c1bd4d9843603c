// What a chosen kit costs under the deals, and why: for the quote, which explains it line by line.
//
// The customer pays the exact price, rounded as the problem says (kit_problem.hpp). Whole minor units are shared out so
// that the bill adds up as printed: what each part takes off is counted from the running sum, rounded the same way,
// over a line's applications (per line) or over the whole bill's (per bill).
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
    std::int64_t off = 0;  // by parts; what a sum or one price takes off is its application's alone
  };
  struct Application {  // takes something off, though what is left after rounding may be 0
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

// The bill of the candidates chosen, one a piece. Among the admissible sets of deals it has the least exact price; of
// several such, the one that holds the first deal that is not in both. The problem is without fault.
[[nodiscard]] KitBill bill_of(const KitProblem& problem, std::span<const std::size_t> choice);
[[nodiscard]] KitBill bill_of(const KitDeals& deals, std::span<const std::size_t> choice);

}  // namespace lacestay::runtime
