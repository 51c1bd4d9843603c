// Every example of grammar/reference.md: compiled, or refused for the reason it states.
#include <catch2/catch.hpp>
#include <fstream>
#include <sstream>

#include "runtime/engine/engine.hpp"
#include "runtime/rehearse/rehearsal.hpp"
#include "tests/support/places.hpp"
#include "tests/support/policy/compiled.hpp"

namespace {

using namespace lacestay;

struct Block {
  std::string kind;  // the words after the opening marks: "fitting", "fitting refused: charts-3", "pack", "players"
  std::string text;
  int line = 0;
};

std::vector<Block> blocks_of(const std::string& path) {
  std::ifstream in(path);
  REQUIRE(in);
  std::vector<Block> blocks;
  std::string line;
  bool inside = false;
  for (int number = 1; std::getline(in, line); ++number) {
    const bool marks = line.rfind("```", 0) == 0;
    if (marks && !inside)
      blocks.push_back({line.substr(3), "", number});
    else if (!marks && inside)
      blocks.back().text += line + "\n";
    if (marks) inside = !inside;
  }
  return blocks;
}

compiler::Compiled compiled(const std::string& text, const std::string& pack = "") {
  std::vector<naive::TextFile> files = {{"reference.fitting", text}};
  if (!pack.empty()) files.push_back({"house_rules/junior.fitting", pack});
  return tests::compile_files(files);
}

TEST_CASE("each example of the reference page does what the page says") {
  const auto blocks = blocks_of(lacestay::tests::in_checkout("grammar/reference.md"));
  REQUIRE(blocks.size() > 15);
  const auto prelude = blocks.front().text;
  REQUIRE(blocks.front().kind == "fitting");
  std::size_t refused = 0, packs = 0, players = 0;
  for (const auto& block : blocks) {
    INFO("reference.md, line " << block.line << "\n" << block.text);
    const bool whole = block.text.rfind("policy", 0) == 0;
    if (block.kind == "fitting") {
      const auto result = compiled(whole ? block.text : prelude + block.text);
      INFO(render(result.diagnostics));
      CHECK(result.policy != nullptr);
    } else if (block.kind.rfind("fitting refused: ", 0) == 0) {
      const auto result = compiled(prelude + block.text);
      INFO(render(result.diagnostics));
      REQUIRE(result.diagnostics.size() == 1);
      CHECK(result.diagnostics.front().code == block.kind.substr(17));
      ++refused;
    } else if (block.kind == "pack") {
      for (const auto* line : {"along with \"house_rules/junior.fitting\"\n",
                               "along with \"house_rules/junior.fitting\" for age under 18\n"}) {
        const auto result = compiled(prelude + line, block.text);
        INFO(render(result.diagnostics));
        CHECK(result.policy != nullptr);
      }
      ++packs;
    } else {
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

}  // namespace
