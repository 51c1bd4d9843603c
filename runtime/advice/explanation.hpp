// One table's answer explained: what a row says, what it looked at, what would change it. Inner to runtime/.
#pragma once

#include "compiler/space/reach.hpp"
#include "runtime/advice/advice.hpp"

namespace lacestay::runtime {

class Explanation {
 public:
  Explanation(const Engine& engine, const Player& player);

  [[nodiscard]] Answer answer(TableId table);
  // The same, from what is possible already known.
  [[nodiscard]] Answer answer(TableId table, const Possible& possible);
  // `upper_end` is the other row of a band that is sized from two amounts: the two are told as one.
  [[nodiscard]] Part part_of(const compiler::Table& table, const compiler::Role& role,
                             const compiler::Row* upper_end) const;
  // A column's value, in ticks; one that is worked out may lie between two. And in words, with the nearer edge of the
  // condition that looks at it, where there is one.
  [[nodiscard]] compiler::Rational ticks_of(compiler::ColumnId column) const;
  [[nodiscard]] LookedAt looked_at(compiler::ColumnId column, const compiler::Cell* cell) const;

 private:
  [[nodiscard]] std::vector<LookedAt> looked_at(const compiler::Row& row) const;
  void derive(compiler::ColumnId column, std::vector<Derivation>& derived) const;
  [[nodiscard]] std::string distance(const compiler::Scale& scale, const compiler::Rational& away) const;
  void nearest_edge(const compiler::Cell& cell, LookedAt& looked) const;
  [[nodiscard]] std::optional<std::int64_t> precision_of(std::size_t detail) const;
  // The player with another value of this detail, and what the answer would be.
  [[nodiscard]] WhatIf with(std::size_t detail, std::int64_t value, const Outcome& outcome) const;
  [[nodiscard]] std::vector<WhatIf> slips(TableId table, const Outcome& now);
  [[nodiscard]] std::optional<WhatIf> smallest_change(TableId table, const Outcome& now);

  const Engine& engine_;
  const compiler::Policy& policy_;
  const Player& player_;
  bool complete_;
  compiler::Reach reach_;
  std::vector<compiler::PlaceRange> places_;  // by column of the policy; one place each, where all is known
  std::vector<std::int64_t> readings_;
};

}  // namespace lacestay::runtime
