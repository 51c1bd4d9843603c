// Broken policies, each with the whole text its owner is shown.
//
// A case is NAME.fitting, or a folder NAME with main.fitting and what it brings in; NAME.expected holds the text.
// Cases whose name begins with `several` hold several mistakes; every other holds one, and gets one message.
#include <algorithm>
#include <catch2/catch.hpp>
#include <filesystem>
#include <regex>
#include <set>

#include "compiler/check/compile.hpp"
#include "grammar/read/reader.hpp"
#include "grammar/text/csv.hpp"
#include "tests/support/folder.hpp"
#include "tests/support/golden.hpp"
#include "tests/support/places.hpp"
#include "tests/support/policy/compiled.hpp"

namespace {

namespace fs = std::filesystem;
using namespace lacestay;
using tests::bytes_of;

const fs::path root = tests::in_checkout("");

struct Case {
  std::string name;
  fs::path policy;
};

std::vector<Case> cases() {
  std::vector<Case> all;
  for (const auto& entry : fs::directory_iterator(root / "tests/golden/broken")) {
    if (entry.is_directory()) all.push_back({entry.path().filename().string(), entry.path() / "main.fitting"});
    const auto ending = entry.path().extension();
    if (ending == ".fitting" || ending == ".players") all.push_back({entry.path().stem().string(), entry.path()});
  }
  std::sort(all.begin(), all.end(), [](const Case& a, const Case& b) { return a.name < b.name; });
  return all;
}

struct Told {
  std::vector<Problem> diagnostics;
  std::vector<std::shared_ptr<const grammar::Source>> sources;  // what their spans point into
};

// Players files are only read here; their names are looked up where they are rehearsed.
Told told(const Case& one) {
  if (one.policy.extension() == ".fitting") {
    auto compiled = compiler::compile_file(one.policy);
    CHECK(compiled.policy == nullptr);
    return {std::move(compiled.diagnostics), std::move(compiled.sources)};
  }
  const auto source = std::make_shared<grammar::Source>(one.policy.filename().string(), bytes_of(one.policy));
  grammar::Diagnostics diagnostics;
  static_cast<void>(grammar::read(source, diagnostics));
  return {diagnostics.sorted(), {source}};
}

TEST_CASE("each text that is expected is some broken policy's") {
  std::set<std::string> names;
  for (const auto& one : cases()) names.insert(one.name);
  for (const auto& entry : fs::directory_iterator(root / "tests/golden/broken")) {
    INFO(entry.path());
    CHECK(names.count(entry.path().stem().string()) == 1);
  }
}

TEST_CASE("each broken policy is told in just the words its owner should read") {
  const auto all = cases();
  REQUIRE(all.size() >= 45);
  std::size_t several = 0;
  for (const auto& one : all) {
    INFO(one.name);
    const auto found = told(one);
    tests::golden("broken/" + one.name + ".expected", render(found.diagnostics));
    if (one.name.rfind("several", 0) == 0) {
      CHECK(found.diagnostics.size() > 1);
      ++several;
    } else {
      CHECK(found.diagnostics.size() == 1);
    }
  }
  CHECK(several >= 5);
}

// Codes in quotes in the sources: "charts-3".
std::set<std::string> codes_in_sources() {
  std::set<std::string> codes;
  const std::regex quoted("\"([a-z]+-[0-9]+)\"");
  for (const auto* room : {"grammar", "compiler"})
    for (const auto& entry : fs::recursive_directory_iterator(root / room)) {
      if (entry.path().extension() != ".cc" && entry.path().extension() != ".hpp") continue;
      const auto text = bytes_of(entry.path());
      for (std::sregex_iterator at(text.begin(), text.end(), quoted), end; at != end; ++at) codes.insert((*at)[1]);
    }
  return codes;
}

TEST_CASE("every code of the reader and the compiler has a broken policy, and a line in the list of codes") {
  std::set<std::string> met;
  for (const auto& one : cases())
    for (const auto& diagnostic : told(one).diagnostics) met.insert(diagnostic.code);
  for (const auto& diagnostic : compiler::compile_file(root / "tests/golden/broken/nowhere.fitting").diagnostics)
    met.insert(diagnostic.code);
  const auto made = [&](const std::string& text) {
    for (const auto& diagnostic : tests::compile_text("made.fitting", text).diagnostics) met.insert(diagnostic.code);
  };
  // Files that would be awkward to keep: too large, not text, not UTF-8, too many rows, steps and names.
  const std::string head = "policy \"P\"\nedition 1, in force from 1 September 2026\nask weight 1 to 100 kg\n";
  made(std::string(5u << 20, '#'));
  made(head + std::string(1, '\0'));
  made(head + "# \xC3\x28\n");
  std::string rows = head, names = head;
  for (int i = 0; i < 10'001; ++i) rows += "rule r" + std::to_string(i) + "\n  caution \"c\"\n";
  for (int i = 0; i < 1'001; ++i) names += "piece p" + std::to_string(i) + " always\n";
  // Many rules that each outrank the one before; many mistakes; many files.
  std::string ranks = head + "piece stick always\n  toe choice round, square\n", mistakes = head, files = head;
  for (int i = 0; i < 1'500; ++i) {
    ranks += "rule r" + std::to_string(i) + "\n  set stick toe to round\n";
    if (i > 0) ranks += "  outranks r" + std::to_string(i - 1) + "\n";
  }
  for (int i = 0; i < 5'000; ++i) mistakes += "peice p always\n";
  for (int i = 0; i < 1'500; ++i) files += "along with \"part" + std::to_string(i) + ".fitting\"\n";
  made(rows);
  made(names);
  made(ranks);
  made(mistakes);
  const auto part = [](const std::string&) { return Result<std::string>("part \"A part\"\n"); };
  for (const auto& diagnostic : compiler::compile("made.fitting", files, part).diagnostics) met.insert(diagnostic.code);
  for (const std::string table : {"a,a\n1,2\n", "a,b\n1\n", "a,b\n\"1\" x,2\n", "a,b\n1,\"2\n"}) {
    const grammar::Source source("made.csv", table);
    grammar::Diagnostics problems;
    static_cast<void>(grammar::read_csv(source, problems));
    for (const auto& diagnostic : problems.sorted()) met.insert(diagnostic.code);
  }
  const auto list = bytes_of(root / "grammar/read/messages.md");
  const auto codes = codes_in_sources();
  CHECK(codes.size() > 50);
  for (const auto& code : codes) {
    INFO(code);
    CHECK(met.count(code) == 1);
    CHECK(list.find("`" + code + "`") != std::string::npos);
  }
}

TEST_CASE("what a word processor puts is read as meant") {
  const std::string plain =
      "policy \"Shop\"\nedition 1, in force from 1 September 2026\nask weight 12 to 180 kg\npiece stick always\n"
      "  length 100 to 200 cm step 1 cm\nwork out half = weight - 1 kg\n"
      "rule usual\n  set stick length to 150 cm\n  for weight under 12.5 kg\n  because \"Why\"\n"
      "rule rest\n  set stick length to 160 cm\n  for weight at least 12.5 kg, half over 1 kg\n";
  const auto replaced = [&](const std::string& what, const std::string& by) {
    auto text = plain;
    for (auto at = text.find(what); at != std::string::npos; at = text.find(what, at + by.size()))
      text.replace(at, what.size(), by);
    return text;
  };
  const std::pair<const char*, std::string> texts[] = {
      {"as it is", plain},
      {"curly quotes", replaced("\"Why\"", "\xE2\x80\x9CWhy\xE2\x80\x9D")},
      {"low and high quotes", replaced("\"Why\"", "\xE2\x80\x9EWhy\xE2\x80\x9C")},
      {"no-break spaces", replaced(" kg", "\xC2\xA0kg")},
      {"narrow no-break spaces", replaced(" cm",
                                          "\xE2\x80\xAF"
                                          "cm")},
      {"an en dash as minus", replaced(" - ", " \xE2\x80\x93 ")},
      {"an em dash as minus", replaced(" - ", " \xE2\x80\x94 ")},
      {"a minus sign", replaced(" - ", " \xE2\x88\x92 ")},
      {"a half", replaced("12.5 kg", "12\xC2\xBD kg")},
      {"tabs", replaced("\n  ", "\n\t")},
      {"a byte-order mark", "\xEF\xBB\xBF" + plain},
      {"Windows line ends", replaced("\n", "\r\n")},
      {"old Macintosh line ends", replaced("\n", "\r")},
      {"capitals at the start of lines", replaced("rule ", "Rule ")},
  };
  for (const auto& [what, text] : texts) {
    INFO(what);
    const auto policy = tests::policy_of("typed.fitting", text);
    CHECK(policy->tables.columns.front().cuts.size() == 1);
    CHECK(policy->tables.columns.front().cuts.front().at == 125'000'000'000'000);
  }
}

}  // namespace
