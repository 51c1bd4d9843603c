#include "tests/support/program_folder.hpp"

#include <catch2/catch.hpp>

#include "tests/support/places.hpp"

namespace lacestay::tests {

Ran ProgramFolder::run(const std::string& words, const std::string& environment) const {
  return run_shell(environment + " '" + program() + "' " + words, {.folder = folder()});
}

std::string ProgramFolder::said(const std::string& words) const {
  const auto ran = run(words);
  INFO(words);
  CHECK(ran.err == "");
  CHECK(ran.code == 0);
  return ran.out;
}

}  // namespace lacestay::tests
