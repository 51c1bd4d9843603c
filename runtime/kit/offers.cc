#include "runtime/kit/offers.hpp"

#include <algorithm>
#include <tuple>

namespace lacestay::runtime {

KitShelf::KitShelf(const KitProblem& problem, const KitLinks& links, std::optional<Without> without)
    : pieces(problem.pieces.size()) {
  for (std::size_t p = 0; p < pieces.size(); ++p) {
    for (std::size_t c = 0; c < problem.pieces[p].size(); ++c) {
      if (without && without->piece == p && without->candidate == c) continue;
      const auto& item = problem.pieces[p][c];
      DealSet reached_by = 0;
      for (std::size_t d = 0; d < problem.deals.size(); ++d) {
        const auto& covered = problem.deals[d].reaches[p];
        if (!covered.empty() && covered[c]) reached_by |= DealSet{1} << d;
      }
      pieces[p].push_back(
          {item.price, item.worth, static_cast<std::uint32_t>(c), item.make, reached_by, links.class_of(p, c)});
    }
    std::sort(pieces[p].begin(), pieces[p].end(), [](const Item& a, const Item& b) {
      return std::tuple(a.price, -a.worth, a.candidate) < std::tuple(b.price, -b.worth, b.candidate);
    });
  }
}

namespace {

template <typename Item>
void keep_undominated_sorted(std::vector<Item>& items) {
  std::size_t kept = 0;
  for (const auto& item : items) {
    // The last one kept has the greatest worth so far and, of those with that worth, the lowest candidate.
    if (kept > 0) {
      const auto& best = items[kept - 1];
      if (item.worth < best.worth || (item.worth == best.worth && item.candidate > best.candidate)) continue;
    }
    items[kept++] = item;
  }
  items.erase(items.begin() + static_cast<std::ptrdiff_t>(kept), items.end());
}

}  // namespace

void keep_undominated(std::vector<KitOption>& options) { keep_undominated_sorted(options); }

KitOffers::KitOffers(const KitDeals& deals, DealSet set, const KitShelf& shelf)
    : deals_(deals), set_(set), pieces_(shelf.pieces.size()) {
  find_applications(shelf);
  for (std::size_t p = 0; p < pieces_.size(); ++p) group_items(shelf, p);
  find_implications();
}

// The applications that some kit can have: enough pieces have an item that the deal reaches, and it takes something
// off.
void KitOffers::find_applications(const KitShelf& shelf) {
  const auto& problem = deals_.problem();
  each_bit(set_, [&](std::size_t d) {
    const auto& deal = problem.deals[d];
    const auto* off = std::get_if<SumOff>(&deal.effect);
    const auto* one = std::get_if<OnePrice>(&deal.effect);
    if (off ? off->sum == 0 : !one && deals_.parts(d) == 0) return;
    std::map<int, Lines> lines;  // by make
    for (std::size_t p = 0; p < shelf.pieces.size(); ++p)
      for (const auto& item : shelf.pieces[p])
        if ((item.reached_by >> d & 1) != 0 && (!deal.one_make || item.make >= 0))
          lines[deal.one_make ? item.make : -1] |= Lines{1} << p;
    for (const auto& [make, reached] : lines) {
      const auto count = static_cast<std::size_t>(std::popcount(reached));
      if (count < deal.at_least) continue;
      Application application{d, make, deal.at_least, off ? off->sum * deals_.scale() : 0, {}};
      if (one) {
        application.share.assign(shelf.pieces.size(), 0);
        auto left = one->price, shares = static_cast<std::int64_t>(count);
        each_bit(reached, [&](std::size_t p) { left -= application.share[p] = left / shares--; });
      }
      applications_.push_back(std::move(application));
    }
  });
}

void KitOffers::group_items(const KitShelf& shelf, std::size_t piece) {
  auto& groups = pieces_[piece];
  const auto reach = [&](const KitShelf::Item& item) {
    std::vector<std::uint32_t> reaching;
    for (std::uint32_t a = 0; a < applications_.size(); ++a)
      if ((item.reached_by >> applications_[a].deal & 1) != 0 &&
          (applications_[a].make == -1 || applications_[a].make == item.make))
        reaching.push_back(a);
    return reaching;
  };
  // Items of one make under the same deals have the same applications, which spares computing them for each item.
  // Others may have the same too: `by_reach` puts these into one group, where they go with the same items.
  std::map<std::tuple<DealSet, int, std::uint32_t>, std::size_t> known;
  std::map<std::pair<std::vector<std::uint32_t>, std::uint32_t>, std::size_t> by_reach;
  for (const auto& item : shelf.pieces[piece]) {
    const auto [alike, fresh] = known.try_emplace({item.reached_by & set_, item.make, item.link_class}, 0);
    if (fresh) {
      auto reaching = reach(item);
      const auto [group, first] = by_reach.try_emplace({reaching, item.link_class}, groups.size());
      if (first) groups.push_back({std::move(reaching), item.link_class, {}, {}});
      alike->second = group->second;
    }
    groups[alike->second].items.push_back(item);
  }
  // Under one price and a part together a dearer item's line can come out cheaper, so dominance between items is only
  // certain where no one price reaches the group. There only the priced options are compared.
  for (auto& group : groups) {
    const bool one_price = std::any_of(group.applications.begin(), group.applications.end(),
                                       [&](std::uint32_t a) { return !applications_[a].share.empty(); });
    if (!one_price) keep_undominated_sorted(group.items);
  }
}

// A kit with n lines of application a has at least n - m of b, where m is the number of pieces with an item that a
// reaches and b does not. A sufficient test: an implication it misses costs time, never exactness.
void KitOffers::find_implications() {
  const auto count = applications_.size();
  std::vector<std::vector<std::size_t>> alone(count, std::vector<std::size_t>(count, 0));  // pieces
  for (const auto& groups : pieces_) {
    std::vector<std::vector<bool>> here(count, std::vector<bool>(count, false));
    for (const auto& group : groups)
      for (const auto a : group.applications)
        for (std::size_t b = 0; b < count; ++b)
          if (!std::binary_search(group.applications.begin(), group.applications.end(), b)) here[a][b] = true;
    for (std::size_t a = 0; a < count; ++a)
      for (std::size_t b = 0; b < count; ++b) alone[a][b] += here[a][b] ? 1 : 0;
  }
  implies_.assign(count, std::vector<bool>(count, false));
  for (std::size_t a = 0; a < count; ++a)
    for (std::size_t b = 0; b < count; ++b)
      implies_[a][b] = applications_[a].at_least >= applications_[b].at_least + alone[a][b];
}

const std::vector<KitOption>& KitOffers::options(std::size_t piece, std::size_t group,
                                                 std::span<const Fixing> fixings) {
  auto& found = pieces_[piece][group];
  std::uint64_t key = 0;
  std::int64_t parts = 0, sums = 0;
  for (std::size_t i = 0; i < found.applications.size(); ++i) {
    const auto& application = applications_[found.applications[i]];
    const auto fixing = fixings[found.applications[i]];
    if (fixing == Fixing::out) continue;
    // A part is taken off its lines alike whether it is in or free: one key for both.
    key |= static_cast<std::uint64_t>(application.is_part() ? Fixing::free : fixing) << 2 * i;
    if (application.is_part() && deals_.problem().deals[application.deal].reduces(piece))
      parts += deals_.parts(application.deal);
    if (fixing == Fixing::free) sums += application.line_share();
  }
  const auto [known, fresh] = found.options.try_emplace(key);
  auto& options = known->second;
  if (!fresh) return options;
  const auto scale = deals_.scale();
  for (const auto& item : found.items) {
    auto price = item.price * scale - deals_.part_off(item.price, parts) - sums;
    for (const auto a : found.applications) {
      if (applications_[a].share.empty() || fixings[a] == Fixing::out) continue;
      const auto off = item.price - applications_[a].share[piece];
      if (fixings[a] == Fixing::in || off > 0) price -= off * scale;
    }
    options.push_back({price, item.worth * scale, item.candidate});
  }
  std::sort(options.begin(), options.end(), [](const KitOption& a, const KitOption& b) {
    return std::tuple(a.price, -a.worth, a.candidate) < std::tuple(b.price, -b.worth, b.candidate);
  });
  keep_undominated(options);
  return options;
}

}  // namespace lacestay::runtime
