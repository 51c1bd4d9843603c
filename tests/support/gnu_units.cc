#include "tests/support/gnu_units.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cstdlib>
#include <regex>
#include <sstream>

#include "tests/support/process.hpp"

namespace lacestay::tests {

// GNU units 2.22 (Debian package units): `units -q -t` reads "you have" and "you want" in turn, one a line, and
// answers each pair with one number.
std::vector<double> by_gnu_units(const std::vector<std::pair<std::string, std::string>>& asked) {
  std::string input;
  for (const auto& [have, want] : asked) input += have + "\n" + want + "\n";
  const auto ran = run_program({"units", "-q", "-t", "-o", "%.17g"}, {.input = input, .environment = {"LC_ALL=C"}});
  CHECK(ran.code == 0);
  CHECK(ran.err == "");
  std::vector<double> answers;
  std::istringstream lines(ran.out);
  for (std::string line; std::getline(lines, line);) {
    if (line.empty()) continue;
    char* end = nullptr;
    const double value = std::strtod(line.c_str(), &end);
    INFO("asked what " << asked.at(std::min(answers.size(), asked.size() - 1)).first << " is, units says: " << line);
    REQUIRE((end != line.c_str() && *end == '\0'));
    answers.push_back(value);
  }
  REQUIRE(answers.size() == asked.size());
  return answers;
}

// Its "in" is ours, and "oz" and "lb" are avoirdupois in both, but "st" and "%" are words there.
std::string spelled_for_gnu_units(const std::string& quantity) {
  auto text = quantity;
  for (const auto& [sign, decimals] :
       {std::pair("¼", ".25"), std::pair("½", ".5"), std::pair("¾", ".75"), std::pair("⅛", ".125"),
        std::pair("⅜", ".375"), std::pair("⅝", ".625"), std::pair("⅞", ".875")})
    text = std::regex_replace(text, std::regex(sign), decimals);
  text = std::regex_replace(text, std::regex(R"(([a-z]) ([\d.]))"), "$1 + $2");
  text = std::regex_replace(text, std::regex(R"((\d+)/(\d+))"), "$1|$2");  // "7/16 lb" would divide by pounds
  text = std::regex_replace(text, std::regex(R"((\d+) (\d+\|\d+))"), "($1 + $2)");
  text = std::regex_replace(text, std::regex(R"(\bst\b)"), "stone");
  return std::regex_replace(text, std::regex("%"), " percent");
}

}  // namespace lacestay::tests
