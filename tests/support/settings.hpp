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
// `count` seeds from `first` up, to go through; just the one of LACESTAY_SEED where that is set.
class Seeds {
 public:
  Seeds(std::uint64_t first, std::uint64_t count)
      : first_(one_seed().value_or(first)), end_(first_ + (one_seed() ? 1 : count)) {}

  class Iterator {
   public:
    explicit Iterator(std::uint64_t seed) : seed_(seed) {}
    std::uint64_t operator*() const { return seed_; }
    Iterator& operator++() { return ++seed_, *this; }
    bool operator!=(const Iterator& other) const { return seed_ != other.seed_; }

   private:
    std::uint64_t seed_;
  };
  [[nodiscard]] Iterator begin() const { return Iterator(first_); }
  [[nodiscard]] Iterator end() const { return Iterator(end_); }
  [[nodiscard]] std::uint64_t count() const { return end_ - first_; }
  // "seeds 1 to 800"
  [[nodiscard]] std::string told() const {
    return "seeds " + std::to_string(first_) + " to " + std::to_string(end_ - 1);
  }

 private:
  std::uint64_t first_, end_;
};
// LACESTAY_LOUD: tell what is done, seed by seed.
[[nodiscard]] bool loud();
// LACESTAY_KEEP: the folder that what is made from seeds is kept in, to look at; empty where it is not asked for.
[[nodiscard]] std::string keep_in();
// LACESTAY_REWRITE_GOLDEN: golden files are written anew instead of compared with (support/golden.hpp).
[[nodiscard]] bool rewrite_golden();

// Says what can't be tested on this machine, and why. Fails the test case where LACESTAY_SKIP_IS_FAILURE is set.
void skipped(const std::string& reason);

}  // namespace lacestay::tests
