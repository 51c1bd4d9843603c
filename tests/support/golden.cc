#include "tests/support/golden.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "tests/support/folder.hpp"
#include "tests/support/places.hpp"
#include "tests/support/settings.hpp"

namespace lacestay::tests {

namespace {

namespace fs = std::filesystem;

const std::string heading_mark = "=== ";

std::string path_of(const std::string& name) { return in_checkout("tests/golden/" + name); }

// Tells how many files were written, once, at the end of the program.
struct Written {
  ~Written() {
    if (count > 0) fmt::print(stderr, "golden files written: {}; read what is different before you keep them\n", count);
  }
  int count = 0;
};

void write(const std::string& name, const std::string& bytes) {
  static Written written;
  fs::create_directories(fs::path(path_of(name)).parent_path());
  std::ofstream(path_of(name), std::ios::binary) << bytes;
  ++written.count;
  FAIL_CHECK("written: tests/golden/" << name);
}

std::vector<std::string> lines_of(const std::string& text) {
  std::istringstream in(text);
  std::vector<std::string> lines;
  for (std::string line; std::getline(in, line);) lines.push_back(line);
  if (text.empty() || text.back() != '\n') lines.push_back("(no line end)");
  return lines;
}

// The first line that differs, as both have it, numbered from `first`; with the line before it.
std::string first_difference(const std::string& expected, const std::string& text, std::size_t first) {
  const auto was = lines_of(expected), is = lines_of(text);
  std::size_t at = 0;
  while (at < was.size() && at < is.size() && was[at] == is[at]) ++at;
  const auto line = [&](const std::vector<std::string>& lines) { return at < lines.size() ? lines[at] : "(the end)"; };
  return fmt::format("line {}{}\n  expected  |{}\n  came out  |{}\n", first + at,
                     at > 0 ? fmt::format(", after     |{}", was[at - 1]) : "", line(was), line(is));
}

// `whole`: the file's text where `text` is right.
void compare(const std::string& name, const std::string& expected, const std::string& text, const std::string& whole,
             std::size_t first_line) {
  if (expected == text) {
    SUCCEED();
  } else if (rewrite_golden()) {
    write(name, whole);
  } else {
    FAIL_CHECK("tests/golden/" << name << ", " << first_difference(expected, text, first_line)
                               << "Where what came out is right, run it once more with LACESTAY_REWRITE_GOLDEN=1.\n"
                               << "All that came out:\n"
                               << text);
  }
}

}  // namespace

void golden(const std::string& name, const std::string& text) {
  const bool there = fs::exists(path_of(name));
  if (!there && !rewrite_golden()) FAIL("there is no tests/golden/" << name);
  compare(name, there ? bytes_of(path_of(name)) : text + "?", text, text, 1);
}

std::string GoldenCase::section(const std::string& heading) const {
  const auto found = sections.find(heading);
  return found == sections.end() ? "" : found->second;
}

void GoldenCase::check(const std::string& heading, const std::string& text) const {
  const auto file = bytes_of(path_of(name));
  const auto at = file.find("\n" + heading_mark + heading + "\n");
  const auto before = at == std::string::npos ? file + "\n" + heading_mark + heading + "\n"
                                              : file.substr(0, at) + "\n" + heading_mark + heading + "\n";
  compare(name, section(heading), text, before + text,
          static_cast<std::size_t>(std::count(before.begin(), before.end(), '\n')) + 1);
}

std::vector<GoldenCase> golden_cases(const std::string& folder) {
  std::vector<GoldenCase> cases;
  for (const auto& entry : fs::directory_iterator(path_of(folder))) {
    if (entry.path().extension() != ".txt") continue;
    GoldenCase one{folder + "/" + entry.path().filename().string(), "", {}};
    auto* into = &one.about;
    std::istringstream in(bytes_of(entry.path()));
    for (std::string line; std::getline(in, line);)
      if (line.rfind(heading_mark, 0) == 0) {
        if (*into == "\n" || (into->size() > 1 && into->substr(into->size() - 2) == "\n\n")) into->pop_back();
        into = &one.sections[line.substr(heading_mark.size())];
      } else {
        *into += line + "\n";
      }
    one.about = one.about.substr(0, one.about.find('\n'));
    cases.push_back(std::move(one));
  }
  std::sort(cases.begin(), cases.end(), [](const auto& a, const auto& b) { return a.name < b.name; });
  return cases;
}

std::string edited(std::string text, const std::string& edits) {
  std::istringstream in(edits);
  std::string was, is;
  const auto apply = [&] {
    if (was.empty()) return;
    INFO("the lines to edit:\n" << was);
    const auto at = text.find(was);
    REQUIRE(at != std::string::npos);
    REQUIRE((at == 0 || text[at - 1] == '\n'));
    REQUIRE(text.find(was, at + 1) == std::string::npos);
    text.replace(at, was.size(), is);
    was.clear(), is.clear();
  };
  for (std::string line; std::getline(in, line);) {
    if (line.empty()) {
      apply();
      continue;
    }
    const auto rest = line.substr(1) + "\n";
    INFO(line);
    REQUIRE((line[0] == '-' || line[0] == '+' || line[0] == ' '));
    if (line[0] != '+') was += rest;
    if (line[0] != '-') is += rest;
  }
  apply();
  return text;
}

}  // namespace lacestay::tests
