// Multi-valued decision diagrams over intervals (MDDs): one structure for which rows apply where.
//
// A node asks for the place of one column and leads on, by ranges of places, to other nodes; a terminal holds a
// number. Nodes ask columns in ascending order along every path, neighbouring ranges lead to different nodes, and
// no node leads to one node alone; equal nodes are one node (hash-consed). So the diagrams are canonical: two over one
// store mean the same exactly when they are the same node.
//
// Built from boxes, joined two at a time by `apply`, which is memoised on pairs of nodes. The size is bounded by a
// budget of edges: columns that most rows leave open can make a diagram exponential, and past the budget the store
// throws OverBudget, whatever the machine. Not for several threads at once.
#pragma once

#include <cstdint>
#include <functional>
#include <span>
#include <unordered_map>
#include <vector>

#include "compiler/tables/tables.hpp"

namespace lacestay::compiler {

class Diagrams {
 public:
  using Node = std::uint32_t;  // an index; terminals and inner nodes share the numbering
  struct Edge {
    std::uint32_t last;  // the last place that leads to `to`
    Node to;
    friend bool operator==(const Edge&, const Edge&) = default;
  };
  struct OverBudget {};

  // `places[c]` is the number of places of column c; `budget` the most edges the store may hold.
  Diagrams(std::vector<std::uint32_t> places, std::size_t budget);

  [[nodiscard]] Node terminal(std::uint32_t value);
  // `inside` where the box holds, `outside` elsewhere; both terminals.
  [[nodiscard]] Node box(const Box& box, Node inside, Node outside);

  // The diagram that holds `join(a, b)` where `first` holds a and `second` holds b. `join` must be the same
  // function for all calls until `forget_applied`. Memoised; cost at most the product of the sizes.
  using Join = std::function<std::uint32_t(std::uint32_t, std::uint32_t)>;
  [[nodiscard]] Node apply(Node first, Node second, const Join& join);
  void forget_applied() { applied_.clear(); }

  // Sets of players: terminal 1 inside, 0 outside.
  [[nodiscard]] Node nobody() { return terminal(0); }
  [[nodiscard]] Node everybody() { return terminal(1); }
  [[nodiscard]] Node box(const Box& box) { return this->box(box, everybody(), nobody()); }
  [[nodiscard]] Node both(Node a, Node b) { return combine(Set::both, a, b); }
  [[nodiscard]] Node either(Node a, Node b) { return combine(Set::either, a, b); }
  [[nodiscard]] Node without(Node a, Node b) { return combine(Set::without, a, b); }
  // The union of boxes without empty cells. Boxes that lie on different sides of a cut are joined first, so that what
  // is joined stays simple.
  [[nodiscard]] Node any_of(std::span<const Box* const> boxes);
  // The closure of a set along one column, the others held: who is in the set, or would be with a lower place (`up`), a
  // higher one (`down`), or any.
  enum class Towards : std::uint8_t { up, down, anywhere };
  [[nodiscard]] Node closure(Node set, ColumnId column, Towards where);
  // The boxes of a set, one for each path; `visit` returns false to stop.
  void each_box(Node set, const std::function<bool(const Box&)>& visit) const {
    each_path(set, [&](const Box& box, std::uint32_t) { return visit(box); });
  }
  // The same of any diagram, with what each path leads to; paths to 0 are passed over.
  void each_path(Node node, const std::function<bool(const Box&, std::uint32_t value)>& visit) const;

  // Edges made and pairs combined so far: what a budget of work counts.
  [[nodiscard]] std::size_t work() const { return edges_.size() + applied_.size() + combined_.size(); }

  [[nodiscard]] bool is_terminal(Node node) const { return nodes_[node].column == no_column; }
  [[nodiscard]] std::uint32_t value(Node node) const { return nodes_[node].first_edge; }
  [[nodiscard]] ColumnId column(Node node) const { return nodes_[node].column; }
  [[nodiscard]] std::span<const Edge> edges(Node node) const {
    return std::span(edges_).subspan(nodes_[node].first_edge, nodes_[node].edges);
  }
  [[nodiscard]] Node next(Node node, std::uint32_t place) const;

  static constexpr ColumnId no_column = 0xFFFF;

 private:
  struct Inner {
    ColumnId column;
    std::uint32_t first_edge;  // a terminal's value
    std::uint32_t edges;
  };
  enum class Set : std::uint8_t { both, either, without };
  Node combine(Set set, Node a, Node b);
  // The node that leads to `child(edge of first, edge of second)` along the finer of both nodes' ranges.
  template <typename Child>
  Node side_by_side(Node first, Node second, Child child);
  // The node with these edges; joins neighbours that lead to the same node.
  Node make(ColumnId column, std::vector<Edge>& edges);

  std::vector<std::uint32_t> places_;
  std::size_t budget_;
  std::vector<Inner> nodes_;
  std::vector<Edge> edges_;
  std::unordered_map<std::uint32_t, Node> terminals_;
  std::unordered_multimap<std::uint64_t, Node> by_hash_;
  std::unordered_map<std::uint64_t, Node> applied_;
  struct Pair {
    Set set;
    Node a, b;
    friend bool operator==(const Pair&, const Pair&) = default;
  };
  struct PairHash {
    std::size_t operator()(const Pair& pair) const {
      return (std::uint64_t{pair.a} << 32 | pair.b) * 0x9E3779B97F4A7C15u + static_cast<std::size_t>(pair.set);
    }
  };
  std::unordered_map<Pair, Node, PairHash> combined_;
};

}  // namespace lacestay::compiler
