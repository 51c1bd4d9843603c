#include "tests/grammar/read/pages.hpp"

#include <sstream>

#include "runtime/chart/findings.hpp"
#include "tests/support/policy/compiled.hpp"

namespace lacestay::tests {

std::vector<Block> blocks_of(const std::string& page) {
  std::istringstream in(page);
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

std::string refused_for(const Block& block) {
  const std::string mark = "refused: ";
  const auto at = block.kind.find(mark);
  return at == std::string::npos ? "" : block.kind.substr(at + mark.size());
}

Refusal refusal_of(const compiler::Compiled& compiled) {
  auto problems = compiled.diagnostics;
  if (compiled.policy) {
    auto proof = compiler::prove(*compiled.policy);
    std::erase_if(proof.findings, [](const compiler::Finding& finding) { return !finding.refuses(); });
    problems = runtime::told(*engine_of(compiled.policy), proof);
  }
  Refusal refusal;
  for (const auto& problem : problems) refusal.codes += (refusal.codes.empty() ? "" : ", ") + problem.code;
  refusal.told = render(problems);
  return refusal;
}

}  // namespace lacestay::tests
