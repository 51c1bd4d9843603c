// What rests on which asked details.
#include "tests/reference/prepared.hpp"

namespace lacestay::naive {

namespace {

class Resting {
 public:
  explicit Resting(const Policy& policy) : policy_(policy) {}

  void add(std::size_t index) {
    const auto& detail = policy_.details[index];
    if (detail.ask) asked.insert(index);
    if (detail.formula) add(*detail.formula);
    if (detail.chart) add(*detail.chart);
  }
  void add(const grammar::Condition& condition) {
    const auto named = policy_.membership_of.find(&condition);
    add(named != policy_.membership_of.end() ? named->second.detail : policy_.detail_of.at(&condition.subject));
  }
  void add(const std::vector<grammar::Condition>& conditions) {
    for (const auto& condition : conditions) add(condition);
  }
  void add(const Voice& voice) {
    add(voice.clauses->when);
    if (voice.pack_when) add(*voice.pack_when);
    if (voice.chart) add(*voice.chart);
    if (!voice.sized) return;
    add(policy_.detail_of.at(&*voice.rule->action->from));
    if (voice.rule->action->to) add(policy_.detail_of.at(&*voice.rule->action->to));
  }

  std::set<std::size_t> asked;

 private:
  void add(const grammar::Chart& chart) {
    if (chart.across) add(policy_.detail_of.at(&chart.across->detail));
    if (chart.down) add(policy_.detail_of.at(&*chart.down));
  }
  void add(const grammar::Expression& formula) {
    if (formula.kind == grammar::Expression::Kind::name) add(policy_.detail_of.at(&formula.name));
    for (const auto& operand : formula.operands) add(operand);
  }

  const Policy& policy_;
};

}  // namespace

std::set<std::size_t> asked_under(const Policy& policy, std::size_t detail) {
  Resting resting(policy);
  resting.add(detail);
  return resting.asked;
}

std::set<std::size_t> asked_under(const Policy& policy, const grammar::Condition& condition) {
  Resting resting(policy);
  resting.add(condition);
  return resting.asked;
}

std::set<std::size_t> rests_on(const Policy& policy, const Piece& piece, std::size_t property) {
  Resting resting(policy);
  for (const auto voice : piece.properties[property].voices) resting.add(policy.voices[voice]);
  if (piece.tree->presence == grammar::Piece::Presence::always) return resting.asked;
  resting.add(piece.tree->when);
  for (const auto voice : piece.voices) resting.add(policy.voices[voice]);
  return resting.asked;
}

}  // namespace lacestay::naive
