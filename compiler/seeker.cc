#include "compiler/seeker.hpp"

namespace lacestay::compiler {
namespace {

constexpr std::size_t most_edges = 4'000'000, most_parts = 40'000, most_boxes = 200;

Regions::Set has_piece(Regions& who) {
  return who.table().kind == Table::Kind::property ? who.present() : who.sets().everybody();
}

}  // namespace

Seeker::Seeker(const Policy& policy) : tables_(policy.tables), witnesses_(policy, policy.tables, most_parts) {}

std::optional<Readings> Seeker::first_of(Regions& who, const std::vector<Regions::Set>& sets) {
  for (const auto set : sets) {
    std::optional<Readings> found;
    std::size_t tried = 0;
    who.sets().each_box(set, [&](const Box& box) {
      const auto search = witnesses_.find(box);
      if (search.kind == Search::Kind::found) found = search.player;
      return !found && ++tried < most_boxes;
    });
    if (found) return found;
  }
  return std::nullopt;
}

std::optional<Readings> Seeker::whom(TableId table, std::uint32_t row) {
  try {
    Regions who(tables_, tables_.tables[table], most_edges);
    const auto box = who.sets().box(who.table().rows[row].box);
    return first_of(who, {who.sets().both(who.of_row(row), has_piece(who)), who.sets().both(box, has_piece(who)), box});
  } catch (const Diagrams::OverBudget&) {
    return std::nullopt;
  }
}

std::optional<Readings> Seeker::silenced(TableId table, RuleId over, RuleId under) {
  try {
    Regions who(tables_, tables_.tables[table], most_edges);
    const auto both = who.sets().both(who.of_rule(over), who.of_rule(under));
    return first_of(who, {who.sets().both(both, has_piece(who)), both});
  } catch (const Diagrams::OverBudget&) {
    return std::nullopt;
  }
}

std::optional<Readings> Seeker::within(TableId table, const Box& box) {
  try {
    Regions who(tables_, tables_.tables[table], most_edges);
    const auto all = who.sets().box(box);
    return first_of(who, {who.sets().both(all, has_piece(who)), all});
  } catch (const Diagrams::OverBudget&) {
    return std::nullopt;
  }
}

}  // namespace lacestay::compiler
