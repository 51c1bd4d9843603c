// Finding a player in a box: a complete one, in round numbers where there are any, or the proof that there is none.
//
// Without worked-out columns any values will do. With them, the details they rest on are settled together by interval
// branch and prune (branch_and_prune.hpp): a part whose worked-out values, by their bounds (reach.hpp), all miss the
// box is pruned, a part where all lie in it gives the player, and of any other a round point is tried first. A player
// found in a part so narrow that no round one lies there is then moved to round values as near as may be, one detail at
// a time. Work is counted in parts, so the answer never depends on the machine.
//
// This is the one place where players that cannot be (Tables::shut_out) are left out: whoever asks whether somebody
// exists, asks here. A line that may hold somebody in the box is settled as a worked-out column is, with the details it
// looks at; those that no line and no worked-out column ties to the others are settled by themselves. Most players that
// come without a thought to the lines can be, so those are sought first.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "compiler/space/branch_and_prune.hpp"
#include "compiler/space/reach.hpp"
#include "compiler/tables/policy.hpp"

namespace lacestay::compiler {

using Readings = std::vector<std::int64_t>;  // by asked detail

struct Search {
  enum class Kind : std::uint8_t { found, none, not_settled } kind = Kind::none;
  Readings player;   // found
  Readings earlier;  // the other one, where two were sought
};

class Witnesses {
 public:
  // `tables` are those the boxes are numbered by; `policy` says how values are written. `most_parts` bounds one search.
  Witnesses(const Policy& policy, const Tables& tables, std::size_t most_parts);
  // The same where other players can't be than the tables say.
  Witnesses(const Policy& policy, const Tables& tables, std::size_t most_parts, std::vector<ShutOut> shut_out);

  [[nodiscard]] Search find(const Box& box);
  // Somebody whose details lie in these ranges, one for each, in their domains.
  [[nodiscard]] Search find(std::vector<ValueRange> ranges);
  // Two players, of whom the one in `earlier` has less of a detail than the one in `later`. Each may have what he will
  // of the `free` details; in all others they are alike.
  [[nodiscard]] Search find_pair(const Box& earlier, const Box& later, std::uint16_t detail,
                                 const std::vector<std::uint16_t>& free = {});
  // The first line that shuts out a player, whose readings are all in their domains; null where he can be.
  [[nodiscard]] const ShutOut* who_shuts_out(const Readings& player);

  // A round value of a detail from low to high: of the largest round step of whole units that has several multiples
  // there, or else of the largest that has one, the multiple nearest the middle.
  [[nodiscard]] std::int64_t round_value(std::size_t asked, ValueRange range) const;

 private:
  // Where two players are sought, the earlier one's own ranges of the details apart come last.
  using Part = BranchAndPrune::Part;
  struct Quest {
    const Box& box;
    const Box* earlier = nullptr;
    std::vector<std::uint16_t> apart = {};  // of two players: what rises, then what is free
    std::vector<const Box*> shut_out = {};  // those that may hold somebody
  };
  // Details that are settled together.
  struct Group {
    std::vector<bool> details;  // by asked detail
    std::vector<const Box*> shut_out;
  };
  [[nodiscard]] bool two(const Quest& quest) const { return quest.earlier != nullptr; }
  [[nodiscard]] Part whole() const;
  // As if everybody could be; where whoever comes is shut out, once more with all the lines.
  template <typename Seek>
  Search unless_shut_out(Seek seek);
  Search find(const Box& box, const Part& part);
  Search find(const Box& box, const Part& part, std::span<const ShutOut> shut_out);
  // What ties the details of a box: its worked-out columns, and the lines that may hold somebody in the part. Nothing
  // where one of these surely holds everybody.
  [[nodiscard]] std::optional<std::vector<Group>> groups(const Box& box, const Part& part,
                                                         std::span<const ShutOut> shut_out);
  // Ticks in one of the unit a detail is shown in.
  [[nodiscard]] std::int64_t one_shown(std::size_t asked) const;
  // 100, 50, 10, 5, 2 and 1 of the unit a detail is shown in, then a half, a tenth and a hundredth of it, in ticks;
  // those that its readings can be multiples of.
  [[nodiscard]] std::vector<std::int64_t> round_steps(std::size_t asked) const;
  // Narrows an asked detail's range to what a cell leaves of it.
  void hold(ValueRange& range, const Cell& cell) const;
  Search settle(Part whole, const Quest& quest);
  BranchAndPrune::Next look(const BranchAndPrune& space, const Part& part, const Quest& quest, Search& result);
  // How much of the part is sought; puts into `doubts_` which of its ranges may be split.
  [[nodiscard]] Fit fit(const Part& part, const Quest& quest);
  [[nodiscard]] Fit fit_one(const Part& part, const Box& box, const Quest& quest, bool earlier);
  // How much of a part of one player a box holds, worked out only where the asked details leave it open; `doubt` is
  // told each detail that cells in doubt rest on.
  template <typename Doubt>
  Fit fit_of_box(Reach& reach, const Part& own, const Box& box, Doubt doubt);
  [[nodiscard]] Search round_players(const Part& part, const Quest& quest) const;
  // The same players, with rounder values where the box allows.
  void round_off(Search& players, const Part& whole, const Quest& quest);
  [[nodiscard]] Part as_part(const Search& players, const Quest& quest) const;
  // The ranges of one of two players.
  [[nodiscard]] Part own_part(const Part& part, const Quest& quest, bool earlier) const;

  const Policy& policy_;
  const Tables& tables_;
  Reach reach_;
  std::size_t most_parts_;
  std::vector<ShutOut> shut_out_;
  Reach reach_of_lines_;             // of what the lines look at, and nothing else
  std::vector<std::size_t> doubts_;  // ranges of a part
};

}  // namespace lacestay::compiler
