// Every example of grammar/reference.md: proved, or refused for the reason it states.
#include <catch2/catch.hpp>
#include <regex>
#include <set>

#include "runtime/engine/engine.hpp"
#include "runtime/rehearse/rehearsal.hpp"
#include "tests/grammar/read/pages.hpp"
#include "tests/support/folder.hpp"
#include "tests/support/places.hpp"
#include "tests/support/policy/compiled.hpp"

namespace {

using namespace lacestay;

// The charts' spreadsheets of the page, by their files' names; a block that names none of them is not touched by them.
std::vector<naive::TextFile> sheets_of(const std::vector<tests::Block>& blocks) {
  std::vector<naive::TextFile> sheets;
  for (const auto& block : blocks)
    if (block.kind.rfind("csv ", 0) == 0) sheets.push_back({block.kind.substr(4), block.text});
  return sheets;
}

compiler::Compiled compiled(const std::string& text, std::vector<naive::TextFile> files = {},
                            const std::string& pack = "") {
  files.insert(files.begin(), {"reference.fitting", text});
  if (!pack.empty()) files.push_back({"house_rules/junior.fitting", pack});
  return tests::compile_files(files);
}

TEST_CASE("each example of the reference page does what the page says") {
  const auto blocks = tests::blocks_of(tests::bytes_of(tests::in_checkout("grammar/reference.md")));
  REQUIRE(blocks.size() > 15);
  const auto prelude = blocks.front().text;
  REQUIRE(blocks.front().kind == "fitting");
  const auto sheets = sheets_of(blocks);
  CHECK(sheets.size() == 2);
  std::size_t refused = 0, packs = 0, players = 0;
  for (const auto& block : blocks) {
    INFO("reference.md, line " << block.line << "\n" << block.text);
    const bool whole = block.text.rfind("policy", 0) == 0;
    if (block.kind.rfind("fitting", 0) == 0) {
      const auto refusal = tests::refusal_of(compiled(whole ? block.text : prelude + block.text, sheets));
      INFO(refusal.told);
      CHECK(refusal.codes == tests::refused_for(block));
      refused += refusal.codes.empty() ? 0 : 1;
    } else if (block.kind == "pack") {
      for (const auto* line : {"along with \"house_rules/junior.fitting\"\n",
                               "along with \"house_rules/junior.fitting\" for age under 18\n"}) {
        const auto refusal = tests::refusal_of(compiled(prelude + line, {}, block.text));
        INFO(refusal.told);
        CHECK(refusal.codes.empty());
      }
      ++packs;
    } else if (block.kind.rfind("csv ", 0) != 0) {
      REQUIRE(block.kind == "players");
      auto policy = compiled(prelude).policy;
      const auto engine = tests::engine_of(policy);
      grammar::Diagnostics problems;
      const auto file = runtime::read_players(*policy, "reference.players", block.text, problems);
      INFO(render(problems.sorted()));
      REQUIRE(problems.empty());
      for (const auto& player : file.players) CHECK(runtime::rehearse(*engine, player, problems).failed() == 0);
      ++players;
    }
  }
  CHECK(refused >= 2);
  CHECK(packs == 1);
  CHECK(players == 1);
}

// Words in a text that stand between two others, by a pattern for one of them.
std::set<std::string> words_between(const std::string& text, const std::string& from, const std::string& to,
                                    const std::regex& word) {
  const auto begin = text.find(from);
  REQUIRE(begin != text.npos);
  const auto part = text.substr(begin + from.size(), text.find(to, begin) - begin - from.size());
  std::set<std::string> words;
  for (std::sregex_iterator at(part.begin(), part.end(), word), end; at != end; ++at) words.insert((*at)[1]);
  return words;
}

TEST_CASE("the page lists all the words that end a name, and no other") {
  const auto page = tests::bytes_of(tests::in_checkout("grammar/reference.md"));
  const auto rules = tests::bytes_of(tests::in_checkout("grammar/read/rules.hpp"));
  const auto listed = words_between(page, "they can't be part of one:", ". Joined with", std::regex("([a-z]+)"));
  CHECK(listed.size() > 15);
  CHECK(listed == words_between(rules, "struct reserved", "not_at<", std::regex("KEY\\(\"([a-z]+)\"\\)")));
}

}  // namespace
