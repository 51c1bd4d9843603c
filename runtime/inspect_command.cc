// lacestay inspect
#include <fmt/format.h>

#include <algorithm>

#include "runtime/advice_json.hpp"
#include "runtime/command_line.hpp"
#include "runtime/findings.hpp"

namespace lacestay::runtime {

int inspect_command(const std::vector<std::string>& given) {
  const auto words = sort_words(given, {{"--json", false}, {"--remarks-too", false}});
  if (words.plain.size() != 1) throw Stop{not_understood, "Which policy? Write: lacestay inspect POLICY\n"};
  const auto engine = unproved_engine_for(words.plain.front());
  const auto proof = compiler::prove(engine->policy());
  const auto diagnostics = told(*engine, proof);
  const auto refusing = static_cast<std::size_t>(std::count_if(proof.findings.begin(), proof.findings.end(),
                                                               [](const auto& finding) { return finding.refuses(); }));
  const auto remarks = diagnostics.size() - refusing;
  const int code = refusing > 0 || (words.has("--remarks-too") && remarks > 0) ? not_so : all_well;
  const auto& policy = engine->policy();
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
          player[policy.details[k].name] = policy.details[k].scale.write(readings[k]);
        one["players"].push_back(std::move(player));
      }
      out[proof.findings[i].refuses() ? "findings" : "remarks"].push_back(std::move(one));
    }
    out["left_out"] = proof.left_out;
    print(json_text(out));
    return code;
  }
  if (!diagnostics.empty()) print(grammar::render(diagnostics) + "\n");
  if (proof.left_out > 0) print(fmt::format("{} more of the same kind are left out.\n", proof.left_out));
  if (refusing > 0)
    print(fmt::format("{}, edition {}: {} {} it from being used.\n", policy.title, policy.edition, refusing,
                      refusing == 1 ? "finding keeps" : "findings keep"));
  else
    print(
        fmt::format("{}, edition {}: proved. Every player gets an answer, and never two, in {} properties and {} "
                    "pieces; {} make sure lines hold.{}\n",
                    policy.title, policy.edition, policy.properties.size(), policy.pieces.size(), policy.sures.size(),
                    remarks == 0 ? "" : fmt::format(" {} {}.", remarks, remarks == 1 ? "remark" : "remarks")));
  return code;
}

}  // namespace lacestay::runtime
