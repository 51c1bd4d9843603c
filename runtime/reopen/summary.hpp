// What the owner asks of a span of the daybook: which rules did the work, where the fitter was asked, and which answers
// hung on a measure.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "runtime/daybook/daybook.hpp"

namespace lacestay::runtime {

struct DaybookSummary {
  struct RuleWork {
    std::size_t decided = 0;    // answers
    std::size_t outranked = 0;  // silenced by another rule
    std::size_t overruled = 0;  // spoke, and was lifted over or held under
  };
  std::size_t advices = 0, quotes = 0, by_hand = 0, sold = 0, given_back = 0, erased = 0;
  std::map<std::string, RuleWork> rules;
  // By answer ("stick flex"): the entries, ascending.
  std::map<std::string, std::vector<std::int64_t>> for_fitter, near_edge, handed_over;
};

// Of the advices and quotes `sought` finds. Cost: reading each of them, some 50 microseconds.
[[nodiscard]] DaybookSummary summary_of(Daybook& daybook, const Sought& sought);

[[nodiscard]] std::string text_of(const DaybookSummary& summary);
// Columns: what, name, times, entries.
[[nodiscard]] std::string csv_of(const DaybookSummary& summary);

}  // namespace lacestay::runtime
