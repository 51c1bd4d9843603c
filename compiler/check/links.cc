// Which pieces go together: pieces that there are, and links that close no circle and join no more than the search for
// a kit is made for.
#include <fmt/format.h>

#include <algorithm>

#include "compiler/check/stock.hpp"
#include "compiler/values/names.hpp"

namespace lacestay::compiler {

// The piece, and all that links lead to from it.
std::vector<std::uint32_t> StockChecker::linked_to(std::uint32_t piece) const {
  std::vector<std::uint32_t> tree{piece};
  const auto add = [&](std::uint32_t other) {
    if (std::find(tree.begin(), tree.end(), other) == tree.end()) tree.push_back(other);
  };
  for (std::size_t i = 0; i < tree.size(); ++i)
    for (const auto& link : shop_.links) {
      if (link.piece == tree[i]) add(link.partner);
      if (link.partner == tree[i]) add(link.piece);
    }
  return tree;
}

std::optional<std::uint32_t> StockChecker::protection_beside(std::uint32_t piece) const {
  std::vector<std::uint32_t> lost{piece};
  for (std::size_t i = 0; i < lost.size(); ++i)
    for (const auto& link : shop_.links) {
      const auto other = link.without(lost[i]);
      if (!other || std::find(lost.begin(), lost.end(), *other) != lost.end()) continue;
      if (shop_.protection[*other]) return other;
      lost.push_back(*other);
    }
  return std::nullopt;
}

void StockChecker::links() {
  checker_.each<grammar::GoesWith>([&](const grammar::GoesWith& form, const grammar::Item& item, std::size_t) {
    const auto piece = checker_.piece_named(form.piece);
    const auto partner = piece ? checker_.piece_named(form.partner) : std::nullopt;
    if (!partner) return;
    if (piece == partner)
      return say("link-1", form.partner.span, fmt::format("'{}' is named as going with itself.", name(*piece)),
                 "name the piece that it is used together with, as in: face_protection goes with helmet");
    const auto before = std::find_if(shop_.links.begin(), shop_.links.end(), [&](const Link& link) {
      return std::minmax(link.piece, link.partner) == std::minmax(*piece, *partner);
    });
    // Said of both, neither is sold without the other.
    if (before != shop_.links.end() && before->piece == *partner && !before->both_ways) {
      before->both_ways = true;
      return keep("what " + name(*piece) + " goes with", item);
    }
    if (before != shop_.links.end())
      return twice(item.head, fmt::format("That {} and {} go together", name(*piece), name(*partner)), before->span);
    auto tree = linked_to(*piece);
    const auto others = linked_to(*partner);
    if (std::find(tree.begin(), tree.end(), *partner) != tree.end())
      return say(
          "link-1", item.head,
          fmt::format("Other lines join {} and {} already, so this one closes a circle.", name(*piece), name(*partner)),
          "take one of the lines of the circle out");
    tree.insert(tree.end(), others.begin(), others.end());
    if (tree.size() > most_linked) {
      std::vector<std::string> names;
      for (const auto each : tree) names.push_back(name(each));
      return say("link-1", item.head,
                 fmt::format("With this line {} pieces would all hang together: {}. The most is {}.", tree.size(),
                             listed(names), most_linked),
                 "take out one of the lines that join them");
    }
    keep("what " + name(*piece) + " goes with", item);
    shop_.links.push_back({*piece, *partner, false, item.head});
  });
}

}  // namespace lacestay::compiler
