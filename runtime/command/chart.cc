// lacestay chart
#include <fmt/format.h>

#include <filesystem>

#include "compiler/values/names.hpp"
#include "runtime/advice/json.hpp"
#include "runtime/chart/chart_json.hpp"
#include "runtime/chart/chart_sheets.hpp"
#include "runtime/chart/wall_chart.hpp"
#include "runtime/command/command_line.hpp"
#include "runtime/command/commands.hpp"

namespace lacestay::runtime {

namespace {

// Written as files are that an owner keeps: where one of that name is there, none is written.
int write_sheets(const std::string& policy_path, const std::filesystem::path& folder) {
  const auto engine = unproved_engine_for(policy_path);
  const auto& policy = engine->policy();
  if (policy.origin)
    throw Stop{not_understood,
               fmt::format("Spreadsheets are written from a policy's own text, and '{}' is sealed without "
                           "it.\n  Try: name the file it was sealed from, which was called {}.\n",
                           policy_path, policy.sources.front()->name())};
  const auto sheets = sheets_of(policy);
  const auto path_of = [&](const ChartSheet& sheet) { return (folder / (sheet.chart + ".csv")).string(); };
  const ChartSheet* first = nullptr;  // of those that are written
  for (const auto& sheet : sheets) {
    if (!sheet.stands_in.empty()) continue;
    refuse_to_overwrite(path_of(sheet));
    if (!first) first = &sheet;
  }
  std::error_code error;
  if (first) std::filesystem::create_directories(folder, error);
  if (error) throw Stop{file_trouble, fmt::format("'{}' can't be made: {}.\n", folder.string(), error.message())};
  for (const auto& sheet : sheets) {
    if (!sheet.stands_in.empty()) {
      print(fmt::format("{} stands in {} already.\n", sheet.chart, sheet.stands_in));
      continue;
    }
    write_new_file(path_of(sheet), sheet.csv);
  }
  if (sheets.empty()) print("The policy has no charts.\n");
  if (first)
    print(fmt::format(
        "\nTo let a chart stand in its file: put the file into the policy's folder, take the chart's across, "
        "down\nand rows out of the policy, and name the file in its first line, as in:\n\n  {} from "
        "\"{}.csv\"\n",
        first->head, first->chart));
  return all_well;
}

int run_chart(const Words& words) {
  if (const auto& folder = words.value("--csv")) return write_sheets(words.plain.front(), *folder);
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
                .otherwise = "With --json every table is written: name none."},
               {.by = "--csv",
                .written = "POLICY --csv FOLDER",
                .does = "to keep in a spreadsheet",
                .least = 1,
                .most = 1,
                .otherwise = "With --csv every chart is written: name none."}},
      .words = {policy_word(), {"NAME", Takes::text, "a piece, a property, a chart or a rule of the policy"}},
      .groups = {{"What comes out",
                  {{"--json", Takes::nothing, "", "every table, as JSON"},
                   {"--csv", Takes::folder, "FOLDER",
                    "each chart as a spreadsheet, FOLDER/NAME.csv, which it can stand in"}}}},
      .apart = {{"--csv", {"--json"}, "--json is to read by programs, --csv to keep: ask for one of them."}},
      .needs = {},
      .example = "lacestay chart policies/northgate.fitting flex_chart",
      .run = run_chart};
  return command;
}

}  // namespace lacestay::runtime
