// One candidate of each piece, the cheapest that go together: the least sum over a forest of links.
//
// Dynamic programming from the leaves of each tree to its root. What a candidate needs of the piece beyond a link is
// the least of all that share a name with it, so the least is kept by name: linear in the candidates and their names.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <unordered_map>
#include <vector>

#include "runtime/kit/problem.hpp"

namespace lacestay::runtime {

// `Cost` is ordered by <, and `sum` adds two. `own` is by piece and candidate; `links` are a forest.
template <typename Cost, typename Sum>
class LeastChoice {
 public:
  LeastChoice(const std::vector<KitLink>& links, const std::vector<std::vector<Cost>>& own, Sum sum)
      : links_(links),
        own_(own),
        sum_(sum),
        least_(own.size()),
        next_(links.size()),
        from_(links.size()),
        met_(own.size()) {}

  // The candidate of each piece, the first of those that cost the same; nothing where none go together.
  [[nodiscard]] std::optional<std::vector<std::size_t>> run() {
    std::vector<std::size_t> choice(own_.size());
    for (std::size_t root = 0; root < own_.size(); ++root) {
      if (met_[root]) continue;
      gather(root);
      std::optional<std::size_t> best;
      for (std::size_t c = 0; c < own_[root].size(); ++c) take_cheaper(root, c, best);
      if (!best) return std::nullopt;
      choose(root, *best, choice);
    }
    return choice;
  }

 private:
  // Where there is one and it costs less than the best so far, or as much and comes first.
  void take_cheaper(std::size_t piece, std::size_t candidate, std::optional<std::size_t>& best) const {
    const auto& costs = least_[piece];
    if (!costs[candidate]) return;
    if (!best || *costs[candidate] < *costs[*best] || (!(*costs[*best] < *costs[candidate]) && candidate < *best))
      best = candidate;
  }

  void gather(std::size_t piece) {
    met_[piece] = true;
    least_[piece].assign(own_[piece].begin(), own_[piece].end());
    for (std::size_t l = 0; l < links_.size(); ++l) {
      const auto& link = links_[l];
      if (link.first != piece && link.second != piece) continue;
      const auto other = link.other_than(piece);
      if (met_[other]) continue;
      from_[l] = piece;
      gather(other);
      std::unordered_map<std::uint32_t, std::optional<std::size_t>> by_name;
      const auto& others = link.names(other);
      for (std::size_t c = 0; c < others.size(); ++c)
        for (const auto name : others[c]) take_cheaper(other, c, by_name[name]);
      const auto& names = link.names(piece);
      next_[l].resize(names.size());
      for (std::size_t c = 0; c < names.size(); ++c) {
        for (const auto name : names[c])
          if (const auto found = by_name.find(name); found != by_name.end() && found->second)
            take_cheaper(other, *found->second, next_[l][c]);
        if (!next_[l][c])
          least_[piece][c].reset();
        else if (least_[piece][c])
          least_[piece][c] = sum_(*least_[piece][c], *least_[other][*next_[l][c]]);
      }
    }
  }

  void choose(std::size_t piece, std::size_t candidate, std::vector<std::size_t>& choice) const {
    choice[piece] = candidate;
    for (std::size_t l = 0; l < links_.size(); ++l)
      if (from_[l] == piece) choose(links_[l].other_than(piece), *next_[l][candidate], choice);
  }

  const std::vector<KitLink>& links_;
  const std::vector<std::vector<Cost>>& own_;
  Sum sum_;
  std::vector<std::vector<std::optional<Cost>>> least_;        // by piece and candidate: it and all beyond it
  std::vector<std::vector<std::optional<std::size_t>>> next_;  // by link and candidate: the one beyond it
  std::vector<std::optional<std::size_t>> from_;               // by link: the piece whose candidates go on by it
  std::vector<bool> met_;
};

}  // namespace lacestay::runtime
