// lacestay inspect
#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "runtime/advice/json.hpp"
#include "runtime/chart/findings.hpp"
#include "runtime/command/command_line.hpp"
#include "runtime/command/commands.hpp"
#include "runtime/command/last_good.hpp"
#include "runtime/load/load.hpp"

namespace lacestay::runtime {

namespace {

using Json = nlohmann::ordered_json;

// The policy's engine; where it is refused, the message says as well what the file for the last good edition holds.
std::shared_ptr<const Engine> engine_or_last_good(Loaded loaded, const std::string& path,
                                                  const std::optional<LastGood>& last_good) {
  try {
    return engine_or_stop(std::move(loaded), path);
  } catch (const Stop& stop) {
    if (!last_good) throw;
    throw Stop{stop.code(), render(stop.problem()) + last_good->left()};
  }
}

// What comes out for programs, but for what is found.
Json inspected(Json title, Json edition, bool proved, const std::optional<LastGood>& last_good) {
  return {{"format", 1},
          {"policy", std::move(title)},
          {"edition", std::move(edition)},
          {"proved", proved},
          {"findings", Json::array()},
          {"remarks", Json::array()},
          {"left_out", 0},
          {"sealed", last_good ? last_good->json() : Json(nullptr)}};
}

Json found(const Problem& problem, Json players) {
  auto one = json_of(problem);
  one["players"] = std::move(players);
  return one;
}

// Of a text that is no policy: what is wrong with it stands where the proof's findings do, and no title is known.
Json json_of_refused(const Loaded& loaded, const std::optional<LastGood>& last_good) {
  auto out = inspected(nullptr, nullptr, false, last_good);
  for (const auto& problem : loaded.problems) out["findings"].push_back(found(problem, Json::array()));
  return out;
}

int run_inspect(const Words& words) {
  std::optional<LastGood> last_good;
  if (const auto path = words.value("--seal")) last_good.emplace(*path);
  auto loaded = load_policy(words.plain.front(), Proving::not_yet);
  using Refused = Loaded::Refused;
  if (words.has("--json") && loaded.refused != Refused::no && loaded.refused != Refused::unreadable) {
    print(json_text(json_of_refused(loaded, last_good)));
    return not_so;
  }
  const auto engine = engine_or_last_good(std::move(loaded), words.plain.front(), last_good);
  const auto proof = compiler::prove(engine->policy());
  const auto diagnostics = told(*engine, proof);
  const auto refusing = static_cast<std::size_t>(std::count_if(proof.findings.begin(), proof.findings.end(),
                                                               [](const auto& finding) { return finding.refuses(); }));
  const auto remarks = diagnostics.size() - refusing;
  const int code = refusing > 0 || (words.has("--remarks-too") && remarks > 0) ? not_so : all_well;
  const auto& policy = engine->policy();
  std::string sealed;
  if (last_good) sealed = refusing > 0 ? last_good->left() : last_good->replace(policy);
  if (words.has("--json")) {
    auto out = inspected(policy.title, policy.edition, refusing == 0, last_good);
    for (std::size_t i = 0; i < diagnostics.size(); ++i) {
      auto players = Json::array();
      for (const auto& readings : proof.findings[i].players) {
        Json player;
        for (std::size_t k = 0; k < readings.size(); ++k)
          player[policy.details[k].name] = policy.details[k].scale.write_for_policy(readings[k]);
        players.push_back(std::move(player));
      }
      out[proof.findings[i].refuses() ? "findings" : "remarks"].push_back(found(diagnostics[i], std::move(players)));
    }
    out["left_out"] = proof.left_out;
    print(json_text(out));
    return code;
  }
  // What refuses the policy stands first; remarks only where they were asked for.
  const bool with_remarks = words.has("--remarks") || words.has("--remarks-too");
  const std::vector<Problem> shown(
      diagnostics.begin(),
      with_remarks ? diagnostics.end() : diagnostics.begin() + static_cast<std::ptrdiff_t>(refusing));
  if (!shown.empty()) print(render(shown) + "\n");
  if (proof.left_out > 0) print(fmt::format("{} more of the same kind are left out.\n", proof.left_out));
  const auto several = [](std::size_t count, const char* one, const char* more) {
    return fmt::format("{} {}", count, count == 1 ? one : more);
  };
  std::set<std::pair<const grammar::Source*, std::uint32_t>> lines;  // one of a group makes sure of several pieces
  for (const auto& sure : policy.sures) lines.emplace(sure.span.source, sure.span.begin);
  if (refusing > 0) {
    print(refusal_of(words.plain.front(), refusing));
  } else {
    print(fmt::format("{}, edition {}: proved. Every player gets an answer, and never two, in {} of {}; {}.\n",
                      policy.title, policy.edition, several(policy.properties.size(), "property", "properties"),
                      several(policy.pieces.size(), "piece", "pieces"),
                      several(lines.size(), "make sure line holds", "make sure lines hold")));
  }
  if (remarks > 0 && !with_remarks)
    print(fmt::format("{} beside that; --remarks shows them.\n", several(remarks, "remark", "remarks")));
  print(sealed);
  return code;
}

}  // namespace

const Command& inspect_command() {
  static const Command command = {
      .name = "inspect",
      .gist = "proves that every player gets one answer, or shows who does not",
      .does = "Proves that every player gets an answer, and never two, or shows players for whom that fails.",
      .ways = {{.by = "",
                .written = "POLICY",
                .does = "",
                .least = 1,
                .most = 1,
                .otherwise = "Which policy? Write: lacestay inspect POLICY"}},
      .words = {policy_word()},
      .groups = {{"What is looked for",
                  {{"--remarks", Takes::nothing, "", "shows as well what decides nothing"},
                   {"--remarks-too", Takes::nothing, "", "the same, and its exit code is 1 where there is a remark"}}},
                 {"The last good edition",
                  {{"--seal", Takes::file, "FILE",
                    "keeps the proved policy in one file, which stands for a POLICY anywhere; where the policy is "
                    "refused, FILE is left as it was"}}},
                 {"What comes out", {{"--json", Takes::nothing, "", "what was found, for programs, as JSON"}}}},
      .apart = {},
      .needs = {},
      .example = "lacestay inspect policies/northgate.fitting --remarks",
      .run = run_inspect};
  return command;
}

}  // namespace lacestay::runtime
