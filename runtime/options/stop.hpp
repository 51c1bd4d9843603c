// How a command ends: its exit code, and what ends one early.
#pragma once

#include <string>
#include <utility>

#include "grammar/text/error.hpp"

namespace lacestay::runtime {

// Documented in README.md.
enum ExitCode : int {
  all_well = 0,
  not_so = 1,          // the policy is refused; an advice has no single answer; a rehearsal fails
  not_understood = 2,  // the command line, or a player's details
  file_trouble = 3,    // a file can't be read or written, or the output was closed
  own_fault = 4,       // lacestay disagrees with itself, or could not go on
};

// Thrown to end a command with this exit code; its problem is then told to standard error.
class Stop : public Error {
 public:
  Stop(ExitCode code, Problem problem) : Error(std::move(problem)), code_(code) {}
  // A text as it is to be told, of one line or several; a line end after the last is not needed.
  Stop(ExitCode code, std::string told);

  [[nodiscard]] ExitCode code() const noexcept { return code_; }

 private:
  ExitCode code_;
};

}  // namespace lacestay::runtime
