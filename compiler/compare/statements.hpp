// From a diagram of changes to few statements. Inner to compiler/.
#pragma once

#include <functional>
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

// Some players, and the number of what changes for them: a terminal of the diagrams that were told.
struct Numbered : Changed {
  std::uint32_t number = 0;
};

// The changes of one answer, or of one piece's items, added a diagram at a time and then told as few statements.
// Diagrams are added one by one, each of changes that share players, because one diagram of them all may be as large as
// the product of its parts.
class Telling {
 public:
  // All must outlive this.
  Telling(const Tables& tables, Witnesses& witnesses, const DifferenceBudget& budget)
      : tables_(tables), witnesses_(witnesses), budget_(budget) {}

  // Changes among these boxes, of which those that share a player are joined to one diagram. `diagram` makes it, over a
  // store of its own, of the boxes of one group: terminals are numbers of changes, 0 where nothing changes. Boxes
  // without a player are dropped.
  using Diagram = std::function<Diagrams::Node(Diagrams& store, const std::vector<Box>& boxes)>;
  void add(const std::vector<Box>& where, const Diagram& diagram);
  // The statements, once all is added; `what_of` says what a number stands for.
  template <typename What, typename Make>
  void tell(Told<What>& told, Make what_of) {
    tell();
    for (auto& from : told_.statements) {
      told.statements.push_back({std::move(from.who), std::move(from.but_not), {}, from.share});
      for (auto& each : from.becomes) told.statements.back().becomes.push_back(what_of(std::move(each)));
    }
    told.left_out = told_.left_out;
    told.settled = told.settled && told_.settled;
  }

 private:
  using Set = Diagrams::Node;
  using Boxes = std::vector<Box>;

  void tell();
  void add(Diagrams& store, Set changes);
  [[nodiscard]] bool nobody_in(const Box& box) const;
  [[nodiscard]] Boxes boxes_of(Diagrams& store, Set set) const;
  [[nodiscard]] bool touch(const Box& a, const Box& b) const;
  void tell_group(const Boxes& boxes);
  bool told_as_one(const Boxes& boxes);
  [[nodiscard]] Box with_what_follows(Box who) const;
  void tell_one(Box who, Boxes but_not, const Boxes& boxes, Diagrams& store, Set set);
  std::optional<Numbered> becoming(std::uint32_t number, const Boxes& around_here, Diagrams& store, Set statement);

  const Tables& tables_;
  Witnesses& witnesses_;
  const DifferenceBudget& budget_;
  Told<Numbered> told_;
  std::map<std::uint32_t, Boxes> by_number_;  // whose change it is, in disjoint boxes
  Boxes all_;                                 // those of all numbers, in disjoint boxes of their own
  std::size_t paths_ = 0;
};

}  // namespace lacestay::compiler
