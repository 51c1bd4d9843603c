#include "runtime/kit/relaxed.hpp"

#include <algorithm>
#include <bit>
#include <tuple>

#include "compiler/values/rational.hpp"
#include "runtime/kit/fixings.hpp"

namespace lacestay::runtime {

KitValue kit_value(KitObjective objective, std::int64_t price, std::int64_t worth) {
  return objective == KitObjective::price_less_worth ? KitValue{price - worth, price} : KitValue{price, -worth};
}

KitRelaxation::KitRelaxation(const KitDeals& deals, const KitLinks& links, KitOffers& offers,
                             std::span<const Fixing> fixings, std::optional<std::int64_t> limit, KitWork& work)
    : objective_(deals.problem().objective),
      links_(links),
      size_(offers.pieces().size()),
      limit_(limit.value_or(std::int64_t{1} << 60)),
      work_(work) {
  gather(offers, fixings);
  choose_grain();
}

// The options of each piece, by the needs they lower and what they go with, without the dominated ones of each kind.
// Where no total can be cut off at 0, an option that is no dearer and no worse dominates whatever its place in the
// order; only of two with equal price and value does the order decide.
void KitRelaxation::gather(KitOffers& offers, std::span<const Fixing> fixings) {
  const auto& applications = offers.applications();
  std::vector<std::uint64_t> bit_of(applications.size(), 0);
  const auto to_earn = to_be_earned(offers, fixings);
  for (std::size_t a = 0; a < applications.size(); ++a) {
    if (fixings[a] == Fixing::out) continue;
    sums_off_ += fixings[a] == Fixing::in ? applications[a].sum_off : applications[a].bill_share();
    if (!to_earn[a]) continue;
    bit_of[a] = std::uint64_t{1} << needs_of_.size();
    needs_of_.push_back({a, applications[a].at_least});
    if (needs_of_.size() == 64) throw KitWork::Ended{};  // a kind's needs are one 64-bit word
  }
  struct Source {
    std::uint64_t lowers;
    std::uint32_t link_class;
    const std::vector<KitOption>* options;
  };
  std::vector<std::vector<Source>> sources(size_);
  std::int64_t cheapest = -sums_off_;
  for (std::size_t p = 0; p < size_; ++p) {
    auto least = never;
    for (std::size_t g = 0; g < offers.pieces()[p].size(); ++g) {
      std::uint64_t lowers = 0;
      for (const auto a : offers.pieces()[p][g].applications) lowers |= bit_of[a];
      sources[p].push_back({lowers, offers.pieces()[p][g].link_class, &offers.options(p, g, fixings)});
      least = std::min(least, sources[p].back().options->front().price);
    }
    cheapest += least;
  }
  may_reach_zero_ = cheapest < 0;

  kinds_.resize(size_);
  for (std::size_t p = 0; p < size_; ++p) {
    const auto kind_of = [](const Source& source) { return std::tie(source.link_class, source.lowers); };
    std::stable_sort(sources[p].begin(), sources[p].end(),
                     [&](const Source& a, const Source& b) { return kind_of(a) < kind_of(b); });
    for (std::size_t s = 0; s < sources[p].size();) {
      const auto& alike = sources[p][s];
      const auto first = options_.size();
      for (; s < sources[p].size() && kind_of(sources[p][s]) == kind_of(alike); ++s)
        for (const auto& each : *sources[p][s].options)
          options_.push_back({each.price, each.worth, kit_value(objective_, each.price, each.worth), each.candidate});
      const auto begin = options_.begin() + static_cast<std::ptrdiff_t>(first);
      std::sort(begin, options_.end(), [](const Option& a, const Option& b) {
        return std::tie(a.price, a.value, a.candidate) < std::tie(b.price, b.value, b.candidate);
      });
      work_.spend(options_.size() - first);
      if (!may_reach_zero_) {
        auto best = never;
        options_.erase(std::remove_if(begin, options_.end(),
                                      [&](const Option& each) {
                                        if (each.value.first >= best) return true;
                                        best = each.value.first;
                                        return false;
                                      }),
                       options_.end());
      }
      kinds_[p].push_back({static_cast<std::uint32_t>(first), static_cast<std::uint32_t>(options_.size()), alike.lowers,
                           alike.link_class});
    }
  }
}

void KitRelaxation::make_states(const KitValue& known, const KitMultipliers& multipliers) {
  const bool priced = has_needs() && known.first < never && multipliers.grain == grain_;
  const auto rate = priced ? multipliers.rate : 0;
  std::vector<KitStateGraph::Need> needs;
  for (const auto& need : needs_of_) needs.push_back({need.lines, priced ? multipliers.lines[need.application] : 0});
  std::vector<std::vector<KitStateGraph::Kind>> kinds(size_);
  for (std::size_t p = 0; p < size_; ++p) {
    for (const auto& kind : kinds_[p]) {
      auto least = never;
      for (auto o = kind.first; o < kind.end; ++o)
        least = std::min(least, grain_ * options_[o].value.first + rate * options_[o].price);
      kinds[p].push_back({kind.lowers, least, kind.link_class});
    }
  }
  const auto at_most =
      priced ? rated_at_most(known, rate) + (grain_ + rate) * sums_off_ : std::numeric_limits<std::int64_t>::max();
  states_.emplace(needs, kinds, links_, at_most, work_);
}

// A kit as good as `known` has a first value at least 1 less, and a price up to the limit; or the same first value, and
// a price up to known's.
std::int64_t KitRelaxation::rated_at_most(const KitValue& known, std::int64_t rate) const {
  if (rate == 0) return grain_ * known.first;
  return std::max(grain_ * (known.first - 1) + rate * limit_,
                  grain_ * known.first + rate * std::min(known.second, limit_));
}

// Rated sums must fit 60 bits. The room that values leave is split in two: half for the grain, half for the rate.
void KitRelaxation::choose_grain() {
  largest_ = std::abs(sums_off_) + 1;
  for (const auto& kinds : kinds_) {
    std::int64_t here = 0;
    for (const auto& kind : kinds)
      for (auto o = kind.first; o < kind.end; ++o)
        here = std::max(here, std::abs(options_[o].price) + std::abs(options_[o].worth));
    largest_ += here;
  }
  const auto room = 60 - static_cast<int>(std::bit_width(static_cast<std::uint64_t>(largest_)));
  grain_ = std::int64_t{1} << std::clamp(room / 2, 1, 16);
  highest_rate_ = (std::int64_t{1} << room) - grain_;
}

template <typename Cost, typename Of>
void KitRelaxation::backward_pass(std::vector<Cost>& rest, Cost most, Of cost) {
  rest.assign(states_->all(), most);
  if (states_->states(size_) > 0) rest.back() = Cost{};
  for (auto p = size_; p-- > 0;) {
    const auto states = states_->states(p);
    work_.spend(kinds_[p].size() * states);
    auto* here = rest.data() + states_->first(p);
    const auto* then = rest.data() + states_->first(p + 1);
    for (std::size_t k = 0; k < kinds_[p].size(); ++k) {
      auto least = most;
      for (auto o = kinds_[p][k].first; o < kinds_[p][k].end; ++o) least = std::min(least, cost(options_[o]));
      const auto* after = states_->after(p, k);
      for (std::size_t state = 0; state < states; ++state)
        if (after[state] != KitStateGraph::unmet && then[after[state]] < most)
          here[state] = std::min(here[state], least + then[after[state]]);
    }
  }
}

template <typename Cost, typename Of>
KitRelaxation::Path KitRelaxation::best_path(const std::vector<Cost>& rest, Of cost) const {
  Path path;
  std::uint32_t state = 0;
  for (std::size_t p = 0; p < size_; ++p) {
    const auto* then = rest.data() + states_->first(p + 1);
    const Option* first = nullptr;
    std::uint32_t next = 0;
    for (std::size_t k = 0; k < kinds_[p].size(); ++k) {
      const auto to = states_->after(p, k)[state];
      if (to == KitStateGraph::unmet) continue;
      for (auto o = kinds_[p][k].first; o < kinds_[p][k].end; ++o) {
        const auto& option = options_[o];
        if (first && option.candidate > first->candidate) continue;
        if (cost(option) + then[to] != rest[states_->first(p) + state]) continue;
        first = &option;
        next = to;
      }
    }
    path.choice.push_back(first->candidate);
    path.price += first->price;
    path.worth += first->worth;
    state = next;
  }
  path.price -= sums_off_;
  return path;
}

KitValue KitRelaxation::value_of(const Path& path) const {
  return kit_value(objective_, std::max<std::int64_t>(path.price, 0), path.worth);
}

std::optional<KitRelaxation::Found> KitRelaxation::solve(const KitValue& known, const KitMultipliers& multipliers,
                                                         const Met& met) {
  make_states(known, multipliers);
  const auto price = [](const Option& option) { return option.price; };
  const auto value = [](const Option& option) { return option.value; };
  backward_pass(least_price_, never, price);
  const auto least = least_price_[0];
  if (least == never || least - sums_off_ > limit_) return std::nullopt;
  backward_pass(least_value_, KitValue{never, never}, value);
  const auto best = best_path(least_value_, value);
  const bool within = best.price <= limit_;
  if (within && best.price >= 0) {
    if (value_of(best) > known) return std::nullopt;
    return Found{best.choice, value_of(best)};
  }
  // Any kit within the limit is an upper bound for the best one's value.
  auto cheap = best_path(least_price_, price);
  auto at_most = std::min(known, value_of(cheap));
  met(cheap.choice);
  if (within) at_most = std::min(at_most, value_of(best));
  rate_ = 0;
  if (!within && objective_ == KitObjective::price_less_worth && !set_rate(cheap, best, met, at_most))
    return std::nullopt;
  return extend_labels(at_most);
}

// The Lagrangian dual of the limit, which has one multiplier: its bound, the least rated cost less rate * limit, is
// concave and piecewise linear in the rate. Each round takes the rate at which the two kits, one within the limit and
// one over it, have the same rated cost, and replaces one of them by the kit that is best there, until none is better.
// Any rate gives a valid bound, so rounding it costs no exactness.
bool KitRelaxation::set_rate(Path within, Path over, const Met& met, KitValue& known) {
  std::optional<std::int64_t> best_bound;
  std::vector<std::int64_t> rest;
  for (int round = 0; round < 16; ++round) {
    const auto rise = (within.price - within.worth) - (over.price - over.worth);
    const auto fall = over.price - within.price;
    const auto exact = compiler::Int128{rise} * grain_ / fall;
    const auto rate = exact < highest_rate_ ? static_cast<std::int64_t>(exact) : highest_rate_;
    const auto rated = [&](const Option& each) { return grain_ * each.value.first + rate * each.price; };
    backward_pass(rest, never, rated);
    const auto bound = rest[0] - (grain_ + rate) * sums_off_ - rate * limit_;
    if (!best_bound || bound > *best_bound) {
      best_bound = bound;
      rate_ = rate;
      least_rated_ = rest;
    }
    if (bound > compiler::Int128{grain_} * known.first) return false;
    const auto path = best_path(rest, rated);
    const auto cost = [&](const Path& each) { return grain_ * (each.price - each.worth) + rate * each.price; };
    if (cost(path) >= std::min(cost(within), cost(over))) break;
    met(path.choice);
    if (path.price <= limit_) {
      within = path;
      known = std::min(known, value_of(path));
    } else {
      over = path;
    }
  }
  return true;
}

}  // namespace lacestay::runtime
