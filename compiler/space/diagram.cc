#include "compiler/space/diagram.hpp"

#include <algorithm>

namespace lacestay::compiler {

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

Diagrams::Node Diagrams::merge(Node first, Node second, const Join& join) {
  if (is_terminal(first) && is_terminal(second)) return terminal(join(value(first), value(second)));
  const auto key = std::uint64_t{first} << 32 | second;
  if (const auto known = merged_.find(key); known != merged_.end()) return known->second;
  const auto made = side_by_side(first, second, [&](Node a, Node b) { return merge(a, b, join); });
  if (work() > budget_) throw OverBudget{};
  merged_.emplace(key, made);
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

Diagrams::Node Diagrams::any_of(std::vector<const Box*> boxes) {
  if (boxes.size() <= 4) {
    auto set = nobody();
    for (const auto* each : boxes) set = either(set, box(*each));
    return set;
  }
  // The place to part them at: most even, with the fewest boxes lying across it.
  const auto hull = [&](const Box& each, ColumnId column) -> PlaceRange {
    for (const auto& cell : each)
      if (cell.column == column) return {cell.places.front().first, cell.places.back().last};
    return {0, places_[column] - 1};
  };
  std::size_t best_score = 2 * boxes.size();
  ColumnId best_column = 0;
  std::uint32_t best_place = 0;
  std::vector<std::uint32_t> firsts(boxes.size()), lasts(boxes.size());
  for (ColumnId column = 0; column < places_.size(); ++column) {
    if (places_[column] < 2) continue;
    for (std::size_t i = 0; i < boxes.size(); ++i) {
      const auto range = hull(*boxes[i], column);
      firsts[i] = range.first, lasts[i] = range.last;
    }
    std::sort(firsts.begin(), firsts.end());
    std::sort(lasts.begin(), lasts.end());
    std::size_t right_from = 0;
    for (std::size_t left = 1; left < boxes.size(); ++left) {
      const auto place = lasts[left - 1];
      if (lasts[left] == place) continue;
      while (right_from < boxes.size() && firsts[right_from] <= place) ++right_from;
      const auto right = boxes.size() - right_from, across = boxes.size() - left - right;
      const auto score = std::max(left, right) + across;
      if (score < best_score) best_score = score, best_column = column, best_place = place;
    }
  }
  std::vector<const Box*> left, right, across;
  for (const auto* each : boxes) {
    const auto range = hull(*each, best_column);
    (range.last <= best_place ? left : range.first > best_place ? right : across).push_back(each);
  }
  if (best_score >= boxes.size() || left.size() == boxes.size() || across.size() == boxes.size()) {
    const auto middle = boxes.begin() + static_cast<std::ptrdiff_t>(boxes.size() / 2);
    const auto first = any_of({boxes.begin(), middle});
    return either(first, any_of({middle, boxes.end()}));
  }
  const auto apart = either(any_of(std::move(left)), any_of(std::move(right)));
  return across.empty() ? apart : either(apart, any_of(std::move(across)));
}

Diagrams::Node Diagrams::spread(Node set, ColumnId column, Spread where) {
  std::unordered_map<Node, Node> known;
  const auto walk = [&](auto&& self, Node node) -> Node {
    if (nodes_[node].column > column) return node;  // terminals too: the column is open from here on
    if (const auto found = known.find(node); found != known.end()) return found->second;
    std::vector<Edge> edges(this->edges(node).begin(), this->edges(node).end());
    if (nodes_[node].column == column) {
      auto gathered = nobody();
      if (where == Spread::down) std::reverse(edges.begin(), edges.end());
      for (auto& edge : edges) gathered = either(gathered, edge.to), edge.to = gathered;
      if (where == Spread::down) std::reverse(edges.begin(), edges.end());
      if (where == Spread::anywhere) return known[node] = gathered;
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
