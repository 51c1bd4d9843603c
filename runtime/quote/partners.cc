#include "runtime/quote/partners.hpp"

#include <algorithm>
#include <array>
#include <map>
#include <string>
#include <unordered_set>

#include "runtime/base/table_words.hpp"
#include "runtime/kit/least_choice.hpp"

namespace lacestay::runtime {

using compiler::Link;

namespace {

// What an item may be named by.
std::vector<std::string> called(const StockItem& item) {
  return {plain_name(item.make), plain_name(item.model), plain_name(item.number)};
}

// What its cell names: the whole of it, since a model's name may hold a slash, and what stands between slashes,
// semicolons and commas.
std::vector<std::string> goes_with(const StockItem& item) {
  const auto& cell = item.goes_with;
  std::vector<std::string> all{plain_name(cell)};
  for (std::size_t at = 0; at <= cell.size();) {
    const auto end = std::min(cell.find_first_of("/;,", at), cell.size());
    all.push_back(plain_name(cell.substr(at, end - at)));
    at = end + 1;
  }
  return all;
}

// How far pieces are past their first lines: how many, then the stage of each in the policy's order.
using Past = std::array<std::uint32_t, compiler::most_linked + 1>;
Past sum(Past a, const Past& b) {
  for (std::size_t i = 0; i < a.size(); ++i) a[i] += b[i];
  return a;
}

// Some of the offers, and the policy's links between them.
class Grove {
 public:
  Grove(const std::vector<Link>& links, const Stock& stock, std::vector<const Offer*> offers)
      : links_(links), stock_(stock), offers_(std::move(offers)) {}

  // The stage of each; nothing where no choice of an item each goes together. An item counts for the first stage that
  // has it, so the choice that costs least is of the first stages that have any.
  [[nodiscard]] std::optional<std::vector<std::size_t>> first_stages() const {
    std::vector<std::vector<std::size_t>> items;
    std::vector<std::vector<std::uint32_t>> stages;
    std::vector<std::vector<Past>> costs;
    for (const auto* offer : offers_) {
      const auto place = static_cast<std::size_t>(
          std::count_if(offers_.begin(), offers_.end(), [&](auto* other) { return other->piece < offer->piece; }));
      std::map<std::size_t, std::uint32_t> first;  // by item
      for (std::uint32_t stage = 0; stage < offer->stages.size(); ++stage)
        for (const auto item : offer->stages[stage]) first.try_emplace(item, stage);
      items.emplace_back();
      stages.emplace_back();
      costs.emplace_back();
      for (const auto& [item, stage] : first) {
        Past past{};
        past[0] = stage > 0 ? 1 : 0;
        past[1 + place] = stage;
        items.back().push_back(item);
        stages.back().push_back(stage);
        costs.back().push_back(past);
      }
    }
    const auto links = links_between(items);
    const auto choice = LeastChoice(links, costs, sum).run();
    if (!choice) return std::nullopt;
    std::vector<std::size_t> all;
    for (std::size_t i = 0; i < choice->size(); ++i) all.push_back(stages[i][(*choice)[i]]);
    return all;
  }

  // Of these stages, the items of each piece that can be had with some choice of the others. In a forest what fits each
  // neighbour fits all: at most as many rounds as there are pieces.
  [[nodiscard]] std::vector<std::vector<std::size_t>> kept(const std::vector<std::size_t>& stages) const {
    std::vector<std::vector<std::size_t>> items;
    for (std::size_t i = 0; i < offers_.size(); ++i) items.push_back(offers_[i]->stages[stages[i]]);
    const auto count = links_between(items).size();
    for (std::size_t round = 0; round < offers_.size(); ++round)
      for (std::size_t l = 0; l < count; ++l) {
        const auto link = links_between(items)[l];
        auto first = those_named(link.first_names, link.second_names, items[link.first]);
        items[link.second] = those_named(link.second_names, link.first_names, items[link.second]);
        items[link.first] = std::move(first);
      }
    return items;
  }

 private:
  [[nodiscard]] std::optional<std::size_t> place_of(std::uint32_t piece) const {
    const auto found = std::find_if(offers_.begin(), offers_.end(), [&](auto* offer) { return offer->piece == piece; });
    return found == offers_.end() ? std::nullopt : std::optional(static_cast<std::size_t>(found - offers_.begin()));
  }
  [[nodiscard]] std::vector<KitLink> links_between(const std::vector<std::vector<std::size_t>>& items) const {
    std::vector<KitLink> all;
    for (const auto& link : links_) {
      const auto piece = place_of(link.piece), partner = place_of(link.partner);
      if (piece && partner) all.push_back(link_of(stock_, {*piece, items[*piece]}, {*partner, items[*partner]}));
    }
    return all;
  }
  using Names = std::vector<std::vector<std::uint32_t>>;
  // The items that share a name with one of the others.
  [[nodiscard]] static std::vector<std::size_t> those_named(const Names& names, const Names& others,
                                                            const std::vector<std::size_t>& items) {
    std::unordered_set<std::uint32_t> there;
    for (const auto& other : others) there.insert(other.begin(), other.end());
    std::vector<std::size_t> left;
    for (std::size_t i = 0; i < items.size(); ++i)
      if (std::any_of(names[i].begin(), names[i].end(), [&](auto name) { return there.count(name) != 0; }))
        left.push_back(items[i]);
    return left;
  }

