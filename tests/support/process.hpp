// Other programs, and the one under test, run as processes of their own.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

namespace lacestay::tests {

struct Ran {
  int code = -1;   // -1: it ended by a signal
  int signal = 0;  // that signal
  std::string out, err;
};

struct Way {
  std::string input = {};                        // its standard input
  std::size_t read_at_most = std::string::npos;  // of its standard output; then the pipe is closed
  std::filesystem::path folder = {};             // in which it is run; the test's own where this is empty
  std::vector<std::string> environment = {};     // "NAME=value", beside and before the test's own
};

// The program (found as a shell finds it) and its words, as they are: no shell reads them. One that is silent for five
// minutes is ended, and fails the test case; so does one that can't be run.
[[nodiscard]] Ran run_program(const std::vector<std::string>& words, const Way& way = {});
// A line for `sh`.
[[nodiscard]] Ran run_shell(const std::string& line, const Way& way = {});

// Whether a program of that name is found.
[[nodiscard]] bool installed(const std::string& name);

}  // namespace lacestay::tests
