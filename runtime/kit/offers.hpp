// The items under one set of deals: in groups that the same applications reach and that go with the same items, without
// those that another of the group dominates.
//
// A node of the search fixes each application: *in* (its lines are reduced, and the kit must have enough of them),
// *out*, or *free*, which is the relaxation: its lines are reduced whether there are enough or not, so that no kit is
// dearer than under the true deals. A sum off that needs N lines of one make is, while free, 1/N of it off each line:
// taken off whole, every make would get it at once, and the bound would be weak. A group's options under given
// fixings are computed when first asked for, and kept.
//
// Dominance: of two items in one group, the one that is no dearer and worth more wins under all fixings, and so does
// the earlier of two that is no dearer and worth the same. A later and cheaper item of the same worth does not
// dominate: rounding, one price, or a total cut off at 0 can make both kits' prices equal, and then the earlier item is
// preferred.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <span>
#include <vector>

#include "compiler/values/rational.hpp"
#include "runtime/kit/deals.hpp"
#include "runtime/kit/links.hpp"

namespace lacestay::runtime {

// Every piece's items by price, then greatest worth, then candidate; made once for all sets of deals. `without` leaves
// one item out, for a runner-up.
struct KitShelf {
  struct Item {
    std::int64_t price, worth;  // minor units
    std::uint32_t candidate;
    int make;
    DealSet reached_by;
    std::uint32_t link_class;  // of KitLinks
  };
  struct Without {
    std::size_t piece, candidate;
  };
  KitShelf(const KitProblem& problem, const KitLinks& links, std::optional<Without> without);
  std::vector<std::vector<Item>> pieces;
};

enum class Fixing : std::uint8_t { out, free, in };

struct KitOption {
  std::int64_t price, worth;  // exact money (deals.hpp); the line's price under the fixings, which may be below 0
  std::uint32_t candidate;
};

// Drops the dominated of `options`, which are sorted by price, then greatest worth, then candidate. Linear.
void keep_undominated(std::vector<KitOption>& options);

class KitOffers {
 public:
  // A deal over all makes, or over one: what can be earned or not.
  struct Application {
    std::size_t deal;
    int make;  // -1: over all
    std::size_t at_least;
    std::int64_t sum_off;             // exact money; of a SumOff, else 0
    std::vector<std::int64_t> share;  // of a OnePrice: each piece's part of it, in minor units; else empty
    [[nodiscard]] bool is_part() const { return sum_off == 0 && share.empty(); }
    // What a free sum off takes off each line it reaches, and once off the bill; exact money.
    [[nodiscard]] std::int64_t line_share() const {
      return make == -1 ? 0 : compiler::ceil_divide(sum_off, static_cast<std::int64_t>(at_least));
    }
    [[nodiscard]] std::int64_t bill_share() const { return make == -1 ? sum_off : 0; }
  };
  struct Group {
    std::vector<std::uint32_t> applications;  // ascending
    std::uint32_t link_class;
    std::vector<KitShelf::Item> items;
    std::map<std::uint64_t, std::vector<KitOption>> options;  // by the fixings of its applications, two bits each
  };

  KitOffers(const KitDeals& deals, DealSet set, const KitShelf& shelf);

  [[nodiscard]] DealSet set() const { return set_; }
  [[nodiscard]] const std::vector<Application>& applications() const { return applications_; }
  [[nodiscard]] const std::vector<std::vector<Group>>& pieces() const { return pieces_; }
  // Whether every kit that has enough lines for application `a` has enough for `b` too.
  [[nodiscard]] bool implies(std::size_t a, std::size_t b) const { return implies_[a][b]; }
  // The group's options under these fixings, none dominated. The reference is valid as long as this object.
  [[nodiscard]] const std::vector<KitOption>& options(std::size_t piece, std::size_t group,
                                                      std::span<const Fixing> fixings);

 private:
  void find_applications(const KitShelf& shelf);
  void group_items(const KitShelf& shelf, std::size_t piece);
  void find_implications();

  const KitDeals& deals_;
  DealSet set_;
  std::vector<Application> applications_;
  std::vector<std::vector<bool>> implies_;
  std::vector<std::vector<Group>> pieces_;
};

}  // namespace lacestay::runtime
