// lacestay rehearse
#include <fmt/format.h>
#include <unistd.h>

#include <filesystem>
#include <nlohmann/json.hpp>

#include "runtime/advice/json.hpp"
#include "runtime/advice/text.hpp"
#include "runtime/command/command_line.hpp"
#include "runtime/command/commands.hpp"
#include "runtime/command/shelf.hpp"
#include "runtime/options/values.hpp"
#include "runtime/rehearse/edge_players.hpp"
#include "runtime/rehearse/rehearsal.hpp"
#include "runtime/rehearse/slip_run.hpp"
#include "runtime/rehearse/slip_text.hpp"
#include "runtime/rehearse/untouched.hpp"
#include "runtime/sale/stock_change.hpp"

namespace lacestay::runtime {
namespace {

nlohmann::ordered_json json_of(const std::vector<PlayerResult>& results) {
  nlohmann::ordered_json out;
  out["format"] = 1;
  out["players"] = nlohmann::ordered_json::array();
  for (const auto& result : results) {
    nlohmann::ordered_json player = {{"name", result.name},
                                     {"text", result.text},
                                     {"file", result.file},
                                     {"line", result.line},
                                     {"failed", result.failed()}};
    player["lines"] = nlohmann::ordered_json::array();
    for (const auto& wish : result.wishes) {
      nlohmann::ordered_json line = {
          {"wanted", wish.wanted}, {"line", wish.line}, {"holds", wish.holds}, {"looked_at", wish.looked_at}};
      if (!wish.holds) {
        line["came"] = wish.came;
        line["decided_by"] = nlohmann::ordered_json::array();
        for (const auto& part : wish.decided_by) line["decided_by"].push_back(text_of_rule(part));
        if (wish.given_by) line["given_by"] = *wish.given_by;
      }
      player["lines"].push_back(std::move(line));
    }
    out["players"].push_back(std::move(player));
  }
  return out;
}

std::vector<SamplePlayer> all_players(const std::vector<PlayersFile>& files) {
  std::vector<SamplePlayer> players;
  for (const auto& file : files) players.insert(players.end(), file.players.begin(), file.players.end());
  return players;
}

// Runs slips with how far the work is on the same line of a terminal.
template <typename Run>
SlipRun watched(Run run) {
  const bool terminal = ::isatty(STDERR_FILENO) != 0;
  auto done = run([&](std::size_t finished, std::size_t all) {
    if (terminal) print_problem(fmt::format("\r{} of {} slips", finished, all));
  });
  if (terminal) print_problem("\r\033[K");
  return done;
}

// Slips, and the edges that are found by them, need the text that was compiled.
void refuse_sealed(const compiler::Policy& policy, const Words& words) {
  if (!policy.origin) return;
  throw Stop{
      not_understood,
      fmt::format("Slips are planted in a policy's own text, and '{}' is sealed without it.\n  Try: name the file "
                  "it was sealed from, which was called {}.\n",
                  words.plain.front(), policy.sources.front()->name())};
}

std::string policy_name(const Words& words) { return std::filesystem::path(words.plain.front()).filename().string(); }

int write_edges(const Engine& engine, const std::vector<SamplePlayer>& players, const Words& words) {
  const auto path = *words.value("--write-edges");
  refuse_to_overwrite(path);
  std::vector<compiler::Readings> people;
  for (const auto& each : players)
    if (each.player.complete()) people.push_back(readings_of(each.player));
  const auto run = watched([&](const auto& tell) { return run_edge_slips(engine, tell); });
  const auto found = edge_players(engine, run, people);
  write_new_file(path, text_of(engine, found, policy_name(words)));
  std::size_t written = 0;
  for (const auto& group : found.groups) written += group.players.size();
  print(fmt::format("{} players stand at {} edges; they notice {} of {} slips on edges.\n", written, found.edges,
                    found.noticed, found.all));
  return all_well;
}

int plant_slips(const Engine& engine, const std::vector<SamplePlayer>& players, const SlipShelf* shelf,
                const Words& words) {
  const auto path = words.value("--write-missing");
  if (path) refuse_to_overwrite(*path);
  const auto run = watched([&](const auto& tell) { return run_slips(engine, players, tell, shelf); });
  const bool json = words.has("--json");
  const auto noticing = path || !json ? players_noticing(engine, run.unnoticed()) : Noticing();
  if (path) write_new_file(*path, missing_players(engine, run, noticing, policy_name(words)));
  print(json ? json_text(json_of(engine, run)) : text_of(engine, run, noticing));
  return run.count(SlipResult::Fate::not_noticed) > 0 ? not_so : all_well;
}

int run_rehearse(const Words& words) {
  // The edges are the policy's own: sample players are welcome, not needed.
  const bool edges = words.has("--write-edges");
  const auto engine = engine_for(words.plain.front());
  if (edges || words.has("--slips") || words.has("--write-missing")) refuse_sealed(engine->policy(), words);
  std::optional<Stock> stock;
  if (words.has("--stock")) stock = stock_for(engine->policy(), words);
  const auto shelf = stock ? std::optional(Shelf{*stock, day_for(words)}) : std::nullopt;
  grammar::Diagnostics problems;
  std::vector<PlayersFile> files;
  for (std::size_t i = 1; i < words.plain.size(); ++i)
    files.push_back(read_players(engine->policy(), words.plain[i], text_from(words.plain[i]), problems));
  std::vector<PlayerResult> results;
  bool failed = false;
  for (const auto& file : files)
    for (const auto& player : file.players) {
      results.push_back(rehearse(*engine, player, problems, shelf ? &*shelf : nullptr));
      failed = failed || results.back().failed() > 0;
    }
  if (!problems.empty()) throw Stop{not_understood, render(problems.sorted())};
  if (edges) return write_edges(*engine, all_players(files), words);
  if (words.has("--untouched")) {
    print(text_of(*engine, all_players(files)));
    return failed ? not_so : all_well;
  }
  if (words.has("--slips") || words.has("--write-missing")) {
    if (failed) throw Stop{not_so, text_of(results) + "Mend these first: slips are planted in a policy that holds.\n"};
    // What can't be read of the stock has been told of once.
    const auto read = [&](const compiler::Policy& policy) {
      return read_stock(policy, stock->folder, {std::string(sales_record_name)});
    };
    const auto anew = shelf ? std::optional(SlipShelf{read, shelf->today}) : std::nullopt;
    return plant_slips(*engine, all_players(files), anew ? &*anew : nullptr, words);
  }
  print(words.has("--json") ? json_text(json_of(results)) : text_of(results));
  return failed ? not_so : all_well;
}

}  // namespace

const Command& rehearse_command() {
  static const std::string which = "Which policy, and which players? Write: lacestay rehearse POLICY FILE.players";
  static const Command command = {
      .name = "rehearse",
      .gist = "whether sample players leave with what their file says",
      .does =
          "Says whether sample players leave with what their file says they should, and what of the policy they "
          "would not notice.",
      .ways = {{.by = "",
                .written = "POLICY FILE.players ...",
                .does = "what they leave with, or would not notice",
                .least = 2,
                .most = any_number,
                .otherwise = which},
               {.by = "--write-edges",
                .written = "POLICY [FILE.players ...] --write-edges FILE",
                .does = "writes players at every edge",
                .least = 1,
                .most = any_number,
                .otherwise = which}},
      .words = {policy_word(), {"FILE.players", Takes::file, "sample players, with what they should leave with"}},
      .groups = {{"What is held to the policy",
                  {{"--stock", Takes::folder, "FOLDER",
                    "what the players' file says of items and totals too, from these stock files (CSV)"},
                   {"--on", Takes::text, "DATE", "with --stock: as of that day, not today"}}},
                 {"What the players would not notice",
                  {{"--untouched", Takes::nothing, "",
                    "the charts, with what no player touches marked, and players who would touch it"},
                   {"--slips", Takes::nothing, "",
                    "plants small slips in the policy, one at a time: which ones the players notice"},
                   {"--write-missing", Takes::file, "FILE",
                    "plants them, and writes a few players who notice the rest"},
                   {"--write-edges", Takes::file, "FILE",
                    "writes players just under, at and just over every edge that matters, to read and keep; started "
                    "from the sample players where any are named"}}},
                 {"What comes out", {{"--json", Takes::nothing, "", "the same for programs, as JSON"}}}},
      .apart = {},
      .needs = {},
      .example = "lacestay rehearse policies/northgate.fitting policies/saturday.players",
      .run = run_rehearse};
  return command;
}

}  // namespace lacestay::runtime
