// GNU units, asked how much one quantity is in another unit.
#pragma once

#include <string>
#include <utility>
#include <vector>

namespace lacestay::tests {

// By pair of what there is and what it is wanted in, in that program's own spellings ("5 ft + 9 in", "nm"). One process
// for all. Where it does not answer each with a number, that fails the test case.
[[nodiscard]] std::vector<double> by_gnu_units(const std::vector<std::pair<std::string, std::string>>& asked);

// A quantity in our spelling as that program takes it: "12 st 6 lb" is "12 stone + 6 lb".
[[nodiscard]] std::string spelled_for_gnu_units(const std::string& quantity);

}  // namespace lacestay::tests
