#include "runtime/kit/builder.hpp"

#include <algorithm>
#include <memory>
#include <queue>
#include <tuple>

#include "runtime/kit/deals.hpp"
#include "runtime/kit/fixings.hpp"
#include "runtime/kit/offers.hpp"
#include "runtime/kit/relaxed.hpp"

namespace lacestay::runtime {
namespace {

using Choice = std::vector<std::size_t>;

// Best-first branch and bound: over the maximal sets of compatible deals, and within a set over which applications are
// earned.
//
// A node is a set of deals and a fixing (in, out or free) of each of its applications. Its relaxation (relaxed.hpp)
// gives free applications to every kit, so its best kit is no worse than any true kit under these fixings. Where that
// kit truly costs what the relaxation says, the node is solved. Where it costs more, it has been given some free
// application that it does not earn: the node branches on it, in or out. Once some kit is known, the Lagrangian bound
// (lagrangian.cc) prunes or branches most nodes without solving their relaxation. The node with the least bound is
// opened first; the search ends when that is above the best kit known.
class Search {
 public:
  Search(const KitProblem& problem, std::optional<KitShelf::Without> without, std::uint64_t budget)
      : problem_(problem), deals_(problem), links_(problem), shelf_(problem, links_, without), work_(budget) {
    if (problem.limit) limit_ = deals_.exact_limit();
  }

  // Takes a kit for the best known one if its items go together, it is within the limit and better.
  void consider(const Choice& choice) {
    if (!links_.fit(choice)) return;
    const auto price = deals_.exact_price(choice);
    if (limit_ && price > *limit_) return;
    std::int64_t worth = 0;
    for (std::size_t p = 0; p < choice.size(); ++p) worth += problem_.pieces[p][choice[p]].worth;
    const auto value = kit_value(problem_.objective, price, worth * deals_.scale());
    if (best_ && std::tie(best_->value, best_->choice) <= std::tie(value, choice)) return;
    best_ = {choice, value, worth};
  }

  KitResult run() {
    bool ended = false;
    try {
      for (const auto& piece : shelf_.pieces)
        if (piece.empty()) return result(false);
      open_roots();
      while (!open_.empty() && !(best_ && best_->value < open_.top().bound)) open_next();
    } catch (const KitWork::Ended&) {
      ended = true;
    }
    return result(ended);
  }

 private:
  struct Node {
    KitValue bound;       // no kit of this node has a lower value
    std::uint64_t order;  // of its creation: among equal bounds the oldest is opened first
    std::size_t set;
    std::vector<Fixing> fixings;
    KitMultipliers multipliers;
    friend bool operator<(const Node& a, const Node& b) {  // priority_queue: the greatest is opened first
      return std::tie(a.bound, a.order) > std::tie(b.bound, b.order);
    }
  };
  struct Best {
    Choice choice;
    KitValue value;
    std::int64_t worth;
  };

  void add(KitValue bound, std::size_t set, std::vector<Fixing> fixings, KitMultipliers multipliers) {
    open_.push({bound, order_++, set, std::move(fixings), std::move(multipliers)});
  }

  // One node a set of deals. Their bound is a kit of the greatest worth for nothing.
  void open_roots() {
    std::int64_t worth = 0;
    for (const auto& piece : shelf_.pieces)
      worth += std::max_element(piece.begin(), piece.end(), [](const auto& a, const auto& b) {
                 return a.worth < b.worth;
               })->worth;
    const auto bound = kit_value(problem_.objective, 0, worth * deals_.scale());
    offers_.resize(deals_.sets().size());
    for (std::size_t s = 0; s < deals_.sets().size(); ++s) add(bound, s, {}, {});
  }

  void open_next() {
    auto node = open_.top();
    auto& offers = offers_[node.set];
    if (!offers) {
      std::uint64_t items = 0;
      for (const auto& piece : shelf_.pieces) items += piece.size();
      work_.spend(items * 8);
      offers = std::make_unique<KitOffers>(deals_, deals_.sets()[node.set], shelf_);
      node.fixings.assign(offers->applications().size(), Fixing::free);
      node.multipliers.lines.assign(node.fixings.size(), 0);
    }
    KitRelaxation relaxation(deals_, links_, *offers, node.fixings, limit_, work_);
    const auto known = best_ ? best_->value : KitValue{INT64_MAX, INT64_MAX};
    if (best_ && relaxation.has_needs()) {
      const auto lagrangian = relaxation.lagrangian(known, node.multipliers);
      if (!lagrangian) return open_.pop();
      consider(lagrangian->choice);
      if (const auto unearned = most_overstated(*offers, node.fixings, lagrangian->choice)) {
        if (lagrangian->bound > node.bound.first) node.bound = {lagrangian->bound, INT64_MIN};
        open_.pop();
        return branch(*offers, node, *unearned);
      }
    }
    const auto found = relaxation.solve(known, node.multipliers, [&](const Choice& choice) { consider(choice); });
    open_.pop();  // only now: where the budget ends in `solve`, this node's bound is still part of the result's
    if (!found) return;
    consider(found->choice);
    if (best_ && std::tie(best_->value, best_->choice) <= std::tie(found->value, found->choice)) return;
    // The kit truly costs more, so there is something it has not earned.
    node.bound = found->value;
    branch(*offers, node, *most_overstated(*offers, node.fixings, found->choice));
  }

