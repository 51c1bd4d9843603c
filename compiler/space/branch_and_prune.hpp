// Interval branch and prune over the values of asked details: a part of the space is one range of values of each
// detail; a look at it says that it is settled (pruned), or that it is to be split in one of its ranges, or that the
// search ends. Depth first, the lower half before the upper one.
//
// What a look finds out is its caller's affair, mostly by bounds over the part's ranges (reach.hpp). Here stand the
// walk, where a part is split, and how many parts were looked at, so that a caller's budget of work is the same on
// every machine.
#pragma once

#include <cassert>
#include <cstdint>
#include <optional>
#include <span>
#include <variant>
#include <vector>

#include "compiler/tables/places.hpp"

namespace lacestay::compiler {

class BranchAndPrune {
 public:
  // A range of each asked detail, in their order. More may follow: a second range of some of them, where two players
  // are sought who are alike in all else.
  using Part = std::vector<ValueRange>;

  struct Prune {};
  struct Split {
    std::size_t at = 0;           // which range of the part
    std::int64_t last_below = 0;  // the last value of its lower half; not its last value
  };
  struct Stop {};
  using Next = std::variant<Prune, Split, Stop>;

  // `whole` has no empty range. `twice` are the details of the ranges that follow those of all asked details.
  BranchAndPrune(const Tables& tables, Part whole, std::size_t most_parts, std::vector<std::uint16_t> twice = {})
      : tables_(tables), part_(std::move(whole)), most_parts_(most_parts), twice_(std::move(twice)) {
    assert(part_.size() == tables.asked.size() + twice_.size());
  }

  // `look` is asked of each part: const Part& → Next. False where it said to stop.
  template <typename Look>
  bool run(Look& look) {
    ++parts_;
    const Next next = look(std::as_const(part_));
    if (std::holds_alternative<Stop>(next)) return false;
    const auto* split = std::get_if<Split>(&next);
    if (!split) return true;
    const auto held = part_[split->at];
    assert(held.low <= split->last_below && split->last_below < held.high);
    part_[split->at].high = split->last_below;
    bool on = run(look);
    if (on) {
      part_[split->at] = {split->last_below + domain(split->at).grain, held.high};
      on = run(look);
    }
    part_[split->at] = held;
    return on;
  }

  // More parts were looked at than the budget allows, counting the one that is looked at now.
  [[nodiscard]] bool spent() const { return parts_ > most_parts_; }

  // Where to split a part, of some of its ranges (which may be named twice): the one with most of its domain left, in
  // its middle, or at the edge nearest its middle if it holds one. Edges serve a search for one player, since parts
  // that end at them are soon settled for the charts over the detail; where every part is to be settled, the middle
  // tightens bounds sooner. Nothing where each of the ranges is down to one value.
  enum class SplitAt : std::uint8_t { middle, edge };
  [[nodiscard]] std::optional<Split> split(const Part& part, std::span<const std::size_t> ranges, SplitAt where) const;

 private:
  [[nodiscard]] std::size_t asked(std::size_t range) const {
    return range < tables_.asked.size() ? range : twice_[range - tables_.asked.size()];
  }
  [[nodiscard]] const AskedDomain& domain(std::size_t range) const { return tables_.asked[asked(range)]; }

  const Tables& tables_;
  Part part_;
  std::size_t most_parts_, parts_ = 0;
  std::vector<std::uint16_t> twice_;
};

}  // namespace lacestay::compiler
