#include <csignal>

#include "runtime/command/command_line.hpp"

int main(int count, char** words) {
  std::signal(SIGPIPE, SIG_IGN);  // a closed output is told, with an exit code, like any other file trouble
  return lacestay::runtime::run(count, words);
}
