#include "runtime/kit_relaxed.hpp"

#include <algorithm>
#include <bit>
#include <map>
#include <tuple>

#include "compiler/rational.hpp"
#include "runtime/kit_terms.hpp"

namespace lacestay::runtime {
namespace {

// Above any sum, and two of it still fit.
constexpr std::int64_t never = std::int64_t{1} << 61;

// With no more states there is little to save.
constexpr std::size_t few_states = 64;

}  // namespace

KitValue kit_value(KitObjective objective, std::int64_t price, std::int64_t worth) {
  return objective == KitObjective::price_less_worth ? KitValue{price - worth, price} : KitValue{price, -worth};
}

KitRelaxation::KitRelaxation(const KitDeals& deals, KitOffers& offers, std::span<const Term> terms,
                             std::optional<std::int64_t> limit, KitWork& work)
    : objective_(deals.problem().objective),
      size_(offers.pieces().size()),
      limit_(limit.value_or(std::int64_t{1} << 60)),
      work_(work) {
  gather(offers, terms);
  choose_grain();
}

// The options of each piece, by the needs they lower, each kind thinned: without the cut-off at 0, an option that is no
// dearer and no worse wins outright, whichever comes first, unless they are alike.
void KitRelaxation::gather(KitOffers& offers, std::span<const Term> terms) {
  const auto& applications = offers.applications();
  std::vector<std::uint64_t> bit_of(applications.size(), 0);
  const auto to_earn = to_be_earned(offers, terms);
  for (std::size_t a = 0; a < applications.size(); ++a) {
    if (terms[a] == Term::out) continue;
    sums_off_ += terms[a] == Term::in ? applications[a].sum_off : applications[a].bill_share();
    if (!to_earn[a]) continue;
    bit_of[a] = std::uint64_t{1} << needs_of_.size();
    needs_of_.push_back({a, applications[a].at_least});
    if (needs_of_.size() == 64) throw KitWork::Ended{};
  }
  struct Source {
    std::uint64_t lowers;
    const std::vector<KitOption>* options;
  };
  std::vector<std::vector<Source>> sources(size_);
  std::int64_t cheapest = -sums_off_;
  for (std::size_t p = 0; p < size_; ++p) {
    auto least = never;
    for (std::size_t g = 0; g < offers.pieces()[p].size(); ++g) {
      std::uint64_t lowers = 0;
      for (const auto a : offers.pieces()[p][g].applications) lowers |= bit_of[a];
      sources[p].push_back({lowers, &offers.options(p, g, terms)});
      least = std::min(least, sources[p].back().options->front().price);
    }
    cheapest += least;
  }
  may_reach_zero_ = cheapest < 0;

  kinds_.resize(size_);
  for (std::size_t p = 0; p < size_; ++p) {
    std::stable_sort(sources[p].begin(), sources[p].end(),
                     [](const Source& a, const Source& b) { return a.lowers < b.lowers; });
    for (std::size_t s = 0; s < sources[p].size();) {
      const auto lowers = sources[p][s].lowers;
      const auto first = options_.size();
      for (; s < sources[p].size() && sources[p][s].lowers == lowers; ++s)
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
      kinds_[p].push_back({static_cast<std::uint32_t>(first), static_cast<std::uint32_t>(options_.size()), lowers});
    }
  }
}

bool KitRelaxation::is_small() const {
  std::size_t states = 1;
  for (const auto& need : needs_of_)
    if ((states *= need.lines + 1) > few_states) return false;
  return true;
}

void KitRelaxation::count_needs() {
  std::vector<std::size_t> lines;
  for (const auto& need : needs_of_) lines.push_back(need.lines);
  std::vector<std::vector<std::uint64_t>> lowered(size_);
  for (std::size_t p = 0; p < size_; ++p)
    for (const auto& kind : kinds_[p]) lowered[p].push_back(kind.lowers);
  needs_.emplace(lines, lowered, work_);
}

// The finest grain with which rated sums still fit, halfway between what values and what rates may take.
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
void KitRelaxation::sweep(std::vector<Cost>& rest, Cost most, Of cost) {
  rest.assign(needs_->all(), most);
  if (needs_->states(size_) > 0) rest.back() = Cost{};
  for (auto p = size_; p-- > 0;) {
    const auto states = needs_->states(p);
    work_.spend(kinds_[p].size() * states);
    auto* here = rest.data() + needs_->first(p);
    const auto* then = rest.data() + needs_->first(p + 1);
    for (std::size_t k = 0; k < kinds_[p].size(); ++k) {
      auto least = most;
      for (auto o = kinds_[p][k].first; o < kinds_[p][k].end; ++o) least = std::min(least, cost(options_[o]));
      const auto* after = needs_->after(p, k);
      for (std::size_t state = 0; state < states; ++state)
        if (after[state] != KitNeeds::unmet && then[after[state]] < most)
          here[state] = std::min(here[state], least + then[after[state]]);
    }
  }
}

template <typename Cost, typename Of>
KitRelaxation::Path KitRelaxation::follow(const std::vector<Cost>& rest, Of cost) const {
  Path path;
  std::uint32_t state = 0;
  for (std::size_t p = 0; p < size_; ++p) {
    const auto* then = rest.data() + needs_->first(p + 1);
    const Option* first = nullptr;
    std::uint32_t next = 0;
    for (std::size_t k = 0; k < kinds_[p].size(); ++k) {
      const auto to = needs_->after(p, k)[state];
      if (to == KitNeeds::unmet) continue;
      for (auto o = kinds_[p][k].first; o < kinds_[p][k].end; ++o) {
        const auto& option = options_[o];
        if (first && option.candidate > first->candidate) continue;
        if (cost(option) + then[to] != rest[needs_->first(p) + state]) continue;
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

std::optional<KitRelaxation::Found> KitRelaxation::solve(const KitValue& known, const Met& met) {
  count_needs();
  const auto price = [](const Option& option) { return option.price; };
  const auto value = [](const Option& option) { return option.value; };
  const auto found = [&](Path path) {
    const auto its = value_of(path);
    return Found{std::move(path.choice), std::max<std::int64_t>(path.price, 0), its};
  };
  sweep(least_price_, never, price);
  const auto least = least_price_[0];
  if (least == never || least - sums_off_ > limit_) return std::nullopt;
  sweep(least_value_, KitValue{never, never}, value);
  const auto best = follow(least_value_, value);
  const bool within = best.price <= limit_;
  if (within && best.price >= 0) {
    if (value_of(best) > known) return std::nullopt;
    return found(best);
  }
  // Any kit within the limit tells how good the best one is at least.
  auto cheap = follow(least_price_, price);
  auto at_most = std::min(known, value_of(cheap));
  met(cheap.choice);
  if (within) at_most = std::min(at_most, value_of(best));
  rate_ = 0;
  if (!within && objective_ == KitObjective::price_less_worth && !set_rate(cheap, best, met, at_most))
    return std::nullopt;
  return carry(at_most);
}

// The rate at which the least rated cost, less what the limit itself is charged, is greatest: no kit within the limit
// is below that. Of two kits about the limit, the rate that makes them alike leads to one between, till there is none.
// Any rate gives a true bound, so rounding it costs no exactness.
bool KitRelaxation::set_rate(Path within, Path over, const Met& met, KitValue& known) {
  std::optional<std::int64_t> best_bound;
  std::vector<std::int64_t> rest;
  for (int round = 0; round < 16; ++round) {
    const auto rise = (within.price - within.worth) - (over.price - over.worth);
    const auto fall = over.price - within.price;
    const auto exact = compiler::Int128{rise} * grain_ / fall;
    const auto rate = exact < highest_rate_ ? static_cast<std::int64_t>(exact) : highest_rate_;
    const auto rated = [&](const Option& each) { return grain_ * each.value.first + rate * each.price; };
    sweep(rest, never, rated);
    const auto bound = rest[0] - (grain_ + rate) * sums_off_ - rate * limit_;
    if (!best_bound || bound > *best_bound) {
      best_bound = bound;
      rate_ = rate;
      least_rated_ = rest;
    }
    if (bound > compiler::Int128{grain_} * known.first) return false;
    const auto path = follow(rest, rated);
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

// Whether the partial kit of label a comes before that of b, of the same pieces: the first that differs decides.
bool KitRelaxation::goes_before(std::uint32_t a, std::uint32_t b) const {
  bool before = false;
  for (; a != b; a = labels_[a].parent, b = labels_[b].parent)
    if (labels_[a].candidate != labels_[b].candidate) before = labels_[a].candidate < labels_[b].candidate;
  return before;
}

// Of the labels from `first` on, all of one piece, drops those another beats whatever follows.
void KitRelaxation::drop_beaten(std::uint32_t first) {
  const auto count = labels_.size() - first;
  std::vector<std::uint32_t> order(count);
  for (std::size_t i = 0; i < count; ++i) order[i] = first + static_cast<std::uint32_t>(i);
  std::sort(order.begin(), order.end(), [&](std::uint32_t a, std::uint32_t b) {
    const auto &x = labels_[a], &y = labels_[b];
    const auto by = std::tie(x.state, x.price, x.value) <=> std::tie(y.state, y.price, y.value);
    return by != 0 ? by < 0 : goes_before(a, b);
  });
  std::vector<Label> kept;
  std::uint32_t best = 0;
  for (const auto each : order) {
    const auto& label = labels_[each];
    if (!kept.empty() && kept.back().state == label.state) {
      const auto& held = labels_[best];
      const bool beaten = !may_reach_zero_
                              ? label.value.first >= held.value.first
                              : label.worth < held.worth || (label.worth == held.worth && !goes_before(each, best));
      if (beaten) continue;
    }
    best = each;
    kept.push_back(label);
  }
  work_.spend(count * 4);
  labels_.resize(first);
  labels_.insert(labels_.end(), kept.begin(), kept.end());
}

std::optional<KitRelaxation::Found> KitRelaxation::carry(const KitValue& known) {
  // What the rest can add in worth, where a total may be cut off at 0.
  worth_after_.assign(size_ + 1, 0);
  for (auto p = size_; p-- > 0;) {
    auto most = -never;
    for (const auto& kind : kinds_[p])
      for (auto o = kind.first; o < kind.end; ++o) most = std::max(most, options_[o].worth);
    worth_after_[p] = worth_after_[p + 1] + most;
  }
  // A kit better than `known` has a first value at least 1 less, or the same and no greater price; both within the
  // limit. So its rated cost is at most this.
  const bool rated = rate_ > 0;
  const auto at_most = rated ? std::max(grain_ * (known.first - 1) + rate_ * limit_,
                                        grain_ * known.first + rate_ * std::min(known.second, limit_))
                             : 0;
  const auto rated_cost = [&](const auto& each) { return grain_ * each.value.first + rate_ * each.price; };
  const auto zero_aware = [&](const KitValue& sum, std::int64_t price, std::int64_t worth) {
    const auto paid = std::max<std::int64_t>(price, 0);
    return objective_ == KitObjective::price ? KitValue{paid, -worth} : KitValue{std::max(sum.first, -worth), paid};
  };
  if (rated)
    for (const auto& kinds : kinds_)
      for (const auto& kind : kinds)
        std::sort(options_.begin() + kind.first, options_.begin() + kind.end,
                  [&](const Option& a, const Option& b) { return rated_cost(a) < rated_cost(b); });

  labels_.clear();
  labels_.push_back({-sums_off_, 0, kit_value(objective_, -sums_off_, 0), 0, 0, 0});
  std::uint32_t first = 0;
  for (std::size_t p = 0; p < size_; ++p) {
    const auto end = static_cast<std::uint32_t>(labels_.size());
    for (auto parent = first; parent < end; ++parent) {
      const auto from = labels_[parent];
      const auto from_rated = rated_cost(from);
      for (std::size_t k = 0; k < kinds_[p].size(); ++k) {
        const auto& kind = kinds_[p][k];
        const auto state = needs_->after(p, k)[from.state];
        if (state == KitNeeds::unmet) continue;
        const auto after = needs_->first(p + 1) + state;
        if (least_price_[after] == never) continue;
        for (auto o = kind.first; o < kind.end; ++o) {
          const auto& option = options_[o];
          work_.spend(1);
          if (rated && from_rated + rated_cost(option) + least_rated_[after] > at_most) break;
          const auto price = from.price + option.price;
          if (price + least_price_[after] > limit_) continue;
          const auto worth = from.worth + option.worth;
          const auto value = from.value + option.value;
          auto end_value = value + least_value_[after];
          if (may_reach_zero_)
            end_value = zero_aware(end_value, price + least_price_[after], worth + worth_after_[p + 1]);
          if (end_value > known) continue;
          labels_.push_back({price, worth, value, state, parent, option.candidate});
        }
      }
    }
    drop_beaten(end);
    first = end;
  }
  std::optional<std::uint32_t> best;
  KitValue best_value;
  const auto end = static_cast<std::uint32_t>(labels_.size());
  for (auto each = first; each < end && size_ > 0; ++each) {
    const auto value = kit_value(objective_, std::max<std::int64_t>(labels_[each].price, 0), labels_[each].worth);
    if (value > known || (best && (value > best_value || (value == best_value && !goes_before(each, *best))))) continue;
    best = each;
    best_value = value;
  }
  if (!best) return std::nullopt;
  Found found{Choice(size_), std::max<std::int64_t>(labels_[*best].price, 0), best_value};
  for (auto p = size_, label = std::size_t{*best}; p-- > 0; label = labels_[label].parent)
    found.choice[p] = labels_[label].candidate;
  return found;
}

}  // namespace lacestay::runtime
