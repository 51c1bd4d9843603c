// From a diagram of changes to few statements. Inner to compiler/.
#pragma once

#include <map>
#include <utility>
#include <vector>

#include "compiler/diagram.hpp"
#include "compiler/difference.hpp"

namespace lacestay::compiler {

// Pairs of outcomes, each held once; numbers begin at 1, since 0 is "nothing changes".
class OutcomePairs {
 public:
  std::uint32_t id(const Outcome& before, const Outcome& after);
  [[nodiscard]] const std::pair<Outcome, Outcome>& of(std::uint32_t id) const { return pairs_[id - 1]; }

 private:
  std::vector<std::pair<Outcome, Outcome>> pairs_;
};

// Puts into `change` what the diagram says: `changes` leads to numbers of `pairs`, 0 where nothing changes. Boxes no
// player meets are dropped. May throw OverBudget.
void tell(const Tables& tables, Diagrams& store, Diagrams::Node changes, const OutcomePairs& pairs,
          Witnesses& witnesses, const DifferenceBudget& budget, AnswerChange& change);

}  // namespace lacestay::compiler
