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
  [[nodiscard]] Part part_of(const compiler::Table& table, const compiler::Role& role) const;

 private:
  [[nodiscard]] std::vector<LookedAt> looked_at(const compiler::Row& row) const;
  [[nodiscard]] LookedAt looked_at(compiler::ColumnId column, const compiler::Cell* cell) const;
  void derive(compiler::ColumnId column, std::vector<Derivation>& derived) const;
  void nearest_edge(const compiler::Cell& cell, LookedAt& looked) const;
  [[nodiscard]] compiler::Rational ticks_of(compiler::ColumnId column) const;
  [[nodiscard]] std::optional<std::int64_t> precision_of(std::size_t detail) const;
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
