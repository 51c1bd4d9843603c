// From the words after the program's name to what is asked for, by the tables of command.hpp.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "runtime/options/command.hpp"

namespace lacestay::runtime {

struct Request {
  const Command* command = nullptr;  // null where none is named
  Words words;                       // of the command
  bool version = false;
  std::optional<std::string> completion;  // the shell
};

// Options may stand in any order among a command's words, and take their value after them or after `=`; after a word
// `--` none is an option. Throws Stop (not_understood) for words that the tables do not have, or that do not go
// together.
[[nodiscard]] Request parse(const Commands& commands, const std::vector<std::string>& words);

// "There is no command 'advize'; try advise.", and how to ask further.
[[noreturn]] void refuse_command(const Commands& commands, const std::string& name);

}  // namespace lacestay::runtime
