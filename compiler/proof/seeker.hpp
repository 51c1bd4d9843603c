// Finding players for a purpose: one whom a row speaks to, one for whom two rules meet, one in a box.
#pragma once

#include <optional>

#include "compiler/law/regions.hpp"
#include "compiler/space/witness.hpp"

namespace lacestay::compiler {

class Seeker {
 public:
  // The policy must outlive this. Tables, rows and boxes are numbered as the policy's own.
  explicit Seeker(const Policy& policy);

  // Whom a row of a property, piece or caution speaks to: who has the piece and yields to no rule that outranks it,
  // if there is such a player; else whoever meets the row. Nothing where nobody does, or where the budget of work ran
  // out.
  [[nodiscard]] std::optional<Readings> whom(TableId table, std::uint32_t row);
  // For whom a rule is silenced by one that outranks it; who has the piece, if there is such a player.
  [[nodiscard]] std::optional<Readings> silenced(TableId table, RuleId over, RuleId under);
  // Somebody in a box; who has the table's piece, if there is such a player.
  [[nodiscard]] std::optional<Readings> within(TableId table, const Box& box);

 private:
  // A player of the first of the sets `sought` that has one.
  template <typename Sought>
  std::optional<Readings> seek(TableId table, Sought sought);

  const Tables& tables_;
  Witnesses witnesses_;
};

}  // namespace lacestay::compiler
