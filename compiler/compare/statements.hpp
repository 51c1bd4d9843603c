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

// Changes of one answer, gathered a diagram at a time. One diagram of them all would say little more and may be as
// large as the product of its parts: changes that share no player are best kept in diagrams of their own.
class Telling {
 public:
  // All must outlive this; `change` is what is told into.
  Telling(const Tables& tables, const OutcomePairs& pairs, Witnesses& witnesses, const DifferenceBudget& budget,
          AnswerChange& change)
      : tables_(tables), pairs_(pairs), witnesses_(witnesses), budget_(budget), change_(change) {}

  // `changes` leads to numbers of the pairs, 0 where nothing changes; nobody is in two of the diagrams added. Boxes no
  // player meets are dropped. May throw OverBudget; then nothing of this diagram is told.
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
  std::map<std::uint32_t, Boxes> by_pair_;  // whom each change is for; they lie apart
  Boxes all_;                               // the same players, whatever changes for them
  std::size_t paths_ = 0;
};

}  // namespace lacestay::compiler
