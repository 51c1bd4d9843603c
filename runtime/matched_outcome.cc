#include "runtime/matched_outcome.hpp"

namespace lacestay::runtime {

using compiler::Table;

std::optional<Outcome> outcome_of(const Engine& engine, const compiler::MatchedAnswer& answer, compiler::Side side,
                                  const Engine::Scratch& scratch) {
  const auto& tables = engine.policy().tables;
  if (!answer.target[side])
    return Outcome{answer.kind == Table::Kind::piece ? Standing::not_in_kit : Standing::silent, 0, 0};
  if (answer.kind == Table::Kind::property) {
    const auto piece = static_cast<TableId>(tables.piece_table(tables.piece_of[*answer.target[side]]));
    const auto standing = engine.outcome(piece, engine.look_up(piece, scratch.places)).standing;
    if (standing != Standing::needed && standing != Standing::suggested) return std::nullopt;
  }
  const auto id = answer.table_in(tables, side);
  return engine.outcome(id, engine.look_up(id, scratch.places));
}

}  // namespace lacestay::runtime
