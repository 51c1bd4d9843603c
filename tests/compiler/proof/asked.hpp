// A policy's asked details as the proof's judges see them: every value a player can have, counted from the lowest.
// Read off the policy's trees; the sizes of the ticks are those the language promises (design card, semantics 1).
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "compiler/space/witness.hpp"
#include "compiler/tables/policy.hpp"
#include "tests/reference/evaluator.hpp"

namespace lacestay::judges {

using naive::Rational;

struct AskedRange {
  std::size_t detail = 0;  // among the naive policy's details
  std::string name;
  std::vector<std::string> members;  // of grades and choices
  bool day = false;
  Rational low, tick;     // in the naive evaluator's units; members count from 0
  std::int64_t last = 0;  // the highest value, in ticks above the lowest
  Rational compiled;      // how many of the compiler's ticks make one of the naive evaluator's units

  [[nodiscard]] Rational value(std::int64_t step) const { return low + tick * step; }
};

// The compiler's ticks to one of the naive evaluator's units: nm to a mm, 0.1 ng to a g, months to a year, and so on.
[[nodiscard]] std::int64_t ticks_to_one(naive::Dimension dimension);

// In the naive policy's order of details.
[[nodiscard]] std::vector<AskedRange> asked_ranges(const naive::Policy& policy);

// A player the proof names, by asked detail in the order of `asked`: in ticks above each lowest value. Fails the
// test that runs if a reading lies outside the details' domains or between two values.
[[nodiscard]] std::vector<std::int64_t> steps_of(const std::vector<AskedRange>& asked, const compiler::Policy& policy,
                                                 const compiler::Readings& readings);
// And back.
[[nodiscard]] compiler::Readings readings_of(const std::vector<AskedRange>& asked, const compiler::Policy& policy,
                                             const std::vector<std::int64_t>& steps);

// The same player for the naive evaluator.
[[nodiscard]] naive::Player player_of(const std::vector<AskedRange>& asked, const std::vector<std::int64_t>& steps);

// `age 12 years, skill new`, as the policy writes it.
[[nodiscard]] std::string written(const compiler::Policy& policy, const compiler::Readings& readings);

}  // namespace lacestay::judges
