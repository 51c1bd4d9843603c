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

#include "grammar/text/error.hpp"
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

// Thrown to end a command with this exit code; `run` tells the problem to standard error. An Error that is no Stop ends
// a command too: `run` knows the exit code by the problem's code.
class Stop : public Error {
 public:
  Stop(ExitCode code, Problem problem) : Error(std::move(problem)), code_(code) {}
  // A text as it is to be told, of one line or several; a line end after the last is not needed.
  Stop(ExitCode code, std::string told);

  [[nodiscard]] ExitCode code() const noexcept { return code_; }

 private:
  ExitCode code_;
};

// Standard output; throws Stop where it was closed.
void print(std::string_view text);
void print_problem(std::string_view text);  // standard error

// Compiles a policy for use, or loads one that was sealed (sealed_policy.hpp), and proves it. Throws Stop with what is
// wrong.
[[nodiscard]] std::shared_ptr<const Engine> engine_for(const std::string& policy_path);
// The same without the proof, for those who show what the proof finds.
[[nodiscard]] std::shared_ptr<const Engine> unproved_engine_for(const std::string& policy_path);

// Of an Error that is no Stop: the daybook's and the stock's are about files, others the program's own fault.
[[nodiscard]] ExitCode exit_code_of(const Problem& problem);

// "POLICY gives no advice until this is mended."
[[nodiscard]] std::string refusal_of(const std::string& policy_path, std::size_t findings);

// A whole text file; throws Stop. "-" is standard input.
[[nodiscard]] std::string text_from(const std::string& path);
// Writes a whole file, by way of a temporary one beside it, which is on the disk before it takes the place of what was
// there; throws Stop.
void write_file(const std::string& path, std::string_view text);

// A day as a person writes it; throws Stop.
[[nodiscard]] std::int64_t day_in(const std::string& text);
// What an option says, in one line without control characters, empty where it is not there; throws Stop.
[[nodiscard]] std::string line_of_text(const Words& words, const std::string& option);

[[nodiscard]] std::int64_t today();
// The day given with --on, or today.
[[nodiscard]] std::int64_t day_for(const Words& words);

// The program, with what `main` is given; its exit code. Whatever is thrown on the way, memory that is not to be had
// included, is told to standard error and has an exit code.
int run(int count, const char* const* words) noexcept;

}  // namespace lacestay::runtime
