// lacestay advise
#include <fmt/format.h>

#include <fstream>
#include <iostream>

#include "grammar/text/plain_text.hpp"
#include "runtime/advice/html.hpp"
#include "runtime/advice/json.hpp"
#include "runtime/advice/text.hpp"
#include "runtime/base/json_parts.hpp"
#include "runtime/command/asked_players.hpp"
#include "runtime/command/command_line.hpp"
#include "runtime/command/commands.hpp"
#include "runtime/command/daybook.hpp"
#include "runtime/options/values.hpp"
#include "runtime/reopen/by_hand.hpp"

namespace lacestay::runtime {
namespace {

// The longest line of a player's details.
constexpr std::size_t longest_line = 1u << 20;

// The next line, without its end. Of one that is too long, just enough is kept to tell.
bool next_line(std::istream& in, std::string& line) {
  line.clear();
  int byte = in.get();
  if (byte == std::char_traits<char>::eof()) return false;
  for (; byte != std::char_traits<char>::eof() && byte != '\n'; byte = in.get())
    if (line.size() <= longest_line) line += static_cast<char>(byte);
  if (!line.empty() && line.back() == '\r') line.pop_back();
  return true;
}

// One line in, one line out, in order; a bad line is answered with what is wrong with it, and the rest go on.
int advise_many(const Engine& engine, const std::string& path, std::int64_t day, Recording& recording) {
  std::ifstream file;
  if (path != "-") {
    file.open(path, std::ios::binary);
    if (!file) throw Stop{file_trouble, fmt::format("'{}' can't be read: it may not be opened.\n", path)};
  }
  std::istream& in = path == "-" ? std::cin : file;
  int code = all_well;
  std::string line;
  for (std::size_t number = 1; next_line(in, line); ++number) {
    if (line.empty()) continue;
    grammar::Diagnostics problems;
    if (line.size() > longest_line)
      problems.add("limits-6", {}, "The line is longer than 1 MiB.", "put one player on each line");
    else if (auto refused = grammar::refuse_text(line))
      problems.add(std::move(*refused));
    const auto player = problems.empty() ? player_from_json(engine.policy(), line, problems) : std::nullopt;
    nlohmann::ordered_json out;
    out["line"] = number;
    if (player) {
      auto advice = advise(engine, *player, day);
      recording.record(*player, advice);
      if (advice.faults > 0) code = std::max<int>(code, not_so);
      out["advice"] = json_of(advice);
    } else {
      code = not_understood;
      for (const auto& problem : problems.sorted()) {
        out["problems"].push_back(json_of(problem));
        print_problem(fmt::format("line {}: {}: {}\n", number, problem.code, problem.message));
      }
    }
    print(compact_text(out) + "\n");
  }
  if (in.bad()) throw Stop{file_trouble, fmt::format("'{}' could not be read to its end.\n", path)};
  return code;
}

// The policy has nobody like that, and a fitter fits the player all the same.
int record_by_hand(const Engine& engine, const Words& words, std::int64_t day) {
  FittedByHand fitted;
  fitted.what = line_of_text(words, "--by-hand");
  fitted.by = line_of_text(words, "--by");
  fitted.why = line_of_text(words, "--why");
  if (fitted.what.empty() || fitted.by.empty() || fitted.why.empty())
    throw Stop{not_understood,
               "Say what, by whom and why: --by-hand \"boots size 3, helmet small\" --by NAME --why \"...\"\n"};
  const auto& policy = engine.policy();
  const auto nobody = nobody_like(policy, words);
  if (const auto named = pieces_named(policy, fitted.what); !named)
    throw Stop{not_understood, fmt::format("Nothing is recorded: {}.\n", named.problem().message)};
  Recording recording(words, policy, day);
  if (!recording.on()) throw Stop{not_understood, "--by-hand is for the daybook: name one with --daybook FILE.\n"};
  static_cast<KeptPlayer&>(fitted) = kept_player(policy, nobody.player);
  fitted.nobody = nobody.sentences;
  const auto made = recording.record(fitted);
  print(fmt::format("Entry {} records who was fitted by hand.\n\n{}", made.number, text_of(fitted)));
  return all_well;
}

int run_advise(const Words& words) {
  const auto day = day_for(words);
  const auto engine = engine_for(words.plain.front());
  if (words.has("--by-hand")) return record_by_hand(*engine, words, day);
  if (const auto path = words.value("--many")) {
    Recording recording(words, engine->policy(), day);
    return advise_many(*engine, *path, day, recording);
  }
  const auto asked = asked_players(engine->policy(), words);
  if (words.has("--html") && asked.size() > 1) throw Stop{not_understood, "A page holds one player: name one.\n"};
  Recording recording(words, engine->policy(), day);
  int code = all_well;
  for (std::size_t i = 0; i < asked.size(); ++i) {
    auto advice = advise(*engine, asked[i].player, day);
    recording.record(asked[i].player, advice);
    if (advice.faults > 0) code = not_so;
    if (const auto page = words.value("--html")) {
      write_file(*page, page_of(advice));
      print(fmt::format("{} is written.\n", *page));
    } else if (words.has("--json")) {
      print(json_text(json_of(advice)));
    } else {
      if (i > 0) print("\n" + std::string(60, '-') + "\n\n");
      if (!asked[i].name.empty()) print(asked[i].name + "\n\n");
      print(text_of(advice));
    }
  }
  return code;
}

}  // namespace

const Command& advise_command() {
  static const std::string which = "Which policy? Write: lacestay advise POLICY DETAIL=VALUE ...";
  static const std::string one_source = "Players come from one of --player, --from and --many.";
  static const std::string by_line = "With --many, everything about a player stands on his line.";
  static const Command command = {
      .name = "advise",
      .gist = "what a player should leave with, and why",
      .does =
          "Says what a player should leave with, and the reason for every line. What you leave out is treated as "
          "not known yet, and the advice says what to take next.",
      .ways = {{.by = "",
                .written = "POLICY DETAIL=VALUE ...",
                .does = "a player, as told here",
                .least = 1,
                .most = any_number,
                .otherwise = which},
               {.by = "--from",
                .written = "POLICY --from FILE.players NAME ...",
                .does = "sample players, by name",
                .least = 1,
                .most = any_number,
                .otherwise = which},
               {.by = "--player",
                .written = "POLICY --player FILE.json",
                .does = "a player, as a file has it",
                .least = 1,
                .most = any_number,
                .otherwise = which},
               {.by = "--many",
                .written = "POLICY --many FILE",
                .does = "many players, a line each",
                .least = 1,
                .most = 1,
                .otherwise = by_line},
               {.by = "--by-hand",
                .written = "POLICY DETAIL=VALUE ... --by-hand WHAT --by NAME --why TEXT",
                .does = "records how a fitter fitted a player whom the policy has nobody like",
                .least = 2,
                .most = any_number,
                .otherwise = "--by-hand wants the details that were told: lacestay advise POLICY DETAIL=VALUE ...",
                .takes = {{"--by", "--why", "--owns", "--daybook", "--on"}},
                .doing = "--by-hand"}},
      .words = player_words(),
      .groups = {{"Who it is for", joined(player_options(), {{"--many", Takes::file, "FILE",
                                                              "one player a line in, one advice a line out (JSON); - "
                                                              "is standard input"}})},
                 {"What comes out",
                  {{"--json", Takes::nothing, "", "the advice for programs, as JSON"},
                   {"--html", Takes::file, "FILE", "a page to print, for one player"},
                   {"--on", Takes::text, "DATE", "the advice of that day, not of today"}}},
                 recording_options(),
                 {"A player whom the policy has nobody like",
                  {{"--by-hand", Takes::text, "WHAT", "what a fitter gave, such as \"boots size 3, helmet small\""},
                   {"--by", Takes::text, "NAME", "who answers for it"},
                   {"--why", Takes::text, "TEXT", "and why"}}}},
      .apart = {{"--player", {"--from", "--many"}, one_source},
                {"--from", {"--many"}, one_source},
                {"--json", {"--html"}, "An advice is written either as --json or as --html."},
                {"--many", {"--html", "--owns"}, by_line}},
      .needs = {{"--by", "--by-hand", "--by goes with --by-hand."},
                {"--why", "--by-hand", "--why goes with --by-hand."}},
      .example = "lacestay advise policies/northgate.fitting --from policies/saturday.players saturday_beginner",
      .run = run_advise};
  return command;
}

}  // namespace lacestay::runtime
