// Other programs, the one under test, and functions of a test, run as processes of their own. Nothing else in tests/
// starts one.
#pragma once

#include <filesystem>
#include <functional>
#include <string>
#include <string_view>
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

// A function in a process of its own: a copy of the test's, with all its memory, that ends with what the function
// returns, or with 99 where it throws (told on standard error). It ends with the test program at the latest. What it
// checks by itself is not counted.
class Forked {
 public:
  // Bytes that come out as `Ran::out`, said at once: they are there whatever becomes of the process later. Once 64 KiB
  // wait to be read, it waits too.
  using Say = std::function<void(std::string_view)>;

  explicit Forked(const std::function<int(const Say&)>& work);
  explicit Forked(const std::function<int()>& work);
  Forked(Forked&& other) noexcept;
  Forked& operator=(Forked&&) = delete;
  ~Forked();  // killed, where nobody waited for it

  // Once each, and one of them: what it said, and how it ended; `killed` ends it (SIGKILL).
  Ran ended();
  Ran killed();

 private:
  int process_ = 0, said_ = -1;
};

}  // namespace lacestay::tests
