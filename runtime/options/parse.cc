// Parsing by CLI11. It sorts the words; what is said of wrong ones is said here, in the program's own words, and no
// text of the library's reaches anybody. This is the one file that includes it: its headers take seconds to compile.
#include "runtime/options/parse.hpp"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>

#include "compiler/values/names.hpp"
#include "runtime/options/stop.hpp"

namespace lacestay::runtime {
namespace {

// The options of one table, declared to the library.
class Declared {
 public:
  Declared(CLI::App& app, const std::vector<Option>& options) {
    for (const auto& option : options)
      options_.emplace_back(option,
                            option.takes == Takes::nothing
                                ? app.add_flag(option.name)
                                : app.add_option(option.name)->multi_option_policy(CLI::MultiOptionPolicy::TakeAll));
  }

  // What was given of them, as Words has it.
  [[nodiscard]] std::map<std::string, std::optional<std::string>> given() const {
    std::map<std::string, std::optional<std::string>> all;
    for (const auto& [option, parsed] : options_) {
      auto& value = all[option.name];
      const auto& results = parsed->results();
      if (results.empty()) continue;
      const bool flag = option.takes == Takes::nothing;
      if (flag && results.front() != "true")  // what the library writes for one that stands alone
        throw Stop{not_understood, fmt::format("The option {} takes no value.\n", option.name)};
      if (results.size() > 1) throw Stop{not_understood, fmt::format("The option {} is given twice.\n", option.name)};
      value = flag ? "" : results.front();
    }
    return all;
  }

 private:
  std::vector<std::pair<Option, const CLI::Option*>> options_;
};

// A command's table, declared to the library.
struct DeclaredCommand {
  const Command& command;
  CLI::App& app;
  Declared options;
  const CLI::Option& plain;

  // The words that are no options are one list that takes as many as there are. (A list without an end would take
  // "[a,b]" apart.)
  DeclaredCommand(CLI::App& program, const Command& declared, int most_words)
      : command(declared),
        app(*program.add_subcommand(declared.name)),
        options(app, options_of(declared)),
        plain(*app.add_option("words")->expected(most_words)->multi_option_policy(CLI::MultiOptionPolicy::TakeAll)) {}
};

// The library takes the next word as the value where nothing stands after `=`; what is meant is an empty one.
std::vector<std::string> with_empty_values_apart(const std::vector<std::string>& words) {
  std::vector<std::string> out;
  for (const auto& word : words) {
    if (word.size() > 3 && word.compare(0, 2, "--") == 0 && word.find('=') == word.size() - 1) {
      out.push_back(word.substr(0, word.size() - 1));
      out.emplace_back();
    } else {
      out.push_back(word);
    }
  }
  return out;
}

// `words` begins with an option that the table does not have, if it has any but the mark that ends the options.
void refuse_unknown_option(const std::vector<std::string>& words, std::vector<Option> options, const std::string& ask) {
  const auto unknown = std::find_if(words.begin(), words.end(), [](const auto& word) { return word != "--"; });
  if (unknown == words.end()) return;
  const auto name = unknown->substr(0, unknown->find('='));
  std::vector<std::string> names;
  for (const auto& option : options) names.push_back(option.name);
  const auto near = compiler::nearest_name(name, names);
  throw Stop{not_understood,
             fmt::format("There is no option {}{}.\n{}\n", name, near.empty() ? "" : "; try " + near, ask)};
}

constexpr const char* ask_for_commands = "lacestay --help lists the commands.";

// The way a run is of, see Way.
const Way& way_of(const Command& command, const Words& words) {
  for (const auto& way : command.ways)
    if (!way.by.empty() && words.has(way.by)) return way;
  for (const auto& way : command.ways)
    if (way.by.empty() && words.plain.size() >= way.least && words.plain.size() <= way.most) return way;
  return command.ways.front();
}

// Everything that is given is of use to what is asked for, or refused: nothing is passed over in silence.
void demand_fitting_words(const Command& command, const Words& words) {
  const auto refuse = [](const std::string& message) { throw Stop{not_understood, message + "\n"}; };
  const auto count = words.plain.size();
  const auto& ways = command.ways;
  if (std::all_of(ways.begin(), ways.end(), [&](const Way& way) { return count < way.least; }) ||
      std::all_of(ways.begin(), ways.end(), [&](const Way& way) { return count > way.most; }))
    refuse(ways.front().otherwise);
  const auto& way = way_of(command, words);
  if (way.takes)
    for (const auto& [option, value] : words.options)
      if (value && option != way.by && std::find(way.takes->begin(), way.takes->end(), option) == way.takes->end())
        refuse(way.doing.empty() ? way.otherwise : fmt::format("{} does not go with {}.", option, way.doing));
  for (const auto& [option, others, message] : command.apart)
    if (words.has(option) &&
        std::any_of(others.begin(), others.end(), [&](const auto& other) { return words.has(other); }))
      refuse(message);
  if (count < way.least || count > way.most) refuse(way.otherwise);
  for (const auto& [option, other, message] : command.needs)
    if ((option.empty() || words.has(option)) && !words.has(other)) refuse(message);
}

}  // namespace

void refuse_command(const Commands& commands, const std::string& name) {
  std::vector<std::string> names;
  for (const auto* command : commands) names.push_back(command->name);
  const auto near = compiler::nearest_name(name, names);
  throw Stop{not_understood, fmt::format("There is no command '{}'{}.\n{}\n", name, near.empty() ? "" : "; try " + near,
                                         ask_for_commands)};
}

Request parse(const Commands& commands, const std::vector<std::string>& given_words) {
  const auto words = with_empty_values_apart(given_words);
  CLI::App program;
  program.set_help_flag();           // help is asked for in any place, see run()
  program.allow_extras();            // unknown words are refused below
  program.require_subcommand(0, 1);  // so that one command's name may be a word of another's
  const Declared own(program, program_options());
  std::vector<DeclaredCommand> declared;
  for (const auto* command : commands) declared.emplace_back(program, *command, static_cast<int>(words.size()) + 1);
  try {
    program.parse(std::vector<std::string>(words.rbegin(), words.rend()));
  } catch (const CLI::ParseError&) {  // all that it can find: there is no word left for the last one's value
    throw Stop{not_understood, fmt::format("The option {} wants a value after it.\n", words.back())};
  }
  if (const auto rest = program.remaining(); !rest.empty() && rest.front().compare(0, 1, "-") != 0)
    refuse_command(commands, rest.front());
  else
    refuse_unknown_option(rest, program_options(), ask_for_commands);
  Request request;
  const auto asked = own.given();
  request.version = asked.at("--version").has_value();
  request.completion = asked.at("--completion");
  for (const auto& each : declared) {
    if (!each.app.parsed()) continue;
    const auto& command = *(request.command = &each.command);
    auto options = options_of(command);
    options.push_back(help_option());
    refuse_unknown_option(each.app.remaining(), std::move(options),
                          fmt::format("lacestay {} --help shows its options.", command.name));
    request.words = {each.plain.results(), each.options.given()};
    demand_fitting_words(command, request.words);
  }
  return request;
}

}  // namespace lacestay::runtime
