// lacestay rehearse
#include <fmt/format.h>

#include <nlohmann/json.hpp>

#include "runtime/advice_json.hpp"
#include "runtime/advice_text.hpp"
#include "runtime/command_line.hpp"
#include "runtime/rehearsal.hpp"

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
      nlohmann::ordered_json line = {{"wanted", wish.wanted}, {"line", wish.line}, {"holds", wish.holds}};
      if (!wish.holds) {
        line["came"] = wish.came;
        line["decided_by"] = nlohmann::ordered_json::array();
        for (const auto& part : wish.decided_by) line["decided_by"].push_back(text_of_rule(part));
      }
      player["lines"].push_back(std::move(line));
    }
    out["players"].push_back(std::move(player));
  }
  return out;
}

}  // namespace

int rehearse_command(const std::vector<std::string>& given) {
  const auto words = sort_words(given, {{"--json", false}});
  if (words.plain.size() < 2)
    throw Stop{not_understood, "Which policy, and which players? Write: lacestay rehearse POLICY FILE.players\n"};
  const auto engine = engine_for(words.plain.front());
  grammar::Diagnostics problems;
  std::vector<PlayersFile> files;
  for (std::size_t i = 1; i < words.plain.size(); ++i)
    files.push_back(read_players(engine->policy(), words.plain[i], text_from(words.plain[i]), problems));
  std::vector<PlayerResult> results;
  bool failed = false;
  for (const auto& file : files)
    for (const auto& player : file.players) {
      results.push_back(rehearse(*engine, player, problems));
      failed = failed || results.back().failed() > 0;
    }
  if (!problems.empty()) throw Stop{not_understood, grammar::render(problems.sorted())};
  print(words.has("--json") ? json_text(json_of(results)) : text_of(results));
  return failed ? not_so : all_well;
}

}  // namespace lacestay::runtime
