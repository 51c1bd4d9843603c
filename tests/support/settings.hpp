// What the environment asks of the tests. Nothing else in tests/ reads it.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

namespace lacestay::tests {

// LACESTAY_WHOLE: whole data sets and many seeds, where otherwise a sample is drawn.
[[nodiscard]] bool whole();
// LACESTAY_SEED: one seed alone, to look at a failure.
[[nodiscard]] std::optional<std::uint64_t> one_seed();
// LACESTAY_LOUD: tell what is done, seed by seed.
[[nodiscard]] bool loud();
// LACESTAY_KEEP: the folder that what is made from seeds is kept in, to look at; empty where it is not asked for.
[[nodiscard]] std::string keep_in();
// LACESTAY_REWRITE_GOLDEN: golden files are written anew instead of compared with (support/golden.hpp).
[[nodiscard]] bool rewrite_golden();

// Says what can't be tested on this machine, and why. Fails the test case where LACESTAY_SKIP_IS_FAILURE is set.
void skipped(const std::string& reason);

}  // namespace lacestay::tests
