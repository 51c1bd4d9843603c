// lacestay inspect
#include <fmt/format.h>

#include <algorithm>

#include "runtime/advice/json.hpp"
#include "runtime/chart/findings.hpp"
#include "runtime/command/command_line.hpp"
#include "runtime/command/last_good.hpp"

namespace lacestay::runtime {

namespace {

// The policy's engine; where it is refused, the message says as well what the file for the last good edition holds.
std::shared_ptr<const Engine> engine_or_last_good(const std::string& path, const std::optional<LastGood>& last_good) {
  try {
    return unproved_engine_for(path);
  } catch (Stop& stop) {
    if (last_good) stop.message += last_good->left();
    throw;
  }
}

}  // namespace

int inspect_command(const std::vector<std::string>& given) {
  const auto words =
      sort_words(given, {{"--json", false}, {"--remarks", false}, {"--remarks-too", false}, {"--seal", true}});
  if (words.plain.size() != 1) throw Stop{not_understood, "Which policy? Write: lacestay inspect POLICY\n"};
  std::optional<LastGood> last_good;
  if (const auto path = words.value("--seal")) last_good.emplace(*path);
  const auto engine = engine_or_last_good(words.plain.front(), last_good);
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
    nlohmann::ordered_json out = {
        {"format", 1}, {"policy", policy.title}, {"edition", policy.edition}, {"proved", refusing == 0}};
    for (const auto* kind : {"findings", "remarks"}) out[kind] = nlohmann::ordered_json::array();
    for (std::size_t i = 0; i < diagnostics.size(); ++i) {
      auto one = json_of(diagnostics[i]);
      one["players"] = nlohmann::ordered_json::array();
      for (const auto& readings : proof.findings[i].players) {
        nlohmann::ordered_json player;
        for (std::size_t k = 0; k < readings.size(); ++k)
          player[policy.details[k].name] = policy.details[k].scale.write_exactly(readings[k]);
        one["players"].push_back(std::move(player));
      }
      out[proof.findings[i].refuses() ? "findings" : "remarks"].push_back(std::move(one));
    }
    out["left_out"] = proof.left_out;
    out["sealed"] = last_good ? last_good->json() : nlohmann::ordered_json(nullptr);
    print(json_text(out));
    return code;
  }
  // What refuses the policy stands first; remarks only where they were asked for.
  const bool with_remarks = words.has("--remarks") || words.has("--remarks-too");
  const std::vector<grammar::Diagnostic> shown(
      diagnostics.begin(),
      with_remarks ? diagnostics.end() : diagnostics.begin() + static_cast<std::ptrdiff_t>(refusing));
  if (!shown.empty()) print(grammar::render(shown) + "\n");
  if (proof.left_out > 0) print(fmt::format("{} more of the same kind are left out.\n", proof.left_out));
  const auto several = [](std::size_t count, const char* one, const char* more) {
    return fmt::format("{} {}", count, count == 1 ? one : more);
  };
  if (refusing > 0) {
    print(refusal_of(words.plain.front(), refusing));
  } else {
    print(fmt::format("{}, edition {}: proved. Every player gets an answer, and never two, in {} of {}; {} hold.\n",
                      policy.title, policy.edition, several(policy.properties.size(), "property", "properties"),
                      several(policy.pieces.size(), "piece", "pieces"),
                      several(policy.sures.size(), "make sure line", "make sure lines")));
  }
  if (remarks > 0 && !with_remarks)
    print(fmt::format("{} beside that; --remarks shows them.\n", several(remarks, "remark", "remarks")));
  print(sealed);
  return code;
}

}  // namespace lacestay::runtime
