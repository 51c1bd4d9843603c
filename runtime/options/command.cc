#include "runtime/options/command.hpp"

#include <algorithm>
#include <stdexcept>

namespace lacestay::runtime {

const std::optional<std::string>& Words::value(const std::string& option) const {
  const auto found = options.find(option);
  if (found == options.end()) throw std::logic_error("the command declares no option " + option);
  return found->second;
}

const Command* command_called(const Commands& commands, const std::string& name) {
  const auto found =
      std::find_if(commands.begin(), commands.end(), [&](const auto* command) { return command->name == name; });
  return found == commands.end() ? nullptr : *found;
}

std::vector<Option> options_of(const Command& command) {
  std::vector<Option> all;
  for (const auto& group : command.groups) all.insert(all.end(), group.options.begin(), group.options.end());
  return all;
}

const std::vector<Option>& program_options() {
  static const std::vector<Option> options = {
      help_option(),
      {"--version", Takes::nothing, "", "which lacestay this is"},
      {"--completion", Takes::text, "bash",
       "a script by which bash completes what you type: source <(lacestay --completion bash)"}};
  return options;
}

const Option& help_option() {
  static const Option option = {"--help", Takes::nothing, "", "this help"};
  return option;
}

}  // namespace lacestay::runtime
