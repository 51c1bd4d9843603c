// Sets of a table's rows, each held once under a small number, and the diagram of which set applies where.
#pragma once

#include <algorithm>
#include <cstdint>
#include <iterator>
#include <map>
#include <span>
#include <vector>

#include "compiler/space/diagram.hpp"

namespace lacestay::compiler {

class RowSets {
 public:
  using Id = std::uint32_t;
  using Rows = std::vector<std::uint32_t>;  // ascending

  // The most rows of all sets together: some 256 MiB. Ten rows a set are many; thousands of rules that hold together in
  // thousands of places are past any table.
  static constexpr std::size_t most_held = 32u << 20;
  // Thrown where the sets grow past that.
  struct TooMany : Diagrams::OverBudget {};

  explicit RowSets(std::size_t most = most_held) : most_(most) { intern({}); }  // set 0 is empty

  Id with(Id set, std::uint32_t row) {
    auto rows = sets_[set];
    rows.insert(std::lower_bound(rows.begin(), rows.end(), row), row);
    return intern(std::move(rows));
  }
  Id both(Id a, Id b) {
    if (a == 0 || b == 0 || a == b) return a == 0 ? b : a;
    Rows rows;
    std::set_union(sets_[a].begin(), sets_[a].end(), sets_[b].begin(), sets_[b].end(), std::back_inserter(rows));
    return intern(std::move(rows));
  }
  [[nodiscard]] std::size_t held() const { return held_; }
  // By Id.
  [[nodiscard]] const std::vector<Rows>& all() const { return sets_; }

  // The diagram whose terminals are the sets of rows that apply; row i holds in `boxes[i]`. The store must
  // forget what was applied before it joins by another rule than this.
  [[nodiscard]] Diagrams::Node diagram(Diagrams& store, std::span<const Box> boxes) {
    return part(store, boxes, 0, boxes.size());
  }

 private:
  Id intern(Rows rows) {
    const auto [known, fresh] = ids_.emplace(std::move(rows), static_cast<Id>(sets_.size()));
    if (!fresh) return known->second;
    held_ += known->first.size();
    if (held_ > most_) throw TooMany{};
    sets_.push_back(known->first);
    return known->second;
  }

  Diagrams::Node part(Diagrams& store, std::span<const Box> boxes, std::size_t first, std::size_t last) {
    if (first == last) return store.terminal(0);
    if (last - first == 1)
      return store.box(boxes[first], store.terminal(with(0, static_cast<std::uint32_t>(first))), store.terminal(0));
    const auto middle = first + (last - first) / 2;
    const auto left = part(store, boxes, first, middle), right = part(store, boxes, middle, last);
    return store.apply(left, right, [this](std::uint32_t a, std::uint32_t b) { return both(a, b); });
  }

  std::size_t most_, held_ = 0;
  std::map<Rows, Id> ids_;
  std::vector<Rows> sets_;
};

}  // namespace lacestay::compiler