  void branch(const KitOffers& offers, const Node& node, std::size_t application) {
    for (const auto fixing : {Fixing::in, Fixing::out}) {
      auto fixings = node.fixings;
      fixings[application] = fixing;
      if (fix_implied(offers, fixings)) add(node.bound, node.set, std::move(fixings), node.multipliers);
    }
  }

  // What to branch on: of the free applications, the one whose relaxed discount exceeds the true one most for this
  // kit. Nothing where none does.
  std::optional<std::size_t> most_overstated(const KitOffers& offers, const std::vector<Fixing>& fixings,
                                             const Choice& choice) const {
    std::optional<std::size_t> dearest;
    std::int64_t most = 0;
    for (std::size_t a = 0; a < fixings.size(); ++a) {
      if (fixings[a] != Fixing::free) continue;
      const auto& application = offers.applications()[a];
      const auto& deal = problem_.deals[application.deal];
      std::size_t lines = 0;
      auto taken = application.bill_share(), one_price_off = std::int64_t{0};
      for (std::size_t p = 0; p < choice.size(); ++p) {
        const auto& item = problem_.pieces[p][choice[p]];
        if (deal.reaches[p].empty() || !deal.reaches[p][choice[p]]) continue;
        if (application.make != -1 && application.make != item.make) continue;
        ++lines;
        taken += application.line_share();
        // Two parts may each round to nothing and still take something off together, so each counts 1 at least.
        if (application.is_part() && deal.reduces(p) && item.price > 0)
          taken += std::max<std::int64_t>(deals_.part_off(item.price, deals_.parts(application.deal)), 1);
        if (application.share.empty()) continue;
        const auto off = (item.price - application.share[p]) * deals_.scale();
        taken += std::max<std::int64_t>(off, 0);
        one_price_off += off;
      }
      std::int64_t earned = 0;
      if (lines >= application.at_least)
        earned = application.is_part() ? taken : application.sum_off + std::max<std::int64_t>(one_price_off, 0);
      if (taken - earned > most) most = taken - earned, dearest = a;
    }
    return dearest;
  }

  KitResult result(bool ended) const {
    KitResult result;
    result.scale = deals_.scale();
    result.work = work_.used();
    result.status = ended   ? best_ ? KitStatus::best_so_far : KitStatus::unsettled
                    : best_ ? KitStatus::best
                            : KitStatus::none;
    if (ended && !open_.empty()) result.bound = open_.top().bound.first;
    if (!best_) return result;
    result.choice = best_->choice;
    result.bill = bill_of(deals_, best_->choice);
    result.value = best_->value.first;
    result.worth = best_->worth;
    result.bound = ended ? std::min(result.bound, result.value) : result.value;
    return result;
  }

  const KitProblem& problem_;
  KitDeals deals_;
  KitLinks links_;
  KitShelf shelf_;
  std::optional<std::int64_t> limit_;
  KitWork work_;
  std::vector<std::unique_ptr<KitOffers>> offers_;  // by set of deals; made when its first node is opened
  std::priority_queue<Node> open_;
  std::uint64_t order_ = 0;
  std::optional<Best> best_;
};

}  // namespace

KitResult build_kit(const KitProblem& problem, std::uint64_t budget) {
  if (fault_of(problem)) return {};
  return Search(problem, std::nullopt, budget).run();
}

std::optional<KitResult> runner_up(const KitProblem& problem, const KitResult& best, std::size_t piece,
                                   std::uint64_t budget) {
  if (fault_of(problem) || !best.has_kit()) return std::nullopt;
  Search search(problem, KitShelf::Without{piece, best.choice[piece]}, budget);
  auto other = best.choice;
  for (std::size_t c = 0; c < problem.pieces[piece].size(); ++c) {
    if (c == best.choice[piece]) continue;
    other[piece] = c;
    search.consider(other);
  }
  auto found = search.run();
  if (!found.has_kit()) return std::nullopt;
  return found;
}

}  // namespace lacestay::runtime
