// Finding a player in a box: a complete one, in round numbers where there are any, or the proof that there is none.
//
// Without worked-out columns any values will do. With them, the details they rest on are settled together: their
// ranges are parted in two, a part whose worked-out values (by exact interval arithmetic) all miss the box is dropped,
// a part where all lie in it gives the player, and of any other a round point is tried first. Work is counted in
// parts, so the answer never depends on the machine.
#pragma once

#include <optional>
#include <vector>

#include "compiler/policy.hpp"
#include "compiler/reach.hpp"

namespace lacestay::compiler {

using Readings = std::vector<std::int64_t>;  // by asked detail

struct Search {
  enum class Kind : std::uint8_t { found, none, not_settled } kind = Kind::none;
  Readings player;  // found
};

class Witnesses {
 public:
  // `tables` are those the boxes are numbered by; `policy` says how values are written.
  Witnesses(const Policy& policy, const Tables& tables, std::size_t most_parts);

  [[nodiscard]] Search find(const Box& box);

  // The roundest value of a detail from low to high: of the largest round step that has a multiple there, the one
  // nearest the middle.
  [[nodiscard]] std::int64_t round_value(std::size_t asked, ValueRange range) const;

  [[nodiscard]] std::size_t parts() const { return parts_; }

 private:
  [[nodiscard]] Readings round_point(const std::vector<ValueRange>& part) const;
  // Which of the inputs to part, and the last value of the lower part; nothing where each has one value left.
  struct Parting {
    std::uint16_t input = 0;
    std::int64_t last_below = 0;
  };
  [[nodiscard]] std::optional<Parting> parting(const std::vector<ValueRange>& part, const Box& box,
                                               const std::vector<std::uint16_t>& inputs) const;
  bool search(std::vector<ValueRange>& part, const Box& box, const std::vector<std::uint16_t>& inputs,
              std::size_t limit, Search& result);

  const Policy& policy_;
  const Tables& tables_;
  Reach reach_;
  std::size_t most_parts_;
  std::vector<ValueRange> point_;
  std::size_t parts_ = 0;
};

}  // namespace lacestay::compiler
