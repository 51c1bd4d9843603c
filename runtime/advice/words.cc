#include "runtime/advice/words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>

#include "compiler/values/names.hpp"

namespace lacestay::runtime {

using compiler::Effect;
using compiler::Policy;
using compiler::Row;
using compiler::Table;

std::string text_of_outcome(const Policy& policy, const Table& table, const Outcome& outcome) {
  // A kit of pieces without properties has none to write.
  const auto written = [&](std::int64_t low, std::int64_t high) {
    return policy.properties[table.kind == Table::Kind::property ? table.target : 0].write(low, high);
  };
  switch (outcome.standing) {
    case Standing::answered: return written(outcome.low, outcome.high);
    case Standing::referred: {
      const auto step = [&](std::int64_t at) { return written(at, at); };
      if (outcome.low < 0 && outcome.high < 0) return "ask the fitter";
      if (outcome.high < 0) return fmt::format("ask the fitter; at least {}", step(outcome.low));
      if (outcome.low < 0) return fmt::format("ask the fitter; at most {}", step(outcome.high));
      return outcome.low == outcome.high
                 ? fmt::format("ask the fitter; only {}", step(outcome.low))
                 : fmt::format("ask the fitter; from {} to {}", step(outcome.low), step(outcome.high));
    }
    case Standing::gap: return "no answer";
    case Standing::clash: return "two answers that can't both hold";
    case Standing::needed: return "needed";
    case Standing::suggested: return "suggested";
    case Standing::left_out: return "left out";
    case Standing::not_in_kit: return "not in this kit";
    case Standing::spoken: return "said";
    case Standing::silent: return "not said";
  }
  return "";
}

std::string text_of_outcome(const Policy& policy, const Answer& answer, const Outcome& outcome) {
  return text_of_outcome(policy, policy.tables.tables[answer.table], outcome);
}

std::vector<std::string> possible_in_words(const Policy& policy, const Answer& answer) {
  std::vector<std::string> all;
  for (const auto& outcome : answer.possible) {
    // Where a scale is shown in coarser units, two steps may be written alike.
    auto text = text_of_outcome(policy, answer, outcome);
    if (std::find(all.begin(), all.end(), text) == all.end()) all.push_back(std::move(text));
  }
  return all;
}

std::string joined_by_or(const Answer& answer, const std::vector<std::string>& possible) {
  const bool open = std::any_of(answer.possible.begin(), answer.possible.end(),
                                [](const Outcome& outcome) { return compiler::leaves_open(outcome.low); });
  return open ? fmt::format("{}", fmt::join(possible, "; or ")) : compiler::listed(possible, "or");
}

std::string open_until(const std::vector<std::string>& details) {
  return fmt::format("open: {} not named; counted in until {}", compiler::listed(details),
                     details.size() == 1 ? "it is" : "they are");
}

std::vector<std::string> needed_or_not(const Answer& presence) {
  const auto standing = [&](Standing sought) {
    return std::any_of(presence.possible.begin(), presence.possible.end(),
                       [&](const Outcome& each) { return each.standing == sought; });
  };
  std::vector<std::string> details;
  if (presence.certain || !standing(Standing::needed) || !standing(Standing::suggested)) return details;
  for (const auto& part : presence.parts)
    for (const auto& looked : part.looked_at)
      if (!looked.known && std::find(details.begin(), details.end(), looked.detail) == details.end())
        details.push_back(looked.detail);
  std::sort(details.begin(), details.end());
  return details;
}

std::string steps_in_words(std::int64_t steps) {
  static constexpr const char* numbers[] = {"one step", "two steps", "three steps"};
  return fmt::format("{} {}", numbers[std::abs(steps) - 1], steps < 0 ? "down" : "up");
}

std::string says(const Policy& policy, const Table& table, const Row& row) {
  const auto value = [&] { return policy.properties[table.target].write(row.low, row.high); };
  // A row of a band that is sized tells one of its ends.
  const auto end = [&](std::int64_t step) { return policy.properties[table.target].write(step, step); };
  const auto& rule = policy.rules[row.rule];
  if (rule.sized_to)
    return rule.is_upper_end(row) ? fmt::format("up to {}", end(row.high)) : fmt::format("from {}", end(row.low));
  switch (row.effect) {
    case Effect::base: return value();
    case Effect::keep: return "keep within " + value();
    case Effect::floor: return "at least " + value();
    case Effect::cap: return "at most " + value();
    case Effect::step: return steps_in_words(row.low);
    case Effect::refer: return "ask the fitter";
    case Effect::present: return "in the kit";
    case Effect::need: return "needed";
    case Effect::suggest: return "suggested";
    case Effect::omit: return "left out";
    case Effect::caution: return policy.rules[row.rule].caution;
    case Effect::value: return policy.worked_out[table.target].scale.write(row.low);
    case Effect::applies: return "for them";
  }
  return "";
}

std::string says_in_answer(const Policy& policy, const Table& table, const Row& row) {
  if (row.effect == Effect::keep && !policy.rules[row.rule].is_upper_end(row))
    return "within " + policy.properties[table.target].write(row.low, row.high);
  if (row.effect == Effect::present) return "needed";
  return says(policy, table, row);
}

const char* does_to_other(Effect effect) {
  switch (effect) {
    case Effect::floor: return "lifts it";
    case Effect::cap: return "lowers it";
    case Effect::step: return "moves it";
    case Effect::need: return "needs the piece";
    case Effect::omit: return "leaves the piece out";
    case Effect::refer: return "leaves it to the fitter";
    default: return "goes before it";
  }
}

}  // namespace lacestay::runtime
