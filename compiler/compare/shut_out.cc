#include "compiler/compare/shut_out.hpp"

#include <algorithm>

#include "compiler/space/uncovered.hpp"
#include "compiler/tables/boxes.hpp"

namespace lacestay::compiler {

std::vector<ShutOutAlone> shut_out_alone(const Policy& space, const std::vector<ShutOut>& own,
                                         const std::vector<ShutOut>& others, const DifferenceBudget& budget) {
  constexpr std::size_t most_looked_at = 200'000;  // boxes, of one line
  std::vector<ShutOutAlone> all;
  Witnesses witnesses(space, space.tables, budget.parts, others);
  std::vector<const Box*> of_others;
  for (const auto& each : others) of_others.push_back(&each.box);
  for (const auto& each : own) {
    auto found = uncovered(space.tables, of_others, each.box, budget.boxes, most_looked_at);
    ShutOutAlone line;
    line.line = each.line;
    line.settled = found.complete;
    join_boxes(space.tables, found.boxes);
    std::stable_sort(found.boxes.begin(), found.boxes.end(),
                     [&](const Box& a, const Box& b) { return share_of(space.tables, a) > share_of(space.tables, b); });
    for (auto& box : found.boxes) {
      const auto search = witnesses.find(box);
      if (search.kind == Search::Kind::none) continue;
      line.settled = line.settled && search.kind == Search::Kind::found;
      if (line.player.empty()) line.player = search.player;
      line.who.push_back(std::move(box));
    }
    if (!line.who.empty() || !line.settled) all.push_back(std::move(line));
  }
  return all;
}

}  // namespace lacestay::compiler
