#include "compiler/space/diagram.hpp"

#include <algorithm>
#include <numeric>

#include "compiler/space/box_partition.hpp"

namespace lacestay::compiler {
namespace {

constexpr std::size_t few = 4;            // boxes joined as they come
constexpr std::size_t across_weighs = 1;  // boxes across a cut are joined apart from both sides, so they cost once

}  // namespace

Diagrams::Diagrams(std::vector<std::uint32_t> places, std::size_t budget)
    : places_(std::move(places)), budget_(budget) {}

Diagrams::Node Diagrams::terminal(std::uint32_t value) {
  const auto [known, fresh] = terminals_.emplace(value, static_cast<Node>(nodes_.size()));
  if (fresh) nodes_.push_back({no_column, value, 0});
  return known->second;
}

Diagrams::Node Diagrams::make(ColumnId column, std::vector<Edge>& edges) {
  std::size_t kept = 0;
  for (std::size_t i = 0; i < edges.size(); ++i) {
    if (kept > 0 && edges[kept - 1].to == edges[i].to)
      edges[kept - 1].last = edges[i].last;
    else
      edges[kept++] = edges[i];
  }
  edges.resize(kept);
  if (kept == 1) return edges.front().to;
  std::uint64_t hash = column;
  for (const auto& edge : edges)
    hash = (hash ^ (std::uint64_t{edge.to} << 32 | edge.last)) * 0x9E3779B97F4A7C15u + (hash >> 29);
  const auto [first, last] = by_hash_.equal_range(hash);
  for (auto each = first; each != last; ++each) {
    const auto held = this->edges(each->second);
    if (nodes_[each->second].column == column && std::equal(held.begin(), held.end(), edges.begin(), edges.end()))
      return each->second;
  }
  if (edges_.size() + edges.size() > budget_) throw OverBudget{};
  const auto node = static_cast<Node>(nodes_.size());
  nodes_.push_back({column, static_cast<std::uint32_t>(edges_.size()), static_cast<std::uint32_t>(edges.size())});
  edges_.insert(edges_.end(), edges.begin(), edges.end());
  by_hash_.emplace(hash, node);
  return node;
}

Diagrams::Node Diagrams::box(const Box& box, Node inside, Node outside) {
  auto node = inside;
  for (auto cell = box.rbegin(); cell != box.rend(); ++cell) {
    std::vector<Edge> edges;
    std::uint32_t next = 0;
    for (const auto& range : cell->places) {
      if (range.first > next) edges.push_back({range.first - 1, outside});
      edges.push_back({range.last, node});
      next = range.last + 1;
    }
    if (next < places_[cell->column]) edges.push_back({places_[cell->column] - 1, outside});
    node = make(cell->column, edges);
  }
  return node;
}

template <typename Child>
Diagrams::Node Diagrams::side_by_side(Node first, Node second, Child child) {
  const auto column = std::min(nodes_[first].column, nodes_[second].column);
  const bool first_asks = nodes_[first].column == column, second_asks = nodes_[second].column == column;
  std::vector<Edge> edges;
  std::size_t i = 0, k = 0;
  for (std::uint32_t next = 0; next < places_[column];) {
    // Edges by index: the store may move while children are made.
    const auto a = first_asks ? edges_[nodes_[first].first_edge + i] : Edge{places_[column] - 1, first};
    const auto b = second_asks ? edges_[nodes_[second].first_edge + k] : Edge{places_[column] - 1, second};
    const auto last = std::min(a.last, b.last);
    edges.push_back({last, child(a.to, b.to)});
    if (a.last == last) ++i;
    if (b.last == last) ++k;
    next = last + 1;
  }
  return make(column, edges);
}

Diagrams::Node Diagrams::apply(Node first, Node second, const Join& join) {
  if (is_terminal(first) && is_terminal(second)) return terminal(join(value(first), value(second)));
  const auto key = std::uint64_t{first} << 32 | second;
  if (const auto known = applied_.find(key); known != applied_.end()) return known->second;
  const auto made = side_by_side(first, second, [&](Node a, Node b) { return apply(a, b, join); });
  if (work() > budget_) throw OverBudget{};
  applied_.emplace(key, made);
  return made;
}

Diagrams::Node Diagrams::combine(Set set, Node a, Node b) {
  const auto none = nobody(), all = everybody();
  switch (set) {
    case Set::both:
      if (a == none || b == none) return none;
      if (a == all || a == b) return b;
      if (b == all) return a;
      break;
    case Set::either:
      if (a == all || b == all) return all;
      if (a == none || a == b) return b;
      if (b == none) return a;
      break;
    case Set::without:
      if (a == none || b == all || a == b) return none;
      if (b == none) return a;
      break;
  }
  if (set != Set::without && a > b) std::swap(a, b);
  const Pair key{set, a, b};
  if (const auto known = combined_.find(key); known != combined_.end()) return known->second;
  const auto made = side_by_side(a, b, [&](Node x, Node y) { return combine(set, x, y); });
  if (work() > budget_) throw OverBudget{};
  combined_.emplace(key, made);
  return made;
}

Diagrams::Node Diagrams::any_of(std::span<const Box* const> boxes) {
  using List = BoxPartition::List;
  BoxPartition space(places_, boxes, {}, across_weighs);
  const auto join = [&](auto&& self, const List& list) -> Node {
    if (list.size() <= few) {
      auto set = nobody();
      for (const auto each : list) set = either(set, box(*boxes[each]));
      return set;
    }
    const auto cut = space.best_cut(list);
    const auto sides = cut ? space.sides(*cut, list) : BoxPartition::Sides{};
    if (sides.one.empty() || sides.other.empty()) {  // no cut has boxes on both its sides
      const auto middle = list.begin() + static_cast<std::ptrdiff_t>(list.size() / 2);
      const auto first = self(self, List(list.begin(), middle));
      return either(first, self(self, List(middle, list.end())));
    }
    const auto one = self(self, sides.one);
    const auto apart = either(one, self(self, sides.other));
    return sides.across.empty() ? apart : either(apart, self(self, sides.across));
  };
  List all(boxes.size());
  std::iota(all.begin(), all.end(), 0);
  return join(join, all);
}

Diagrams::Node Diagrams::closure(Node set, ColumnId column, Towards where) {
  std::unordered_map<Node, Node> known;
  const auto walk = [&](auto&& self, Node node) -> Node {
    if (nodes_[node].column > column) return node;  // terminals too: the column is open from here on
    if (const auto found = known.find(node); found != known.end()) return found->second;
    std::vector<Edge> edges(this->edges(node).begin(), this->edges(node).end());
    if (nodes_[node].column == column) {
      auto gathered = nobody();
      if (where == Towards::down) std::reverse(edges.begin(), edges.end());
      for (auto& edge : edges) gathered = either(gathered, edge.to), edge.to = gathered;
      if (where == Towards::down) std::reverse(edges.begin(), edges.end());
      if (where == Towards::anywhere) return known[node] = gathered;
    } else {
      for (auto& edge : edges) edge.to = self(self, edge.to);
    }
    const auto made = make(nodes_[node].column, edges);
    known.emplace(node, made);
    return made;
  };
  return walk(walk, set);
}

void Diagrams::each_path(Node from, const std::function<bool(const Box&, std::uint32_t)>& visit) const {
  Box box;
  const auto walk = [&](auto&& self, Node node) -> bool {
    if (is_terminal(node)) return value(node) == 0 || visit(box, value(node));
    // Ranges that lead to the same node are one cell.
    std::vector<std::pair<Node, Cell>> ways;
    std::uint32_t first = 0;
    for (const auto& edge : edges(node)) {
      auto way = std::find_if(ways.begin(), ways.end(), [&](const auto& known) { return known.first == edge.to; });
      if (way == ways.end()) way = ways.insert(ways.end(), {edge.to, Cell{column(node), {}}});
      way->second.places.push_back({first, edge.last});
      first = edge.last + 1;
    }
    for (auto& [to, cell] : ways) {
      box.push_back(std::move(cell));
      const bool on = self(self, to);
      box.pop_back();
      if (!on) return false;
    }
    return true;
  };
  walk(walk, from);
}

Diagrams::Node Diagrams::next(Node node, std::uint32_t place) const {
  const auto all = edges(node);
  return std::lower_bound(all.begin(), all.end(), place,
                          [](const Edge& edge, std::uint32_t at) { return edge.last < at; })
      ->to;
}

}  // namespace lacestay::compiler
