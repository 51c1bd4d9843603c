// Pieces that go together, by trying every choice of stages in their order, and for each every choice of items.
#include <algorithm>

#include "tests/reference/shelf.hpp"

namespace lacestay::naive {

using Kind = HandedOver::Kind;

bool Shelf::go_together(std::size_t a, const ShelfItem& of_a, std::size_t b, const ShelfItem& of_b) const {
  const auto names = [](const ShelfItem& item, const ShelfItem& partner) {
    return std::any_of(item.goes_with.begin(), item.goes_with.end(),
                       [&](const auto& name) { return name == partner.make || name == partner.number; });
  };
  return std::all_of(links_.begin(), links_.end(), [&](const auto& link) {
    return (link != std::pair(a, b) || names(of_a, of_b)) && (link != std::pair(b, a) || names(of_b, of_a));
  });
}

// The pieces of a kit that are looked at together.
struct Shelf::Kit {
  const Shelf& shelf;
  const std::vector<std::vector<ShelfItem>>& items;
  std::map<std::size_t, Looked> open;  // by piece

  using Stages = std::map<std::size_t, std::size_t>;  // by piece
  using Chosen = std::map<std::size_t, std::size_t>;  // an item of each piece

  // Whether items of these stages can be chosen for the pieces not chosen for yet.
  [[nodiscard]] bool can_go(const Stages& stages, const Chosen& chosen) const {
    const auto next =
        std::find_if(stages.begin(), stages.end(), [&](auto& each) { return !chosen.contains(each.first); });
    if (next == stages.end()) return true;
    const auto piece = next->first;
    const auto& here = open.at(piece).stages[next->second].second;
    return std::any_of(here.begin(), here.end(), [&](std::size_t item) { return goes(stages, chosen, piece, item); });
  }
  [[nodiscard]] bool goes(const Stages& stages, Chosen chosen, std::size_t piece, std::size_t item) const {
    for (const auto& [other, its] : chosen)
      if (!shelf.go_together(piece, items[piece][item], other, items[other][its])) return false;
    chosen[piece] = item;
    return can_go(stages, chosen);
  }

