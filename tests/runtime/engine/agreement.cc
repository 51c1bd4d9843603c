#include "tests/runtime/engine/agreement.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "runtime/engine/engine.hpp"
#include "runtime/player/player.hpp"
#include "tests/reference/evaluator.hpp"
#include "tests/reference/generate/generator.hpp"
#include "tests/reference/players.hpp"
#include "tests/support/policy/compiled.hpp"

namespace lacestay::agreement {
namespace {

using compiler::Role;
using runtime::Standing;

naive::Standing standing_of(Standing standing) {
  switch (standing) {
    case Standing::needed: return naive::Standing::needed;
    case Standing::suggested: return naive::Standing::suggested;
    case Standing::left_out: return naive::Standing::left_out;
    case Standing::clash: return naive::Standing::clash;
    default: return naive::Standing::not_in_kit;
  }
}

naive::PropertyOutcome property_of(const compiler::PropertyText& text, const runtime::Outcome& outcome) {
  using Kind = naive::PropertyOutcome::Kind;
  const auto answer = [&](std::int64_t low, std::int64_t high) {
    return low < 0 ? std::nullopt : std::optional(naive::Answer{low, high, text.write(low, high)});
  };
  switch (outcome.standing) {
    case Standing::answered: return {Kind::answer, answer(outcome.low, outcome.high)};
    case Standing::referred:
      return {Kind::refer, std::nullopt, answer(outcome.low, outcome.low), answer(outcome.high, outcome.high)};
    case Standing::clash: return {Kind::clash};
    default: return {Kind::gap};
  }
}

// The engine's answers in the naive evaluator's form.
naive::Outcome engine_outcome(const runtime::Engine& engine, const std::vector<runtime::ClassId>& classes) {
  const auto& policy = engine.policy();
  const auto at = [&](std::size_t table) -> const runtime::Outcome& {
    return engine.outcome(static_cast<runtime::TableId>(table), classes[table]);
  };
  naive::Outcome all;
  for (std::size_t i = 0; i < policy.pieces.size(); ++i) {
    naive::PieceOutcome piece;
    piece.standing = standing_of(at(policy.tables.piece_table(i)).standing);
    const bool in_kit = piece.standing == naive::Standing::needed || piece.standing == naive::Standing::suggested;
    const auto& text = policy.pieces[i];
    for (auto k = text.first_property; in_kit && k < text.first_property + text.properties; ++k)
      piece.properties[policy.properties[k].name] = property_of(policy.properties[k], at(k));
    all.pieces[text.name] = std::move(piece);
  }
  for (std::size_t i = 0; i < policy.cautions.size(); ++i)
    if (at(policy.tables.first_caution_table() + i).standing == Standing::spoken)
      all.cautions.insert(policy.rules[policy.cautions[i]].name);
  return all;
}

// Which laws a player's answers came about by, for the tally.
void count_laws(const runtime::Engine& engine, const std::vector<runtime::ClassId>& classes, Tally& tally) {
  static constexpr const char* standings[] = {"answered",  "referred", "gap",        "clash",  "needed",
                                              "suggested", "left out", "not in kit", "spoken", "silent"};
  static constexpr const char* roles[] = {
      "", "moved by a floor, cap or keep", "", "silenced by outranks", "beaten by the law", ""};
  const auto& tables = engine.policy().tables;
  std::vector<Role> parts;
  for (std::size_t table = 0; table < classes.size(); ++table) {
    const auto id = static_cast<runtime::TableId>(table);
    ++tally.laws[standings[static_cast<int>(engine.outcome(id, classes[table]).standing)]];
    static_cast<void>(compiler::decide(tables, tables.tables[table], engine.rows(id, classes[table]), &parts));
    for (const auto& part : parts)
      if (const std::string role = roles[static_cast<int>(part.kind)]; !role.empty()) ++tally.laws[role];
  }
}

std::string to_paste(const naive::Generated& generated, const std::string& player) {
  std::string out;
  for (const auto& file : generated.files) out += fmt::format("---- {}\n{}\n", file.name, file.text);
  return out + "---- player\n" + player + "\n";
}

}  // namespace

void run(const Plan& plan, Tally& tally) {
  naive::Settings settings;
  settings.most_players = plan.exhaustive;
  settings.kinds = plan.kinds;
  for (auto seed = plan.first_seed; seed < plan.first_seed + plan.policies && tally.first_difference.empty(); ++seed) {
    const auto generated = naive::generate(seed, settings);
    const auto result = tests::compile_files(generated.files);
    if (!result.policy) {
      // A formula past 128 bits is the one thing the generator may run into.
      const bool too_large = std::all_of(result.diagnostics.begin(), result.diagnostics.end(), [](const auto& one) {
        return one.code == "formula-3" || one.code == "names-1";
      });
      ++tally.refused;
      if (!too_large) tally.first_difference = to_paste(generated, "") + render(result.diagnostics);
      continue;
    }
    const auto built = runtime::Engine::build(result.policy, plan.walked ? 0 : runtime::Engine::largest_dense);
    if (!built) {
      tally.first_difference = to_paste(generated, "") + built.problem().message;
      return;
    }
    const auto& engine = *built;
    ++tally.policies;
    for (const auto& [construct, times] : generated.counts) tally.constructs[construct] += times;
    const auto policy = naive::prepare(generated.files);
    naive::PlayerSource source(policy, seed);
    const auto count = plan.exhaustive > 0 ? source.all().value_or(0) : plan.players;
    auto scratch = engine->scratch();
    std::vector<runtime::ClassId> classes(engine->answers());
    for (std::uint64_t i = 0; i < count; ++i) {
      const auto player = plan.exhaustive > 0 ? source.at(i) : source.draw();
      grammar::Diagnostics problems;
      runtime::PlayerReader reader(*result.policy, problems);
      for (const auto& [name, text] : player.texts) reader.set(name, text);
      std::vector<std::int64_t> readings;
      const auto read = reader.take().value();
      for (const auto& reading : read.readings) readings.push_back(reading.value_or(0));
      if (!problems.empty()) {
        tally.first_difference = to_paste(generated, player.line()) + render(problems.sorted());
        return;
      }
      engine->answer(readings, scratch, classes);
      ++tally.pairs;
      tally.answers += classes.size();
      count_laws(*engine, classes, tally);
      const auto engine_says = engine_outcome(*engine, classes);
      const auto naive_says = naive::evaluate(policy, player.exact);
      if (engine_says == naive_says) continue;
      tally.first_difference =
          fmt::format("{}---- the engine\n{}---- the naive evaluator\n{}", to_paste(generated, player.line()),
                      naive::describe(engine_says), naive::describe(naive_says));
      return;
    }
  }
}

}  // namespace lacestay::agreement
