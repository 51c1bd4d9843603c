#include "runtime/compare/matched_outcome.hpp"

#include "runtime/advice/words.hpp"
#include "runtime/engine/possible.hpp"

namespace lacestay::runtime {

using compiler::Table;

namespace {

// Of an edition that has no such answer.
Outcome lacking(const compiler::MatchedAnswer& answer) {
  return {answer.kind == Table::Kind::piece ? Standing::not_in_kit : Standing::silent, 0, 0};
}

}  // namespace

std::optional<Outcome> outcome_of(const Engine& engine, const compiler::MatchedAnswer& answer, compiler::Side side,
                                  const Engine::Scratch& scratch) {
  const auto& tables = engine.policy().tables;
  if (!answer.target[side]) return lacking(answer);
  if (answer.kind == Table::Kind::property) {
    const auto piece = static_cast<TableId>(tables.piece_table(tables.piece_of[*answer.target[side]]));
    if (!compiler::in_kit(engine.outcome(piece, scratch).standing)) return std::nullopt;
  }
  return engine.outcome(answer.table_in(tables, side), scratch);
}

std::vector<Outcome> possible_outcomes(const Engine& engine, const compiler::MatchedAnswer& answer, compiler::Side side,
                                       const Player& player) {
  if (!answer.target[side]) return {lacking(answer)};
  const auto id = answer.table_in(engine.policy().tables, side);
  const auto possible = possible_answers(engine, id, player);
  std::vector<Outcome> all;
  if (!possible.concerns) return all;
  for (const auto found : possible.classes) all.push_back(engine.outcome(id, found));
  return all;
}

std::string text_of(const compiler::Policy& policy, const compiler::MatchedAnswer& answer, compiler::Side side,
                    const Outcome& outcome) {
  if (!answer.target[side]) return answer.kind == Table::Kind::piece ? "not a piece of the kit" : "not said";
  return text_of_outcome(policy, policy.tables.tables[answer.table_in(policy.tables, side)], outcome);
}

}  // namespace lacestay::runtime