  const std::vector<Link>& links_;
  const Stock& stock_;
  std::vector<const Offer*> offers_;
};

// Of the offers taken, where a choice of an item each goes together: what becomes of each.
bool take(const std::vector<Link>& links, const Stock& stock, const std::vector<Offer>& offers,
          const std::vector<std::size_t>& taken, std::vector<Together>& all) {
  std::vector<const Offer*> some;
  for (const auto each : taken) some.push_back(&offers[each]);
  const Grove grove(links, stock, std::move(some));
  const auto stages = grove.first_stages();
  if (!stages) return false;
  auto items = grove.kept(*stages);
  for (std::size_t i = 0; i < taken.size(); ++i) all[taken[i]] = {(*stages)[i], std::move(items[i])};
  return true;
}

// What was taken and is not sold without something that was not; places in `taken`.
std::optional<std::size_t> not_sold_without(const std::vector<Link>& links, const std::vector<Offer>& offers,
                                            const std::vector<std::size_t>& taken) {
  const auto place_of = [&](std::uint32_t piece) {
    return std::find_if(taken.begin(), taken.end(), [&](auto each) { return offers[each].piece == piece; });
  };
  for (const auto& link : links)
    for (const auto lost : {link.piece, link.partner}) {
      const auto other = link.without(lost);
      if (!other || place_of(lost) != taken.end() || place_of(*other) == taken.end()) continue;
      return static_cast<std::size_t>(place_of(*other) - taken.begin());
    }
  return std::nullopt;
}

}  // namespace

KitLink link_of(const Stock& stock, const Side& piece, const Side& partner) {
  std::map<std::string, std::uint32_t> numbers;
  const auto numbered = [&](const std::vector<std::string>& names) {
    std::vector<std::uint32_t> all;
    for (const auto& name : names)
      if (!name.empty())
        all.push_back(numbers.try_emplace(name, static_cast<std::uint32_t>(numbers.size())).first->second);
    std::sort(all.begin(), all.end());
    all.erase(std::unique(all.begin(), all.end()), all.end());
    return all;
  };
  KitLink made{std::min(piece.place, partner.place), std::max(piece.place, partner.place), {}, {}};
  const bool first = piece.place < partner.place;
  for (const auto item : piece.items)
    (first ? made.first_names : made.second_names).push_back(numbered(goes_with(stock.items[item])));
  for (const auto item : partner.items)
    (first ? made.second_names : made.first_names).push_back(numbered(called(stock.items[item])));
  return made;
}

std::vector<std::size_t> those_that_go(const Stock& stock, const std::vector<std::size_t>& items,
                                       const std::vector<std::size_t>& partner_items) {
  std::unordered_set<std::string> there;
  for (const auto partner : partner_items)
    for (auto& name : called(stock.items[partner]))
      if (!name.empty()) there.insert(std::move(name));
  std::vector<std::size_t> all;
  for (const auto item : items) {
    const auto names = goes_with(stock.items[item]);
    if (std::any_of(names.begin(), names.end(), [&](const auto& name) { return there.count(name) != 0; }))
      all.push_back(item);
  }
  return all;
}

std::vector<std::uint32_t> trees(const std::vector<Link>& links, std::size_t pieces) {
  std::vector<std::uint32_t> tree(pieces);
  for (std::uint32_t piece = 0; piece < pieces; ++piece) tree[piece] = piece;
  for (const auto& link : links) {
    const auto a = std::min(tree[link.piece], tree[link.partner]), b = std::max(tree[link.piece], tree[link.partner]);
    std::replace(tree.begin(), tree.end(), b, a);
  }
  return tree;
}

std::vector<std::uint32_t> partners_first(const std::vector<Link>& links, std::size_t pieces) {
  std::vector<std::size_t> depth(pieces, 0);  // of the longest way to a piece that goes with none
  for (std::size_t round = 0; round < compiler::most_linked; ++round)
    for (const auto& link : links) depth[link.piece] = std::max(depth[link.piece], depth[link.partner] + 1);
  std::vector<std::uint32_t> order(pieces);
  for (std::uint32_t piece = 0; piece < pieces; ++piece) order[piece] = piece;
  std::stable_sort(order.begin(), order.end(), [&](auto a, auto b) { return depth[a] < depth[b]; });
  return order;
}

std::vector<Together> together(const std::vector<Link>& links, std::size_t pieces, const Stock& stock,
                               const std::vector<Offer>& offers) {
  std::vector<Together> all(offers.size());
  const auto tree_of = trees(links, pieces);
  const auto order = partners_first(links, pieces);
  for (std::uint32_t first = 0; first < pieces; ++first) {
    if (tree_of[first] != first) continue;
    std::vector<std::size_t> taken;  // offers
    for (const auto piece : order) {
      const auto offer = std::find_if(offers.begin(), offers.end(), [&](auto& each) { return each.piece == piece; });
      if (tree_of[piece] != first || offer == offers.end()) continue;
      const bool alone = std::any_of(links.begin(), links.end(), [&](const Link& link) {
        return link.piece == piece &&
               std::none_of(taken.begin(), taken.end(), [&](auto each) { return offers[each].piece == link.partner; });
      });
      if (alone) continue;
      taken.push_back(static_cast<std::size_t>(offer - offers.begin()));
      if (!take(links, stock, offers, taken, all)) taken.pop_back();
    }
    bool anew = false;
    while (const auto lost = not_sold_without(links, offers, taken)) {
      all[taken[*lost]] = {std::nullopt, {}, true};
      taken.erase(taken.begin() + static_cast<std::ptrdiff_t>(*lost));
      anew = true;
    }
    if (anew) take(links, stock, offers, taken, all);
  }
  return all;
}

}  // namespace lacestay::runtime
