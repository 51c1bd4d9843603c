// The program `lacestay`: its commands, their options and their exit codes.
//
// What each command takes is its table (command.hpp). What a person asked for goes to standard output, what went wrong
// to standard error. A file the program writes is written whole or not at all.
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "runtime/command/command.hpp"
#include "runtime/engine/engine.hpp"

namespace lacestay::runtime {

// Documented in README.md.
enum ExitCode : int {
  all_well = 0,
  not_so = 1,          // the policy is refused; an advice has no single answer; a rehearsal fails
  not_understood = 2,  // the command line, or a player's details
  file_trouble = 3,    // a file can't be read or written, or the output was closed
  own_fault = 4,       // lacestay disagrees with itself, or could not go on
};

// Thrown to end a command; what() has been or will be told to standard error.
struct Stop {
  ExitCode code;
  std::string message;
};

// Standard output; throws Stop where it was closed.
void print(std::string_view text);
void print_problem(std::string_view text);  // standard error

// Compiles a policy for use, or loads one that was sealed (sealed_policy.hpp), and proves it. Throws Stop with what is
// wrong.
[[nodiscard]] std::shared_ptr<const Engine> engine_for(const std::string& policy_path);
// The same without the proof, for those who show what the proof finds.
[[nodiscard]] std::shared_ptr<const Engine> unproved_engine_for(const std::string& policy_path);

// "POLICY gives no advice until this is mended."
[[nodiscard]] std::string refusal_of(const std::string& policy_path, std::size_t findings);

// A whole text file; throws Stop. "-" is standard input.
[[nodiscard]] std::string text_from(const std::string& path);
// Writes a whole file, by way of a temporary one beside it; throws Stop.
void write_file(const std::string& path, std::string_view text);

// A day as a person writes it; throws Stop.
[[nodiscard]] std::int64_t day_in(const std::string& text);
// What an option says, in one line without control characters, empty where it is not there; throws Stop.
[[nodiscard]] std::string line_of_text(const Words& words, const std::string& option);

[[nodiscard]] std::int64_t today();
// The day given with --on, or today.
[[nodiscard]] std::int64_t day_for(const Words& words);

// Everything after the program's name.
int run(const std::vector<std::string>& words);

}  // namespace lacestay::runtime
