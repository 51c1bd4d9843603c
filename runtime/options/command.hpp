// What a command declares, once: how it is written, the words and options it takes, what goes together, and an example.
// The same table is what the words are parsed by (parse.hpp), what --help shows (help.hpp) and what a shell completes
// (completion.hpp). Which commands there are, each of these is told by a list of them.
#pragma once

#include <cstddef>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace lacestay::runtime {

// What stands after an option, or in a word's place: what a shell can complete there.
enum class Takes {
  nothing,
  text,
  file,
  folder,
  player_name,  // a player of the file that --from names, where it is given
};

struct Option {
  std::string name;  // "--on"
  Takes takes = Takes::nothing;
  std::string value;  // what help calls its value: "DATE"; empty where it takes none
  std::string help;
};

// Options that are shown together.
struct OptionGroup {
  std::string heading;
  std::vector<Option> options;
};

// A word that is no option. The last one declared stands for all that follow.
struct Word {
  std::string name;
  Takes takes = Takes::text;
  std::string help;
};

// One way to write a command. A run is of the way whose option is given; else of the first without one that takes so
// many words; else of the first.
struct Way {
  std::string by;                   // the option that asks for it; empty: none does
  std::string written;              // what stands after the command's name, for help
  std::string does;                 // for help, where a command has several ways
  std::size_t least = 0, most = 0;  // how many words it takes
  std::string otherwise;            // what is said where they are fewer or more
  // The options it takes beside its own, where it does not take all; and what "--csv does not go with ..." then ends
  // with. Where that is empty, `otherwise` is said.
  std::optional<std::vector<std::string>> takes = std::nullopt;
  std::string doing = {};
};

inline constexpr std::size_t any_number = 1u << 20;

// Options that do not go together, and what is said of it.
struct Apart {
  std::string option;
  std::vector<std::string> others;
  std::string message;
};

// An option that is of no use without another; an empty one stands for every run.
struct Needs {
  std::string option, other, message;
};

// The words of a command, sorted into the options and the rest as its table says.
struct Words {
  std::vector<std::string> plain;
  // Every option the table has: what stands after it, empty for one that takes no value; nothing where it is not given.
  std::map<std::string, std::optional<std::string>> options;

  // Both throw std::logic_error for an option that the command does not declare.
  [[nodiscard]] bool has(const std::string& option) const { return value(option).has_value(); }
  [[nodiscard]] const std::optional<std::string>& value(const std::string& option) const;
};

struct Command {
  std::string name;
  std::string gist;  // one line, for the list of commands
  std::string does;  // more of it, for its own help
  std::vector<Way> ways;
  std::vector<Word> words;
  std::vector<OptionGroup> groups;
  std::vector<Apart> apart;
  std::vector<Needs> needs;
  std::string example;             // as it is typed in the checkout
  int (*run)(const Words& words);  // returns an exit code; throws Stop
};

// A program's commands, in the order they are listed; none is null. The first is the one to begin with.
using Commands = std::vector<const Command*>;
// Null where none is called so.
[[nodiscard]] const Command* command_called(const Commands& commands, const std::string& name);

// Two lists, one after the other.
template <typename Each>
[[nodiscard]] std::vector<Each> joined(std::vector<Each> first, const std::vector<Each>& then) {
  first.insert(first.end(), then.begin(), then.end());
  return first;
}

// A command's options, one list of all groups; the program's own, which stand before any command.
[[nodiscard]] std::vector<Option> options_of(const Command& command);
[[nodiscard]] const std::vector<Option>& program_options();
[[nodiscard]] const Option& help_option();  // which every command takes

}  // namespace lacestay::runtime
