// The items as one set of deals sees them: in groups that the same applications reach, each thinned to the items that
// could be in a best kit.
//
// In a search an application is *in* (its lines are reduced, and the kit must have enough of them), *free* (its lines
// are reduced whether there are enough or not, so that what is found is no dearer than any kit), or *out*. A sum off
// for lines of one make is, while free, its N lines' share off each of them: were it whole, every make would have it at
// once. A group's options under given terms are worked out when first asked for, and kept.
//
// Of two items in one group, the one that is no dearer and worth more wins under all terms, and so does the earlier
// of two with the same worth. A later and cheaper item of the same worth does not: rounding, one price, or a
// total of 0 can make the two alike, and then the earlier one is the kit's.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <span>
#include <vector>

#include "compiler/values/rational.hpp"
#include "runtime/kit/deals.hpp"

namespace lacestay::runtime {

// Every piece's items by price, then the dearest in worth, then the first; made once for all sets of deals.
struct KitShelf {
  struct Item {
    std::int64_t price, worth;  // minor units
    std::uint32_t candidate;
    int make;
    DealSet reached_by;
  };
  struct Without {
    std::size_t piece, candidate;
  };
  KitShelf(const KitProblem& problem, std::optional<Without> without);
  std::vector<std::vector<Item>> pieces;
};

enum class Term : std::uint8_t { out, free, in };

struct KitOption {
  std::int64_t price, worth;  // exact money; what the line costs, which other deals can bring below 0
  std::uint32_t candidate;
};

// Keeps of `options`, sorted by price, then greater worth, then candidate, those that no other beats as said above.
void thin(std::vector<KitOption>& options);

class KitOffers {
 public:
  // Something a deal may take off; `deal` over all makes, or over one.
  struct Application {
    std::size_t deal;
    int make;  // -1: over all
    std::size_t at_least;
    std::int64_t sum_off;             // exact money, 0 but for SumOff
    std::vector<std::int64_t> share;  // by piece, minor units: of one price; empty but for OnePrice
    [[nodiscard]] bool is_part() const { return sum_off == 0 && share.empty(); }
    // Exact money, of a free sum off: each line's, and the bill's.
    [[nodiscard]] std::int64_t line_share() const {
      return make == -1 ? 0 : compiler::ceil_divide(sum_off, static_cast<std::int64_t>(at_least));
    }
    [[nodiscard]] std::int64_t bill_share() const { return make == -1 ? sum_off : 0; }
  };
  struct Group {
    std::vector<std::uint32_t> applications;  // ascending
    std::vector<KitShelf::Item> items;
    std::map<std::uint64_t, std::vector<KitOption>> options;  // by the terms of its applications, two bits each
  };

  KitOffers(const KitDeals& deals, DealSet set, const KitShelf& shelf);

  [[nodiscard]] DealSet set() const { return set_; }
  [[nodiscard]] const std::vector<Application>& applications() const { return applications_; }
  [[nodiscard]] const std::vector<std::vector<Group>>& pieces() const { return pieces_; }
  // Whether a kit that has enough lines for `a` has enough for `b` too.
  [[nodiscard]] bool earns(std::size_t a, std::size_t b) const { return earns_[a][b]; }
  // The group's options with each application on these terms. The reference stays good.
  [[nodiscard]] const std::vector<KitOption>& options(std::size_t piece, std::size_t group,
                                                      std::span<const Term> terms);

 private:
  void find_applications(const KitShelf& shelf);
  void group_items(const KitShelf& shelf, std::size_t piece);
  void find_what_earns_what();

  const KitDeals& deals_;
  DealSet set_;
  std::vector<Application> applications_;
  std::vector<std::vector<bool>> earns_;
  std::vector<std::vector<Group>> pieces_;
};

}  // namespace lacestay::runtime