  // The first stages of these pieces at which there is a choice: by how many pieces are past their first, then piece by
  // piece.
  [[nodiscard]] std::optional<Stages> first(const std::vector<std::size_t>& pieces) const {
    std::vector<Stages> all = {{}};
    for (const auto piece : pieces) {
      std::vector<Stages> more;
      for (const auto& stages : all)
        for (std::size_t i = 0; i < open.at(piece).stages.size(); ++i) {
          more.push_back(stages);
          more.back()[piece] = i;
        }
      all = std::move(more);
    }
    const auto past = [](const Stages& stages) {
      return std::count_if(stages.begin(), stages.end(), [](const auto& each) { return each.second > 0; });
    };
    std::sort(all.begin(), all.end(),
              [&](const Stages& a, const Stages& b) { return past(a) != past(b) ? past(a) < past(b) : a < b; });
    for (const auto& stages : all)
      if (can_go(stages, {})) return stages;
    return std::nullopt;
  }
};

std::map<std::size_t, HandedOver> Shelf::hand_over_kit(const std::vector<const Fitted*>& possible,
                                                       const std::set<std::size_t>& owned,
                                                       const std::vector<std::vector<ShelfItem>>& items,
                                                       Day day) const {
  std::map<std::size_t, HandedOver> all;
  Kit kit{*this, items, {}};
  const auto linked = [&](std::size_t piece) {
    return std::any_of(links_.begin(), links_.end(),
                       [&](const auto& link) { return link.first == piece || link.second == piece; });
  };
  const auto needed = [&](std::size_t piece) {
    return std::any_of(possible.begin(), possible.end(), [&](const auto* player) {
      return player->outcome.pieces.at(policy_.pieces[piece].name).standing == Standing::needed;
    });
  };
  std::vector<std::size_t> waiting, suggested;
  for (std::size_t piece = 0; piece < policy_.pieces.size(); ++piece) {
    if (owned.contains(piece)) continue;
    if (!linked(piece)) {
      if (const auto handed = hand_over(piece, possible, items[piece], day)) all.emplace(piece, *handed);
      continue;
    }
    const auto looked = look(piece, possible, items[piece], day);
    if (!looked) continue;
    const bool beside_owned = std::any_of(links_.begin(), links_.end(), [&](const auto& link) {
      return (link.first == piece && owned.contains(link.second)) ||
             (link.second == piece && owned.contains(link.first));
    });
    if (looked->decided) {
      all.emplace(piece, *looked->decided);
    } else if (beside_owned) {
      all.emplace(piece, HandedOver{Kind::refer, {}, {}});
    } else {
      kit.open.emplace(piece, *looked);
      (needed(piece) ? waiting : suggested).push_back(piece);
    }
  }
  // One after another, a piece once all that it goes with have been: it stays where all that stay can go together.
  std::vector<std::size_t> staying;
  const auto stays = [&](std::size_t piece) {
    return std::find(staying.begin(), staying.end(), piece) != staying.end();
  };
  const auto beside_none = [&](std::size_t piece) -> std::optional<HandedOver> {
    bool some = false, may_be = false;
    for (const auto& [of, partner] : links_) {
      if (of != piece || stays(partner)) continue;
      some = true;
      may_be = may_be || (all.contains(partner) && all.at(partner).kind == Kind::not_certain);
    }
    if (!some) return std::nullopt;
    return HandedOver{may_be ? Kind::not_certain : Kind::refer, {}, {}};
  };
  while (!waiting.empty()) {
    const auto next = std::find_if(waiting.begin(), waiting.end(), [&](std::size_t piece) {
      return std::none_of(links_.begin(), links_.end(), [&](const auto& link) {
        return link.first == piece && std::find(waiting.begin(), waiting.end(), link.second) != waiting.end();
      });
    });
    const auto piece = *next;
    waiting.erase(next);
    if (const auto without = beside_none(piece)) {
      all.emplace(piece, *without);
      continue;
    }
    staying.push_back(piece);
    if (kit.first(staying)) continue;
    staying.pop_back();
    all.emplace(piece, past_shelf(piece, kit.open.at(piece).line, possible));
  }
  // What is not sold without something that does not stay goes too.
  std::vector<std::size_t> given_up;
  for (bool again = true; again;) {
    again = false;
    for (const auto& [piece, partner] : not_sold_) {
      if (!stays(piece) || stays(partner)) continue;
      staying.erase(std::find(staying.begin(), staying.end(), piece));
      given_up.push_back(piece);
      again = true;
    }
  }
  // It may yet be had where one of those it hangs together with may.
  for (const auto piece : given_up) {
    std::set<std::size_t> tree = {piece};
    for (std::size_t before = 0; before != tree.size();) {
      before = tree.size();
      for (const auto& [a, b] : links_)
        if (tree.contains(a) || tree.contains(b)) tree.insert({a, b});
    }
    const bool may_be = std::any_of(tree.begin(), tree.end(), [&](std::size_t other) {
      const bool too = std::find(given_up.begin(), given_up.end(), other) != given_up.end();
      return !too && all.contains(other) && all.at(other).kind == Kind::not_certain;
    });
    all.insert_or_assign(piece, HandedOver{may_be ? Kind::not_certain : Kind::refer, {}, {}});
  }
  if (const auto stages = kit.first(staying))
    for (const auto& [piece, at] : *stages) {
      HandedOver handed{Kind::items, {}, kit.open.at(piece).stages[at].first.instead};
      for (const auto item : kit.open.at(piece).stages[at].second)
        if (kit.goes(*stages, {}, piece, item)) handed.items.push_back(item);
      all.emplace(piece, std::move(handed));
    }
  // A suggested piece is on no bill: it has to go with something of each of the others.
  for (const auto piece : suggested) {
    if (const auto without = beside_none(piece)) {
      all.emplace(piece, *without);
      continue;
    }
    auto handed = past_shelf(piece, kit.open.at(piece).line, possible);
    for (const auto& [stage, here] : kit.open.at(piece).stages) {
      HandedOver some{Kind::items, {}, stage.instead};
      for (const auto item : here)
        if (std::all_of(links_.begin(), links_.end(), [&](const auto& link) {
              return link.first != piece ||
                     std::any_of(all.at(link.second).items.begin(), all.at(link.second).items.end(), [&](auto its) {
                       return go_together(piece, items[piece][item], link.second, items[link.second][its]);
                     });
            }))
          some.items.push_back(item);
      if (some.items.empty()) continue;
      handed = std::move(some);
      break;
    }
    all.emplace(piece, std::move(handed));
  }
  return all;
}

}  // namespace lacestay::naive
