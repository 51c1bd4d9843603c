// From a diagram of changes to few statements. Inner to compiler/.
#pragma once

#include <map>
#include <optional>
#include <utility>
#include <vector>

#include "compiler/compare/difference.hpp"
#include "compiler/space/diagram.hpp"

namespace lacestay::compiler {

// Pairs of outcomes, each held once; numbers begin at 1, since 0 is "nothing changes".
class OutcomePairs {
 public:
  std::uint32_t id(const Outcome& before, const Outcome& after);
  [[nodiscard]] const std::pair<Outcome, Outcome>& of(std::uint32_t id) const { return pairs_[id - 1]; }

 private:
  std::vector<std::pair<Outcome, Outcome>> pairs_;
};

// The changes of one answer, added a diagram at a time and then told as few statements. Diagrams are added one by one,
// each of changes that share players, because one diagram of them all may be as large as the product of its parts.
class Telling {
 public:
  // All must outlive this; the statements are added to `change`.
  Telling(const Tables& tables, const OutcomePairs& pairs, Witnesses& witnesses, const DifferenceBudget& budget,
          AnswerChange& change)
      : tables_(tables), pairs_(pairs), witnesses_(witnesses), budget_(budget), change_(change) {}

  // The terminals of `changes` are numbers of `pairs`, 0 where nothing changes; no player may be in two of the diagrams
  // added. Boxes without a player are dropped. May throw OverBudget; then nothing of this diagram is kept.
  void add(Diagrams& store, Diagrams::Node changes);
  // The statements, once all is added.
  void tell();

 private:
  using Set = Diagrams::Node;
  using Boxes = std::vector<Box>;

  [[nodiscard]] bool nobody_in(const Box& box) const;
  [[nodiscard]] Boxes boxes_of(Diagrams& store, Set set) const;
  [[nodiscard]] bool touch(const Box& a, const Box& b) const;
  void tell_group(const Boxes& boxes);
  bool told_as_one(const Boxes& boxes);
  [[nodiscard]] Box with_what_follows(Box who) const;
  void tell_one(Box who, Boxes but_not, const Boxes& boxes, Diagrams& store, Set set);
  std::optional<Becomes> becoming(std::uint32_t pair, const Boxes& around_here, Diagrams& store, Set statement);

  const Tables& tables_;
  const OutcomePairs& pairs_;
  Witnesses& witnesses_;
  const DifferenceBudget& budget_;
  AnswerChange& change_;
  std::map<std::uint32_t, Boxes> by_pair_;  // by pair of outcomes: its players, in disjoint boxes
  Boxes all_;                               // the players of all pairs, in disjoint boxes of their own
  std::size_t paths_ = 0;
};

}  // namespace lacestay::compiler
