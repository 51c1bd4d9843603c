// lacestay chart
#include <fmt/format.h>

#include "compiler/values/names.hpp"
#include "runtime/advice/json.hpp"
#include "runtime/chart/chart_json.hpp"
#include "runtime/chart/wall_chart.hpp"
#include "runtime/command/command_line.hpp"
#include "runtime/command/commands.hpp"

namespace lacestay::runtime {

namespace {

int run_chart(const Words& words) {
  const auto engine = engine_for(words.plain.front());
  const auto& policy = engine->policy();
  if (words.has("--json")) {
    print(json_text(chart_json(policy)));
    return all_well;
  }
  std::vector<std::string> known = {"cautions"}, names;
  for (const auto& piece : policy.pieces) known.push_back(piece.name);
  for (const auto& property : policy.properties)
    known.push_back(policy.pieces[property.piece].name + "_" + property.name);
  for (const auto& detail : policy.worked_out) known.push_back(detail.name);
  for (const auto& rule : policy.rules)
    if (rule.kind != compiler::RuleText::Kind::declaration) known.push_back(rule.name_as_written());
  for (std::size_t i = 1; i < words.plain.size(); ++i) {
    auto name = words.plain[i];
    std::erase(name, ':');  // of "pack: name", as answers show it
    for (char& c : name)
      if (c == ' ' || c == '.') c = '_';
    if (std::find(known.begin(), known.end(), name) == known.end()) {
      const auto near = compiler::nearest_name(name, known);
      throw Stop{not_understood, fmt::format("The policy has no piece, property, chart or rule called '{}'{}.\n",
                                             words.plain[i], near.empty() ? "" : "; try " + near)};
    }
    names.push_back(std::move(name));
  }
  print(text_of(policy, wall_tables(policy, names)) + (names.empty() ? text_of_nobody(policy) : ""));
  return all_well;
}

}  // namespace

const Command& chart_command() {
  static const Command command = {
      .name = "chart",
      .gist = "the policy's tables, as they would hang on the wall",
      .does = "Shows the policy's tables as wall charts: all of them, or those you name.",
      .ways = {{.by = "",
                .written = "POLICY [NAME ...]",
                .does = "to read",
                .least = 1,
                .most = any_number,
                .otherwise = "Which policy? Write: lacestay chart POLICY"},
               {.by = "--json",
                .written = "POLICY --json",
                .does = "for programs",
                .least = 1,
                .most = 1,
                .otherwise = "With --json every table is written: name none."}},
      .words = {policy_word(), {"NAME", Takes::text, "a piece, a property, a chart or a rule of the policy"}},
      .groups = {{"What comes out", {{"--json", Takes::nothing, "", "every table, as JSON"}}}},
      .apart = {},
      .needs = {},
      .example = "lacestay chart policies/northgate.fitting flex_chart",
      .run = run_chart};
  return command;
}

}  // namespace lacestay::runtime
