#include "compiler/diagram.hpp"

#include <algorithm>

namespace lacestay::compiler {

Diagrams::Diagrams(std::vector<std::uint32_t> places, std::size_t budget) : places_(std::move(places)), budget_(budget) {}

Diagrams::Node Diagrams::terminal(std::uint32_t value) {
  const auto [known, fresh] = terminals_.emplace(value, static_cast<Node>(nodes_.size()));
  if (fresh) nodes_.push_back({no_column, value, 0});
  return known->second;
}

Diagrams::Node Diagrams::make(ColumnId column, std::vector<Edge>& edges) {
  std::size_t kept = 0;
  for (std::size_t i = 0; i < edges.size(); ++i) {
    if (kept > 0 && edges[kept - 1].to == edges[i].to) edges[kept - 1].last = edges[i].last;
    else edges[kept++] = edges[i];
  }
  edges.resize(kept);
  if (kept == 1) return edges.front().to;
  std::uint64_t hash = column;
  for (const auto& edge : edges) hash = (hash ^ (std::uint64_t{edge.to} << 32 | edge.last)) * 0x9E3779B97F4A7C15u + (hash >> 29);
  const auto [first, last] = by_hash_.equal_range(hash);
  for (auto each = first; each != last; ++each) {
    const auto held = this->edges(each->second);
    if (nodes_[each->second].column == column && std::equal(held.begin(), held.end(), edges.begin(), edges.end())) return each->second;
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

Diagrams::Node Diagrams::merge(Node first, Node second, const Join& join) {
  if (is_terminal(first) && is_terminal(second)) return terminal(join(value(first), value(second)));
  const auto key = std::uint64_t{first} << 32 | second;
  if (const auto known = merged_.find(key); known != merged_.end()) return known->second;
  const auto column = std::min(nodes_[first].column, nodes_[second].column);
  const bool first_asks = nodes_[first].column == column, second_asks = nodes_[second].column == column;
  std::vector<Edge> edges;
  std::size_t i = 0, k = 0;
  for (std::uint32_t next = 0; next < places_[column];) {
    // Edges by index: the store may move while children are made.
    const auto a = first_asks ? edges_[nodes_[first].first_edge + i] : Edge{places_[column] - 1, first};
    const auto b = second_asks ? edges_[nodes_[second].first_edge + k] : Edge{places_[column] - 1, second};
    const auto last = std::min(a.last, b.last);
    edges.push_back({last, merge(a.to, b.to, join)});
    if (a.last == last) ++i;
    if (b.last == last) ++k;
    next = last + 1;
  }
  const auto made = make(column, edges);
  if (merged_.size() > budget_) throw OverBudget{};
  merged_.emplace(key, made);
  return made;
}

Diagrams::Node Diagrams::next(Node node, std::uint32_t place) const {
  const auto all = edges(node);
  return std::lower_bound(all.begin(), all.end(), place, [](const Edge& edge, std::uint32_t at) { return edge.last < at; })->to;
}

}  // namespace lacestay::compiler
