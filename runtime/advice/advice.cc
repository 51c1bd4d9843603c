#include "runtime/advice/advice.hpp"

#include <algorithm>

#include "runtime/advice/explanation.hpp"

namespace lacestay::runtime {

using compiler::Table;

namespace {

std::string written(std::int64_t day) { return compiler::show(day, compiler::Dimension::day, {}); }

void date_it(const compiler::Policy& policy, std::int64_t today, Advice& advice) {
  advice.day = written(today);
  advice.in_force = in_force(policy);
  advice.outside_edition = today < policy.in_force_from || (policy.in_force_to && today > *policy.in_force_to);
}

}  // namespace

bool speaks(const Part& part) {
  using Role = compiler::Role::Kind;
  return part.role == Role::decides || part.role == Role::lifts || part.role == Role::clashes;
}

std::string text_of(const Caution& caution) {
  const auto& part = caution.part;
  return (caution.certain ? "" : "This may apply: ") + part.says +
         (part.source.empty() ? "" : " (" + part.source + ")");
}

std::string in_force(const compiler::Policy& policy) {
  return "from " + written(policy.in_force_from) + (policy.in_force_to ? " to " + written(*policy.in_force_to) : "");
}

Answer explain(const Engine& engine, const Player& player, TableId table) {
  return Explanation(engine, player).answer(table);
}

Advice advise(const Engine& engine, const Player& player, std::int64_t today) {
  return advise(engine, player, possible_answers(engine, player), today);
}

Advice advise(const Engine& engine, const Player& player, const std::vector<Possible>& possible, std::int64_t today) {
  const auto& policy = engine.policy();
  const auto& tables = policy.tables;
  Advice advice;
  advice.given_by = engine.shared_policy();
  advice.policy = policy.title;
  advice.edition = policy.edition;
  date_it(policy, today, advice);
  for (std::size_t i = 0; i < policy.details.size(); ++i) {
    const auto& text = policy.details[i];
    if (player.readings[i]) {
      advice.details.emplace_back(text.name, text.scale.write(*player.readings[i]));
      advice.told.push_back(as_told(policy, player, i));
      if (told_in_another_system(policy, player, i))
        advice.told.back() = advice.details.back().second + " (" + advice.told.back() + ")";
      continue;
    }
    advice.not_known.push_back(text.name);
    if (!text.may_be_blank) advice.still_to_ask.push_back(text.name);
  }
  Explanation explanation(engine, player);
  const auto note = [&](const Answer& answer) {
    if (answer.fault()) ++advice.faults;
    if (!answer.certain) advice.certain = false;
  };
  for (std::uint32_t i = 0; i < policy.pieces.size(); ++i) {
    const auto& text = policy.pieces[i];
    PieceAdvice piece;
    piece.name = text.name;
    piece.label = text.label;
    piece.owned = std::binary_search(player.owns.begin(), player.owns.end(), i);
    const auto table = static_cast<TableId>(tables.piece_table(i));
    piece.presence = explanation.answer(table, possible[table]);
    piece.may_be_in_kit =
        std::any_of(possible[table].classes.begin(), possible[table].classes.end(),
                    [&](ClassId found) { return may_be_in_kit(engine.outcome(table, found).standing); });
    note(piece.presence);
    for (std::uint32_t k = 0; k < text.properties && piece.may_be_in_kit; ++k) {
      const auto property = text.first_property + k;
      PropertyAdvice line{policy.properties[property].name, policy.properties[property].label, {}};
      line.answer = explanation.answer(property, possible[property]);
      note(line.answer);
      piece.properties.push_back(std::move(line));
    }
    advice.pieces.push_back(std::move(piece));
  }
  for (std::size_t i = 0; i < policy.cautions.size(); ++i) {
    const auto table = static_cast<TableId>(tables.first_caution_table() + i);
    const auto answer = explanation.answer(table, possible[table]);
    note(answer);
    for (const auto& part : answer.parts) advice.cautions.push_back({part, answer.certain});
  }
  if (!advice.certain)
    if (const auto next = next_to_take(engine, player, possible)) advice.take_next = policy.details[next->detail].name;
  return advice;
}

}  // namespace lacestay::runtime
