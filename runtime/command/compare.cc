// lacestay compare
#include <fmt/format.h>

#include "grammar/text/plain_text.hpp"
#include "runtime/advice/json.hpp"
#include "runtime/command/command_line.hpp"
#include "runtime/command/commands.hpp"
#include "runtime/compare/comparison.hpp"
#include "runtime/compare/html.hpp"
#include "runtime/compare/json.hpp"
#include "runtime/compare/text.hpp"

namespace lacestay::runtime {
namespace {

People people_from(const std::string& path) {
  auto text = text_from(path);
  grammar::Diagnostics problems;
  if (auto refused = grammar::refuse_text(text)) {
    refused->message = path + ": " + refused->message;
    throw Stop{not_understood, std::move(*refused)};
  }
  auto people = read_people(path, std::move(text), problems);
  // The rows that were read are compared; what could not be is told beside.
  if (!problems.empty()) print_problem(render(problems.sorted()) + "\n");
  return people;
}

int run_compare(const Words& words) {
  const auto earlier = unproved_engine_for(words.plain[0]), later = unproved_engine_for(words.plain[1]);
  const auto difference = compiler::differences(earlier->policy(), later->policy());
  auto comparison = comparison_of(*earlier, *later, difference);
  comparison.earlier.file = words.plain[0];
  comparison.later.file = words.plain[1];
  if (const auto path = words.value("--people"))
    comparison.people = compare_people(*earlier, *later, difference, people_from(*path));
  if (const auto page = words.value("--html")) {
    write_file(*page, page_of(comparison, difference));
    print(fmt::format("{} is written.\n", *page));
    return comparison.any() ? not_so : all_well;
  }
  print(words.has("--json") ? json_text(json_of(comparison)) : text_of(comparison));
  return comparison.any() ? not_so : all_well;
}

}  // namespace

const Command& compare_command() {
  static const Command command = {
      .name = "compare",
      .gist = "for whom two editions of a policy answer otherwise, and why",
      .does =
          "Says for whom two editions of a policy answer otherwise, exactly, with both reasons, and what else is "
          "different.",
      .ways = {{.by = "",
                .written = "OLD NEW",
                .does = "",
                .least = 2,
                .most = 2,
                .otherwise = "Which two editions? Write: lacestay compare OLD NEW"}},
      .words = {{"OLD", Takes::file, "the edition before"}, {"NEW", Takes::file, "the edition to hold beside it"}},
      .groups = {{"Whom it changes",
                  {{"--people", Takes::file, "FILE",
                    "how many of these people, and which (CSV with a heading, or a JSON object a line)"}}},
                 {"What comes out",
                  {{"--html", Takes::file, "FILE",
                    "a page to print, with the changes on the wall charts and drawn as maps"},
                   {"--json", Takes::nothing, "", "the comparison for programs, as JSON"}}}},
      .apart = {{"--json", {"--html"}, "A comparison is written either as --json or as --html."}},
      .needs = {},
      .example = "lacestay compare policies/northgate_edition_3.fitting policies/northgate.fitting",
      .run = run_compare};
  return command;
}

}  // namespace lacestay::runtime
