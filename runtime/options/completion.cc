#include "runtime/options/completion.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include "runtime/options/stop.hpp"

namespace lacestay::runtime {
namespace {

// What is done with the tables before it. bash hands over `--on=2026` in three words, so an `=` is passed over.
constexpr const char* looking_up = R"bash(
_lacestay() {
  local typed=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD-1]} command=${COMP_WORDS[1]}
  local plain=0 from= option takes i
  COMPREPLY=()
  if [ "$typed" = "=" ]; then
    typed=
  elif [ "$before" = "=" ]; then
    before=${COMP_WORDS[COMP_CWORD-2]}
  fi
  if [ "$COMP_CWORD" -eq 1 ]; then
    takes="words $(_lacestay_commands)"
    case "$typed" in -*) takes="words $(_lacestay_options "")" ;; esac
  else
    for ((i = 2; i < COMP_CWORD; ++i)); do
      option=${COMP_WORDS[i]}
      case "$option" in
        --*)
          [ -n "$(_lacestay_takes "$command" "$option")" ] || continue
          [ "${COMP_WORDS[i+1]}" != "=" ] || ((++i))
          ((++i))
          [ "$option" != --from ] || from=${COMP_WORDS[i]//\\/} ;;  # as typed, blanks behind a backslash
        *) ((++plain)) ;;
      esac
    done
    case "$before" in --*) takes=$(_lacestay_takes "$command" "$before") ;; esac
    if [ -z "$takes" ]; then
      takes=$(_lacestay_takes "$command" "$plain")
      case "$typed" in -*) takes="words $(_lacestay_options "$command")" ;; esac
    fi
  fi
  from=${from/#\~\//$HOME/}
  case "$takes" in
    file) compopt -o default ;;  # bash's own, which knows blanks, quotes and ~
    folder) compopt -o dirnames ;;
    player_name)
      [ ! -f "$from" ] ||
        mapfile -t COMPREPLY < <(compgen -W "$(sed -nE 's/^player +([A-Za-z0-9_]+).*/\1/p' "$from")" -- "$typed") ;;
    words*) mapfile -t COMPREPLY < <(compgen -W "${takes#words}" -- "$typed") ;;
  esac
}
complete -F _lacestay lacestay
)bash";

const char* name_of(Takes takes) {
  switch (takes) {
    case Takes::nothing: return "";
    case Takes::text: return "text";
    case Takes::file: return "file";
    case Takes::folder: return "folder";
    case Takes::player_name: return "player_name";
  }
  return "";
}

std::vector<std::string> names_of(const std::vector<Option>& options) {
  std::vector<std::string> names;
  for (const auto& option : options) names.push_back(option.name);
  return names;
}

}  // namespace

std::string completion_for(const Commands& commands, const std::string& shell) {
  if (shell != "bash")
    throw Stop{not_understood,
               fmt::format("'{}' is no shell that is known here; there is: lacestay --completion bash\n", shell)};
  std::vector<std::string> names;
  std::string options, takes;
  const auto add_option = [&](const std::string& command, const Option& option) {
    if (option.takes != Takes::nothing)
      takes += fmt::format("    \"{} {}\") echo {} ;;\n", command, option.name, name_of(option.takes));
  };
  for (const auto* command : commands) {
    names.push_back(command->name);
    const auto own = joined(options_of(*command), {help_option()});
    options += fmt::format("    {}) echo \"{}\" ;;\n", command->name, fmt::join(names_of(own), " "));
    for (const auto& option : own) add_option(command->name, option);
    // The last word declared stands for all that follow.
    for (std::size_t i = 0; i < command->words.size(); ++i)
      takes += fmt::format("    \"{} \"{}) echo {} ;;\n", command->name,
                           i + 1 < command->words.size() ? fmt::format("{}", i) : "[0-9]*",
                           name_of(command->words[i].takes));
  }
  return fmt::format(
             "# Completes what is typed after lacestay. For this shell and those to come:\n"
             "#   source <(lacestay --completion bash)        and the same line in ~/.bashrc\n"
             "_lacestay_commands() {{ echo \"{}\"; }}\n"
             "_lacestay_options() {{\n  case \"$1\" in\n    \"\") echo \"{}\" ;;\n{}  esac\n}}\n"
             "# What stands after an option of a command, or as its first word (0), its second (1) and so on.\n"
             "_lacestay_takes() {{\n  case \"$1 $2\" in\n{}  esac\n}}\n",
             fmt::join(names, " "), fmt::join(names_of(program_options()), " "), options, takes) +
         looking_up;
}

}  // namespace lacestay::runtime
