// The best kit where some applications are free: what no kit on these terms beats.
//
// Applications that are *in* must be earned: a state counts the lines each still lacks, and a sweep from the last piece
// to the first gives, for every piece and state, the least the rest can come to. Without a binding limit that settles
// it. With one, a price is set on money itself (`rate`: what a minor unit of the total is charged besides), chosen
// so that the kits found lie about the limit; then partial kits are carried from the first piece to the last, and each
// is dropped where another is no dearer and no worse, or where the sweeps say that it cannot end below the best known.
// The sweep under the rate is what makes that sharp: few partial kits are left.
#pragma once

#include <compare>
#include <cstdint>
#include <functional>
#include <limits>
#include <optional>
#include <span>
#include <vector>

#include "runtime/kit/needs.hpp"
#include "runtime/kit/offers.hpp"
#include "runtime/kit/work.hpp"

namespace lacestay::runtime {

// What kits are compared by, in exact money: price less worth then price, or price then less worth.
struct KitValue {
  std::int64_t first = 0, second = 0;
  friend auto operator<=>(const KitValue&, const KitValue&) = default;
  friend KitValue operator+(const KitValue& a, const KitValue& b) { return {a.first + b.first, a.second + b.second}; }
};
[[nodiscard]] KitValue kit_value(KitObjective objective, std::int64_t price, std::int64_t worth);

// What lines and money are charged (kit_charges.cc), in 1/grain of exact money: from one node to the next.
struct KitCharges {
  std::int64_t grain = 1, rate = 0;  // `rate`: of a unit of money
  std::vector<std::int64_t> lines;   // by application
};

class KitRelaxation {
 public:
  using Choice = std::vector<std::size_t>;
  struct Found {
    Choice choice;
    KitValue value;  // on these terms
  };
  // Called with kits met on the way, which may be good under the true deals.
  using Met = std::function<void(const Choice&)>;

  // `terms` is by application of `offers`. The limit is on the exact price.
  KitRelaxation(const KitDeals& deals, KitOffers& offers, std::span<const Term> terms,
                std::optional<std::int64_t> limit, KitWork& work);

  // The best kit on these terms, first in order among equals; nothing where none is within the limit or all are worse
  // than `known`. Charges, as `charge` left them or 0, make it quicker.
  [[nodiscard]] std::optional<Found> solve(const KitValue& known, const KitCharges& charges, const Met& met);

  [[nodiscard]] bool has_needs() const { return !needs_of_.empty(); }
  // What charges show (kit_charges.cc): no kit on these terms has a first value below `at_least`; `choice` is one they
  // let through, which may lack lines or be over the limit. Nothing where none is as good as `known`. `charges` are
  // those of a node much like this one, or 0; they are made better.
  struct Charged {
    Choice choice;
    std::int64_t at_least = 0;
  };
  [[nodiscard]] std::optional<Charged> charge(const KitValue& known, KitCharges& charges);

 private:
  static constexpr std::int64_t never = std::int64_t{1} << 61;  // above any sum, and two of it still fit

  struct Option {
    std::int64_t price, worth;
    KitValue value;
    std::uint32_t candidate;
  };
  // Options of one piece that lower the same needs: from options_[first] to options_[end].
  struct Kind {
    std::uint32_t first, end;
    std::uint64_t lowers;  // bit n: needs_of_[n]
  };
  struct Need {
    std::size_t application, lines;
  };
  struct Path {
    Choice choice;
    std::int64_t price = 0, worth = 0;
  };
  // A partial kit: its last piece's candidate, and the one it grew from.
  struct Label {
    std::int64_t price, worth;
    KitValue value;
    std::uint32_t state, parent, candidate;
  };

  void gather(KitOffers& offers, std::span<const Term> terms);
  void choose_grain();
  void count_needs(const KitValue& known, const KitCharges& charges);
  // What no kit as good as `known` and within the limit costs more than, at this rate.
  [[nodiscard]] std::int64_t rated_at_most(const KitValue& known, std::int64_t rate) const;
  // The sweep, for what `cost` makes of an option; and a kit that has the least, first in order among equals.
  template <typename Cost, typename Of>
  void sweep(std::vector<Cost>& rest, Cost most, Of cost);
  template <typename Cost, typename Of>
  [[nodiscard]] Path follow(const std::vector<Cost>& rest, Of cost) const;
  [[nodiscard]] KitValue value_of(const Path& path) const;
  // False where no kit within the limit is as good as `known`, which gets better on the way.
  bool set_rate(Path within, Path over, const Met& met, KitValue& known);
  // kit_carry.cc
  [[nodiscard]] std::optional<Found> carry(const KitValue& known);
  [[nodiscard]] bool goes_before(std::uint32_t a, std::uint32_t b) const;
  void drop_beaten(std::uint32_t first);

  KitObjective objective_;
  std::size_t size_;  // pieces
  std::int64_t limit_;
  KitWork& work_;
  std::int64_t sums_off_ = 0;
  bool may_reach_zero_ = false;  // a total may be cut off at 0: then worth counts apart from price

  std::vector<Option> options_;
  std::vector<std::vector<Kind>> kinds_;  // by piece
  std::vector<Need> needs_of_;
  std::optional<KitNeeds> needs_;

  std::vector<std::int64_t> least_price_;  // these three by the states of all pieces: what the rest adds at least
  std::vector<KitValue> least_value_;
  std::vector<std::int64_t> least_rated_;
  std::int64_t largest_ = 0;                              // no sum of a kit's is above it, or below its negative
  std::int64_t grain_ = 1, rate_ = 0, highest_rate_ = 0;  // rated cost: grain * value.first + rate * price
  std::vector<std::int64_t> worth_after_;

  std::vector<Label> labels_;
};

}  // namespace lacestay::runtime
