#include "runtime/kit/builder.hpp"

#include <algorithm>
#include <memory>
#include <queue>
#include <tuple>

#include "runtime/kit/deals.hpp"
#include "runtime/kit/offers.hpp"
#include "runtime/kit/relaxed.hpp"
#include "runtime/kit/terms.hpp"

namespace lacestay::runtime {
namespace {

using Choice = std::vector<std::size_t>;

// The search: first over the sets of deals that may stand together, then over which applications are earned.
//
// A node is a set of deals and the terms of its applications; its best relaxed kit is no worse than any true kit on
// these terms. Where the relaxed kit costs what it truly costs, the node is done. Where it does not, it has had
// some free application it does not earn: in one child that is in, in the other out. Once some kit is known, charges
// (kit_charges.cc) close or part most nodes without the relaxed kit itself. The node that may hold the best goes first.
class Search {
 public:
  Search(const KitProblem& problem, std::optional<KitShelf::Without> without, std::uint64_t budget)
      : problem_(problem), deals_(problem), shelf_(problem, without), work_(budget) {
    if (problem.limit) limit_ = deals_.exact_limit();
  }

  // A kit known beforehand.
  void offer(const Choice& choice) {
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
      while (!open_.empty() && !(best_ && best_->value < open_.top().at_least)) open_next();
    } catch (const KitWork::Ended&) {
      ended = true;
    }
    return result(ended);
  }

 private:
  struct Node {
    KitValue at_least;
    std::uint64_t order;  // opened earlier among equals
    std::size_t set;
    std::vector<Term> terms;
    KitCharges charges;
    friend bool operator<(const Node& a, const Node& b) {  // which goes later
      return std::tie(a.at_least, a.order) > std::tie(b.at_least, b.order);
    }
  };
  struct Best {
    Choice choice;
    KitValue value;
    std::int64_t worth;
  };

  void add(KitValue at_least, std::size_t set, std::vector<Term> terms, KitCharges charges) {
    open_.push({at_least, order_++, set, std::move(terms), std::move(charges)});
  }

  // No kit is better than all its worth for nothing.
  void open_roots() {
    std::int64_t worth = 0;
    for (const auto& piece : shelf_.pieces)
      worth += std::max_element(piece.begin(), piece.end(), [](const auto& a, const auto& b) {
                 return a.worth < b.worth;
               })->worth;
    const auto at_least = kit_value(problem_.objective, 0, worth * deals_.scale());
    offers_.resize(deals_.sets().size());
    for (std::size_t s = 0; s < deals_.sets().size(); ++s) add(at_least, s, {}, {});
  }

  void open_next() {
    auto node = open_.top();
    auto& offers = offers_[node.set];
    if (!offers) {
      std::uint64_t items = 0;
      for (const auto& piece : shelf_.pieces) items += piece.size();
      work_.spend(items * 8);
      offers = std::make_unique<KitOffers>(deals_, deals_.sets()[node.set], shelf_);
      node.terms.assign(offers->applications().size(), Term::free);
      node.charges.lines.assign(node.terms.size(), 0);
    }
    KitRelaxation relaxation(deals_, *offers, node.terms, limit_, work_);
    const auto known = best_ ? best_->value : KitValue{INT64_MAX, INT64_MAX};
    if (best_ && relaxation.has_needs()) {
      const auto charged = relaxation.charge(known, node.charges);
      if (!charged) return open_.pop();
      offer(charged->choice);
      if (const auto unearned = dearest_unearned(*offers, node.terms, charged->choice)) {
        if (charged->at_least > node.at_least.first) node.at_least = {charged->at_least, INT64_MIN};
        open_.pop();
        return part(*offers, node, *unearned);
      }
    }
    const auto found = relaxation.solve(known, node.charges, [&](const Choice& choice) { offer(choice); });
    open_.pop();  // only now: a node the budget ends in still counts
    if (!found) return;
    offer(found->choice);
    if (best_ && std::tie(best_->value, best_->choice) <= std::tie(found->value, found->choice)) return;
    // The kit truly costs more, so there is something it has not earned.
    node.at_least = found->value;
    part(*offers, node, *dearest_unearned(*offers, node.terms, found->choice));
  }

  void part(const KitOffers& offers, const Node& node, std::size_t application) {
    for (const auto term : {Term::in, Term::out}) {
      auto terms = node.terms;
      terms[application] = term;
      if (settle(offers, terms)) add(node.at_least, node.set, std::move(terms), node.charges);
    }
  }

  // Of the free applications, the one that takes most off the relaxed kit beyond what the kit earns.
  std::optional<std::size_t> dearest_unearned(const KitOffers& offers, const std::vector<Term>& terms,
                                              const Choice& choice) const {
    std::optional<std::size_t> dearest;
    std::int64_t most = 0;
    for (std::size_t a = 0; a < terms.size(); ++a) {
      if (terms[a] != Term::free) continue;
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
        // Parts that come to nothing each may come to something together.
        if (application.is_part() && item.price > 0)
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
    if (ended && !open_.empty()) result.bound = open_.top().at_least.first;
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
  KitShelf shelf_;
  std::optional<std::int64_t> limit_;
  KitWork work_;
  std::vector<std::unique_ptr<KitOffers>> offers_;  // by set of deals, once one is opened
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
    search.offer(other);
  }
  auto found = search.run();
  if (!found.has_kit()) return std::nullopt;
  return found;
}

}  // namespace lacestay::runtime
