#include "runtime/rehearse/slip_text.hpp"

#include <fmt/format.h>

#include <map>
#include <set>

#include "runtime/base/layout.hpp"
#include "runtime/rehearse/players_text.hpp"

namespace lacestay::runtime {

using compiler::Side;
using Fate = SlipResult::Fate;

namespace {

struct Counts {
  std::size_t made = 0, not_compiled = 0, refused = 0, same = 0, noticed = 0, unnoticed = 0, not_settled = 0;
  std::size_t on_the_shelf = 0;  // of those that went unnoticed

  void add(const SlipResult& result) {
    ++made;
    if (result.fate == Fate::not_noticed && result.on_the_shelf) ++on_the_shelf;
    switch (result.fate) {
      case Fate::not_compiled: ++not_compiled; break;
      case Fate::refused: ++refused; break;
      case Fate::changes_nothing: ++same; break;
      case Fate::noticed: ++noticed; break;
      case Fate::not_noticed: ++unnoticed; break;
      case Fate::not_settled: ++not_settled; break;
    }
  }
  [[nodiscard]] std::size_t noticeable() const { return noticed + unnoticed; }
};

std::map<Slip::Kind, Counts> by_kind(const SlipRun& run) {
  std::map<Slip::Kind, Counts> all;
  for (std::size_t i = 0; i < run.slips.size(); ++i) all[run.slips[i].kind].add(run.results[i]);
  return all;
}

Counts in_all(const SlipRun& run) {
  Counts all;
  for (const auto& result : run.results) all.add(result);
  return all;
}

std::vector<TableId> tables_of(const Engine& engine, const std::vector<compiler::MatchedAnswer>& answers) {
  std::vector<TableId> ids;
  for (const auto& answer : answers)
    if (answer.target.earlier) ids.push_back(answer.table_in(engine.policy().tables, Side::earlier));
  return ids;
}

std::string place_of(const Slip& slip) {
  return fmt::format("{}, {}", slip.place.source->name(), line_text(slip.place));
}

std::string percent(std::size_t part, std::size_t all) {
  return all == 0 ? "100 %" : fmt::format("{:.1f} %", 100.0 * static_cast<double>(part) / static_cast<double>(all));
}

// A player who would notice, named after the slip's number.
std::string player_for(const Engine& engine, const SlipRun& run, std::size_t i) {
  const auto& result = run.results[i];
  if (result.players.empty()) return "";
  return player_text(engine, fmt::format("slip_{}", i + 1),
                     fmt::format("{}: {}", place_of(run.slips[i]), without_quotes(run.slips[i].says)),
                     result.players.front(), tables_of(engine, notices(engine, result, result.players.front())));
}

}  // namespace

std::string text_of(const Engine& engine, const SlipRun& run, const Noticing& noticing) {
  const auto all = in_all(run);
  std::string out = fmt::format("{} small slips were planted, one at a time.\n", all.made);
  out += fmt::format("  {:>6} the compiler refuses\n", all.not_compiled);
  out += fmt::format("  {:>6} the proof refuses, with a player\n", all.refused);
  out += fmt::format("  {:>6} change no player's answer, which is proved\n", all.same);
  if (all.not_settled > 0) out += fmt::format("  {:>6} could not be settled\n", all.not_settled);
  out += fmt::format("  {:>6} the sample players can notice: they notice {} ({})\n\n", all.noticeable(), all.noticed,
                     percent(all.noticed, all.noticeable()));
  for (const auto& [kind, counts] : by_kind(run))
    out += fmt::format("  {}{} of {}\n", padded(name_of(kind), 32), counts.noticed, counts.noticeable());
  const auto slip_told = [&](std::size_t i) {
    return wrapped(fmt::format("{}: {}", place_of(run.slips[i]), run.slips[i].says), 0);
  };
  if (all.on_the_shelf > 0) {
    out += "\nNot noticed on the shelf: no answer changes, but what may be handed over for it.\n\n";
    for (std::size_t i = 0; i < run.slips.size(); ++i)
      if (run.results[i].fate == Fate::not_noticed && run.results[i].on_the_shelf) out += slip_told(i);
    if (!run.with_stock) out += "\nWith --stock FOLDER the items that players leave with are looked at too.\n";
  }
  if (all.unnoticed == all.on_the_shelf) return out;
  out += "\nNot noticed, each with a player who would:\n";
  for (std::size_t i = 0; i < run.slips.size(); ++i) {
    if (run.results[i].fate != Fate::not_noticed || run.results[i].on_the_shelf) continue;
    out += "\n" + slip_told(i) + player_for(engine, run, i);
  }
  out += fmt::format(
      "\n{} added players would notice all of these{}; --write-missing FILE writes them.\n", noticing.players.size(),
      noticing.at_least == noticing.players.size() ? ", and no fewer can"
                                                   : fmt::format(" (at least {} are needed)", noticing.at_least));
  return out;
}

nlohmann::ordered_json json_of(const Engine& engine, const SlipRun& run) {
  using Json = nlohmann::ordered_json;
  const auto fate = [](Fate held) {
    switch (held) {
      case Fate::not_compiled: return "compiler_refuses";
      case Fate::refused: return "proof_refuses";
      case Fate::changes_nothing: return "changes_nothing";
      case Fate::noticed: return "noticed";
      case Fate::not_noticed: return "not_noticed";
      case Fate::not_settled: return "not_settled";
    }
    return "";
  };
  Json slips = Json::array();
  for (std::size_t i = 0; i < run.slips.size(); ++i) {
    const auto& slip = run.slips[i];
    const auto& result = run.results[i];
    slips.push_back(
        {{"kind", name_of(slip.kind)},
         {"file", slip.place.source->name()},
         {"line", slip.place.source->place(slip.place.begin).line},
         {"says", slip.says},
         {"fate", fate(result.fate)},
         {"noticed_by", result.noticed_by.empty() ? Json(nullptr) : Json(result.noticed_by)},
         {"on_the_shelf", result.on_the_shelf},
         {"player", result.fate == Fate::not_noticed && !result.on_the_shelf ? Json(player_for(engine, run, i))
                                                                             : Json(nullptr)}});
  }
  const auto all = in_all(run);
  return Json{{"format", 1},
              {"made", all.made},
              {"compiler_refuses", all.not_compiled},
              {"proof_refuses", all.refused},
              {"changes_nothing", all.same},
              {"not_settled", all.not_settled},
              {"noticeable", all.noticeable()},
              {"noticed", all.noticed},
              {"slips", std::move(slips)}};
}

std::string missing_players(const Engine& engine, const SlipRun& run, const Noticing& noticing,
                            const std::string& path) {
  const auto slips = run.unnoticed();
  std::string out = fmt::format(
      "# Players who notice the planted slips that the others do not, with the answers of {}, edition {}.\n"
      "# Read each one before you keep it: it says what the policy says today.\n\nplayers of \"{}\"\n",
      engine.policy().title, engine.policy().edition, path);
  for (std::size_t i = 0; i < noticing.players.size(); ++i) {
    std::set<TableId> tables;
    std::size_t count = 0;
    for (const auto* slip : slips) {
      const auto ids = tables_of(engine, notices(engine, *slip, noticing.players[i]));
      tables.insert(ids.begin(), ids.end());
      count += ids.empty() ? 0 : 1;
    }
    out += fmt::format("\n{}",
                       player_text(engine, fmt::format("noticing_{}", i + 1), fmt::format("Notices {} slips", count),
                                   noticing.players[i], {tables.begin(), tables.end()}));
  }
  return out;
}

}  // namespace lacestay::runtime
