// The budget of a search for a kit, in steps of a few nanoseconds: they are counted, not timed, so a search ends at
// the same point on every machine.
#pragma once

#include <cstdint>

namespace lacestay::runtime {

class KitWork {
 public:
  struct Ended {};
  explicit KitWork(std::uint64_t budget) : budget_(budget) {}
  void spend(std::uint64_t steps) {  // throws Ended
    if (steps > budget_ - used_) throw Ended{};
    used_ += steps;
  }
  [[nodiscard]] std::uint64_t used() const { return used_; }

 private:
  std::uint64_t budget_, used_ = 0;
};

}  // namespace lacestay::runtime
