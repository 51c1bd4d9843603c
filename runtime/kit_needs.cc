#include "runtime/kit_needs.hpp"

#include <algorithm>
#include <bit>

#include "compiler/rational.hpp"

namespace lacestay::runtime {
namespace {

// The counts of a state, each in as many bits as its need takes.
using Counts = compiler::Int128;

// The states met so far, numbered as they come.
class Numbering {
 public:
  Numbering() { grow(64); }
  std::uint32_t number(Counts counts) {
    for (auto slot = slot_of(counts);; slot = (slot + 1) & (slots_.size() - 1)) {
      if (slots_[slot] == none) {
        if (met_.size() * 2 >= slots_.size()) {
          grow(slots_.size() * 2);
          return number(counts);
        }
        slots_[slot] = static_cast<std::uint32_t>(met_.size());
        met_.push_back(counts);
        return slots_[slot];
      }
      if (met_[slots_[slot]] == counts) return slots_[slot];
    }
  }
  const std::vector<Counts>& met() const { return met_; }

 private:
  static constexpr std::uint32_t none = 0xFFFF'FFFF;
  std::size_t slot_of(Counts counts) const {
    const auto mixed =
        (static_cast<std::uint64_t>(counts) ^ static_cast<std::uint64_t>(counts >> 64) * 0xC2B2AE3D27D4EB4Fu) *
        0x9E3779B97F4A7C15u;
    return (mixed >> 32) & (slots_.size() - 1);
  }
  void grow(std::size_t size) {
    slots_.assign(size, none);
    for (std::uint32_t i = 0; i < met_.size(); ++i) {
      auto slot = slot_of(met_[i]);
      while (slots_[slot] != none) slot = (slot + 1) & (size - 1);
      slots_[slot] = i;
    }
  }
  std::vector<std::uint32_t> slots_;
  std::vector<Counts> met_;
};

}  // namespace

KitNeeds::KitNeeds(const std::vector<std::size_t>& needs, const std::vector<std::vector<std::uint64_t>>& lowered,
                   KitWork& work) {
  const auto pieces = lowered.size();
  struct Field {
    int shift;
    Counts mask;
    std::vector<std::size_t> left;  // by piece: how often it can still be lowered from there on
  };
  std::vector<Field> fields;
  Counts start = 0;
  int bits = 0;
  for (std::size_t n = 0; n < needs.size(); ++n) {
    const auto width = static_cast<int>(std::bit_width(needs[n]));
    if (bits + width > 127 || n >= 64) throw KitWork::Ended{};
    fields.push_back({bits, ((Counts{1} << width) - 1) << bits, std::vector<std::size_t>(pieces + 1, 0)});
    start |= static_cast<Counts>(needs[n]) << bits;
    bits += width;
    auto& left = fields.back().left;
    for (auto p = pieces; p-- > 0;)
      left[p] = left[p + 1] + (std::any_of(lowered[p].begin(), lowered[p].end(),
                                           [&](std::uint64_t kind) { return (kind >> n & 1) != 0; })
                                   ? 1
                                   : 0);
  }
  std::vector<Counts> here{start};
  first_ = {0, 1};
  after_.resize(pieces);
  std::vector<std::uint64_t> lacking, must;  // by state: needs not met yet, and those this piece has to lower
  for (std::size_t p = 0; p < pieces; ++p) {
    work.spend(here.size() * (fields.size() + 4 * lowered[p].size()));
    lacking.assign(here.size(), 0);
    must.assign(here.size(), 0);
    for (std::size_t state = 0; state < here.size(); ++state) {
      for (std::size_t n = 0; n < fields.size(); ++n) {
        const auto lines = static_cast<std::size_t>((here[state] & fields[n].mask) >> fields[n].shift);
        if (lines > 0) lacking[state] |= std::uint64_t{1} << n;
        if (lines > fields[n].left[p + 1]) must[state] |= std::uint64_t{1} << n;
        if (lines > fields[n].left[p]) lacking[state] = 0;  // it can't be met at all, so no kind of item will do
      }
    }
    Numbering next;
    after_[p].reserve(here.size() * lowered[p].size());
    for (const auto kind : lowered[p]) {
      for (std::size_t state = 0; state < here.size(); ++state) {
        auto lowers = kind & lacking[state];
        if ((must[state] & ~lowers) != 0) {
          after_[p].push_back(unmet);
          continue;
        }
        auto counts = here[state];
        for (; lowers != 0; lowers &= lowers - 1)
          counts -= Counts{1} << fields[static_cast<std::size_t>(std::countr_zero(lowers))].shift;
        after_[p].push_back(next.number(counts));
      }
    }
    here = next.met();
    first_.push_back(first_.back() + here.size());
  }
}

}  // namespace lacestay::runtime
