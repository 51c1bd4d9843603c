// Label setting with dominance, for a node whose limit binds: labels are partial kits, extended piece by piece; see
// relaxed.hpp.
#include <algorithm>
#include <tuple>

#include "runtime/kit/relaxed.hpp"

namespace lacestay::runtime {

// Whether the partial kit of label a comes before that of b in the order that breaks ties. Both are of the same pieces;
// the first piece with different candidates decides, which is the last one met on the way back.
bool KitRelaxation::precedes(std::uint32_t a, std::uint32_t b) const {
  bool before = false;
  for (; a != b; a = labels_[a].parent, b = labels_[b].parent)
    if (labels_[a].candidate != labels_[b].candidate) before = labels_[a].candidate < labels_[b].candidate;
  return before;
}

// Of the labels from `first` on, all of one layer, drops those that another of the same state dominates: it ends no
// worse whatever items follow.
void KitRelaxation::drop_dominated(std::uint32_t first) {
  const auto count = labels_.size() - first;
  std::vector<std::uint32_t> order(count);
  for (std::size_t i = 0; i < count; ++i) order[i] = first + static_cast<std::uint32_t>(i);
  std::sort(order.begin(), order.end(), [&](std::uint32_t a, std::uint32_t b) {
    const auto &x = labels_[a], &y = labels_[b];
    const auto by = std::tie(x.state, x.price, x.value) <=> std::tie(y.state, y.price, y.value);
    return by != 0 ? by < 0 : precedes(a, b);
  });
  std::vector<Label> kept;
  std::uint32_t best = 0;
  for (const auto each : order) {
    const auto& label = labels_[each];
    if (!kept.empty() && kept.back().state == label.state) {
      const auto& held = labels_[best];
      const bool dominated = !may_reach_zero_
                                 ? label.value.first >= held.value.first
                                 : label.worth < held.worth || (label.worth == held.worth && !precedes(each, best));
      if (dominated) continue;
    }
    best = each;
    kept.push_back(label);
  }
  work_.spend(count * 4);
  labels_.resize(first);
  labels_.insert(labels_.end(), kept.begin(), kept.end());
}

std::optional<KitRelaxation::Found> KitRelaxation::extend_labels(const KitValue& known) {
  // The most worth the rest can add: a bound of its own where a total may be cut off at 0.
  worth_after_.assign(size_ + 1, 0);
  for (auto p = size_; p-- > 0;) {
    auto most = -never;
    for (const auto& kind : kinds_[p])
      for (auto o = kind.first; o < kind.end; ++o) most = std::max(most, options_[o].worth);
    worth_after_[p] = worth_after_[p + 1] + most;
  }
  const bool rated = rate_ > 0;
  const auto at_most = rated_at_most(known, rate_);
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
        const auto state = states_->after(p, k)[from.state];
        if (state == KitStateGraph::unmet) continue;
        const auto after = states_->first(p + 1) + state;
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
    drop_dominated(end);
    first = end;
  }
  std::optional<std::uint32_t> best;
  KitValue best_value;
  const auto end = static_cast<std::uint32_t>(labels_.size());
  for (auto each = first; each < end && size_ > 0; ++each) {
    const auto value = kit_value(objective_, std::max<std::int64_t>(labels_[each].price, 0), labels_[each].worth);
    if (value > known || (best && (value > best_value || (value == best_value && !precedes(each, *best))))) continue;
    best = each;
    best_value = value;
  }
  if (!best) return std::nullopt;
  Found found{Choice(size_), best_value};
  for (auto p = size_, label = std::size_t{*best}; p-- > 0; label = labels_[label].parent)
    found.choice[p] = labels_[label].candidate;
  return found;
}

}  // namespace lacestay::runtime
