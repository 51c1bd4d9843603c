#include "compiler/proof/seeker.hpp"

namespace lacestay::compiler {
namespace {

constexpr std::size_t most_edges = 4'000'000, most_parts = 40'000, most_boxes = 200;

}  // namespace

Seeker::Seeker(const Policy& policy) : tables_(policy.tables), witnesses_(policy, policy.tables, most_parts) {}

template <typename Sought>
std::optional<Readings> Seeker::seek(TableId table, Sought sought) {
  try {
    Regions who(tables_, tables_.tables[table], most_edges);
    for (const auto set : sought(who)) {
      std::optional<Readings> found;
      std::size_t tried = 0;
      who.sets().each_box(set, [&](const Box& box) {
        const auto search = witnesses_.find(box);
        if (search.kind == Search::Kind::found) found = search.player;
        return !found && ++tried < most_boxes;
      });
      if (found) return found;
    }
  } catch (const Diagrams::OverBudget&) {
    // Nobody is sought past the budget.
  }
  return std::nullopt;
}

std::optional<Readings> Seeker::whom(TableId table, std::uint32_t row) {
  return seek(table, [&](Regions& who) {
    const auto met = who.sets().box(who.table().rows[row].box);
    return std::vector{who.sets().both(who.of_row(row), who.concerned()), who.sets().both(met, who.concerned()), met};
  });
}

std::optional<Readings> Seeker::silenced(TableId table, RuleId over, RuleId under) {
  return seek(table, [&](Regions& who) {
    const auto met = who.sets().both(who.of_rule(over), who.of_rule(under));
    return std::vector{who.sets().both(met, who.concerned()), met};
  });
}

std::optional<Readings> Seeker::within(TableId table, const Box& box) {
  return seek(table, [&](Regions& who) {
    const auto met = who.sets().box(box);
    return std::vector{who.sets().both(met, who.concerned()), met};
  });
}

}  // namespace lacestay::compiler
