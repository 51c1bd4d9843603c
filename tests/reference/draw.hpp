// Seeded draws. The engine's numbers are fixed by the C++ standard and the rest is done here, not by the library's
// distributions, so that a seed means the same policy and the same player everywhere. (Who uses it keeps to one draw
// an expression, or to braces: the order in which operands are evaluated is the compiler's choice.)
#pragma once

#include <cstdint>
#include <random>
#include <utility>
#include <vector>

namespace lacestay::naive {

class Draw {
 public:
  explicit Draw(std::uint64_t seed) : engine_(seed) {}

  // From low to high, both ends included. The remainder's slight unevenness is of no account here.
  std::int64_t between(std::int64_t low, std::int64_t high) {
    const auto width = static_cast<std::uint64_t>(high) - static_cast<std::uint64_t>(low) + 1;
    return static_cast<std::int64_t>(static_cast<std::uint64_t>(low) + (width == 0 ? engine_() : engine_() % width));
  }
  bool chance(int percent) { return between(1, 100) <= percent; }
  // A place in something that holds `size`, which is not 0.
  std::size_t place(std::size_t size) {
    return static_cast<std::size_t>(between(0, static_cast<std::int64_t>(size) - 1));
  }
  template <typename Held>
  Held pick(const std::vector<Held>& all) {
    return all[place(all.size())];
  }
  template <typename Held>
  void shuffle(std::vector<Held>& all) {
    for (std::size_t left = all.size(); left > 1; --left) std::swap(all[left - 1], all[place(left)]);
  }

 private:
  std::mt19937_64 engine_;
};

}  // namespace lacestay::naive
