// Sentences of a page, each with a policy that says it, and what players leave with.
//
// Under a heading `### SENTENCE` stand its blocks: `fitting` (added to the page's first block, unless it begins with
// `policy`), `pack FILE`, `csv FILE` (a chart's spreadsheet), `stock` (a table of items), `outcome`, and `fitting
// refused: CODES`, which is added to the fitting. A line of an outcome is a player and what he leaves with:
//
//   age 9, owns laces, can spend 90 GBP: no kit_bag; skates tier entry; says "ask the fitter"; does not say "again"
//
// Before the colon, what stands under `player` in a players file, or `anybody`. After it, what stands there after
// `leaves with`, or after `leaves without` where it begins with `no`; or words of the advice, or of the quote where
// there is stock.
#pragma once

#include <string>
#include <vector>

#include "tests/grammar/read/pages.hpp"
#include "tests/reference/prepared.hpp"

namespace lacestay::tests {

struct Saying {
  struct Line {
    std::string text;
    int number = 0;
  };
  std::string sentence;
  std::vector<naive::TextFile> files;  // the policy, then its packs and spreadsheets
  std::string stock;
  std::vector<Block> refused;
  std::vector<Line> outcome;
};

[[nodiscard]] std::vector<Saying> sayings_of(const std::string& page);

// What of it is not so, each with its line; empty where all is.
[[nodiscard]] std::vector<std::string> faults_of(const Saying& saying);

// Slips in its policy, each as an owner could make it, that none of its players notices (slips.hpp); the policy must be
// proved. Empty where they stand at every edge.
[[nodiscard]] std::vector<std::string> unnoticed_slips(const Saying& saying);

}  // namespace lacestay::tests
