// Whole texts that outputs are held to, a file each in tests/golden.
//
// With LACESTAY_REWRITE_GOLDEN=1 a file that differs is written anew with what came out; the test case fails all the
// same, and the program says at its end how many files it wrote. A file that no test names is found by
// tests/house/golden.sh.
#pragma once

#include <map>
#include <string>
#include <vector>

namespace lacestay::tests {

// Checks that `text` is tests/golden/NAME to the last byte; where it is not, the first line that differs is told.
void golden(const std::string& name, const std::string& text);

// A case in one file: the texts it is made from and the one that comes out, each under a line `=== heading`. What
// stands before the first heading says what the case is about. An empty line before a heading belongs to the heading.
struct GoldenCase {
  std::string name;   // from tests/golden: "compare/edge_moved_down.txt"
  std::string about;  // in one line
  std::map<std::string, std::string> sections;

  // A section's text; empty where the case has none of that heading.
  [[nodiscard]] std::string section(const std::string& heading) const;
  // Checks the section `heading` against `text`, as golden() does. It is the file's last one.
  void check(const std::string& heading, const std::string& text) const;
};

// Every case of a folder in tests/golden (the files NAME.txt), by name.
[[nodiscard]] std::vector<GoldenCase> golden_cases(const std::string& folder);

// A text with edits written as a difference: lines that begin with '-' and ' ' are found in the text, one after the
// other, and '+' and ' ' stand there afterwards. An empty line ends an edit. Each edit's lines must be found, and once.
[[nodiscard]] std::string edited(std::string text, const std::string& edits);

}  // namespace lacestay::tests
