// The pages about the language as tests read them: the blocks of a page, and what a policy of one is refused for.
#pragma once

#include <string>
#include <vector>

#include "compiler/check/compile.hpp"

namespace lacestay::tests {

struct Block {
  std::string kind;  // the words after the opening marks: "fitting", "fitting refused: charts-3", "pack", "stock"
  std::string text;
  int line = 0;  // of the opening marks
};
[[nodiscard]] std::vector<Block> blocks_of(const std::string& page);

// What follows `refused: ` in a block's kind; empty where it is not meant to be refused.
[[nodiscard]] std::string refused_for(const Block& block);

// By the compiler, or else by the proof: the codes, as "proof-5, proof-6", and all that is told. Both empty where the
// policy is proved.
struct Refusal {
  std::string codes, told;
};
[[nodiscard]] Refusal refusal_of(const compiler::Compiled& compiled);

}  // namespace lacestay::tests
