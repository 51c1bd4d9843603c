// The relaxation of one node: the best kit where free applications are given to every kit, so that no kit under these
// fixings is better.
//
// Applications that are *in* must be earned. A state counts the lines that each still needs (state_graph.hpp), and
// dynamic programming from the last piece to the first gives, for every piece and state, the least the rest can add.
// Where the limit does not bind, that is the answer. Where it does, the limit gets a Lagrangian multiplier (`rate`: a
// penalty on each minor unit of price), chosen to make the bound greatest; then labels, which are partial kits, are
// extended from the first piece to the last (labels.cc). A label is dropped where another dominates it (no dearer, no
// worse, in the same state), or where its completion bound is above the best kit known. The bound with the multiplier
// is what leaves few labels.
#pragma once

#include <compare>
#include <cstdint>
#include <functional>
#include <limits>
#include <optional>
#include <span>
#include <vector>

#include "runtime/kit/offers.hpp"
#include "runtime/kit/state_graph.hpp"
#include "runtime/kit/work.hpp"

namespace lacestay::runtime {

// What kits are compared by, in exact money, less is better: price less worth then price, or price then less worth.
struct KitValue {
  std::int64_t first = 0, second = 0;
  friend auto operator<=>(const KitValue&, const KitValue&) = default;
  friend KitValue operator+(const KitValue& a, const KitValue& b) { return {a.first + b.first, a.second + b.second}; }
};
[[nodiscard]] KitValue kit_value(KitObjective objective, std::int64_t price, std::int64_t worth);

// The Lagrangian multipliers of a node (lagrangian.cc), in 1/grain of exact money. Its children start from them.
struct KitMultipliers {
  std::int64_t grain = 1, rate = 0;  // `rate`: of the limit, for a unit of price
  std::vector<std::int64_t> lines;   // by application: of its required lines, for each that is missing
};

class KitRelaxation {
 public:
  using Choice = std::vector<std::size_t>;
  struct Found {
    Choice choice;
    KitValue value;  // on these terms
  };
  // Called with kits met on the way, which may be good under the true deals though they do not solve the relaxation.
  using Met = std::function<void(const Choice&)>;

  // `fixings` is by application of `offers`. The limit is on the exact price. `links`, `offers` and `work` must outlive
  // this, and `work` may end: then KitWork::Ended is thrown, here and from the other functions.
  KitRelaxation(const KitDeals& deals, const KitLinks& links, KitOffers& offers, std::span<const Fixing> fixings,
                std::optional<std::int64_t> limit, KitWork& work);

  // The best kit of the relaxation, the first in order among equals; nothing where none is within the limit or all are
  // worse than `known`. Multipliers, as `lagrangian` left them or 0, leave fewer states.
  [[nodiscard]] std::optional<Found> solve(const KitValue& known, const KitMultipliers& multipliers, const Met& met);

  // Some application is in: its lines are required.
  [[nodiscard]] bool has_needs() const { return !needs_of_.empty(); }
  // The Lagrangian bound (lagrangian.cc): no kit under these fixings has a first value below `bound`; `choice` attains
  // it where required lines may be missing and the limit exceeded at the multipliers' price. Nothing where no kit is as
  // good as `known`. `multipliers` are those of the parent node, or 0, and are improved.
  struct Lagrangian {
    Choice choice;
    std::int64_t bound = 0;
  };
  [[nodiscard]] std::optional<Lagrangian> lagrangian(const KitValue& known, KitMultipliers& multipliers);

 private:
  static constexpr std::int64_t never = std::int64_t{1} << 61;  // above any sum; twice it still fits

  struct Option {
    std::int64_t price, worth;
    KitValue value;
    std::uint32_t candidate;
  };
  // Options of one piece that count toward the same needs and go with the same items: from options_[first] up to
  // options_[end].
  struct Kind {
    std::uint32_t first, end;
    std::uint64_t lowers;  // bit n: it lowers needs_of_[n] by one line
    std::uint32_t link_class;
  };
  struct Need {  // an application that is in requires so many lines
    std::size_t application, lines;
  };
  struct Path {  // a whole kit found by dynamic programming; price and worth in exact money
    Choice choice;
    std::int64_t price = 0, worth = 0;
  };
  // A partial kit: the candidate of its last piece, and the label it extends.
  struct Label {
    std::int64_t price, worth;
    KitValue value;
    std::uint32_t state, parent, candidate;
  };

  void gather(KitOffers& offers, std::span<const Fixing> fixings);
  void choose_grain();
  void make_states(const KitValue& known, const KitMultipliers& multipliers);
  // Every kit within the limit that is as good as `known` has a rated cost of at most this.
  [[nodiscard]] std::int64_t rated_at_most(const KitValue& known, std::int64_t rate) const;
  // Dynamic programming: `rest` becomes, by state, the least that `cost` sums up to over the pieces from there on
  // (`most` where the needs can't be met). Then a kit that attains the least, the first in order among equals.
  template <typename Cost, typename Of>
  void backward_pass(std::vector<Cost>& rest, Cost most, Of cost);
  template <typename Cost, typename Of>
  [[nodiscard]] Path best_path(const std::vector<Cost>& rest, Of cost) const;
  [[nodiscard]] KitValue value_of(const Path& path) const;
  // Sets `rate_` and `least_rated_` from a kit within the limit and a better one over it. False where no kit within the
  // limit is as good as `known`, which is lowered to better kits met on the way.
  bool set_rate(Path within, Path over, const Met& met, KitValue& known);
  // labels.cc
  [[nodiscard]] std::optional<Found> extend_labels(const KitValue& known);
  [[nodiscard]] bool precedes(std::uint32_t a, std::uint32_t b) const;
  void drop_dominated(std::uint32_t first);

  KitObjective objective_;
  const KitLinks& links_;
  std::size_t size_;  // pieces
  std::int64_t limit_;
  KitWork& work_;
  std::int64_t sums_off_ = 0;
  bool may_reach_zero_ = false;  // a total may be cut off at 0: then price less worth no longer decides by itself

  std::vector<Option> options_;
  std::vector<std::vector<Kind>> kinds_;  // by piece
  std::vector<Need> needs_of_;
  std::optional<KitStateGraph> states_;

  // By state of all pieces: the least the rest adds in price, value and rated cost.
  std::vector<std::int64_t> least_price_;
  std::vector<KitValue> least_value_;
  std::vector<std::int64_t> least_rated_;
  std::int64_t largest_ = 0;  // bounds the absolute value of any sum of a kit
  // The rated cost of an option or kit is grain * value.first + rate * price.
  std::int64_t grain_ = 1, rate_ = 0, highest_rate_ = 0;
  std::vector<std::int64_t> worth_after_;  // by piece: the most worth the rest can add

  std::vector<Label> labels_;
};

}  // namespace lacestay::runtime
