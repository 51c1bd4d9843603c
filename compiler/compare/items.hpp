// For whom an item may be handed over under one edition alone: one piece that both editions have and accept items of.
//
// An item is one value of every property, new or used, in date or not, and covers what was measured or does not. An
// edition lets it be handed over to a player where at some stage (compiler/shelf) each of these passes. So the values
// of a property are of few kinds: two are of one kind where they pass at the same stages of both editions. Which kinds
// of items there are follows from the kinds of values of each property; README.md beside this file says why that is
// exact, and small. Inner to compiler/, but for `handed_over_at`.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "compiler/compare/asked_beside.hpp"
#include "compiler/compare/difference.hpp"
#include "compiler/compare/gathered_rows.hpp"
#include "compiler/shelf/stages.hpp"

namespace lacestay::compiler {

// A property of the piece, of one edition or of both.
struct ItemProperty {
  OfSides<std::optional<std::uint32_t>> in;
  OfSides<std::vector<std::int64_t>> meaning;  // by step: ticks, or a member's number among those of both editions
  bool members = false;
  ChangedRows::Tables tables{};
};

// What the steps of a property are to its edition: ticks, or members.
[[nodiscard]] std::vector<std::int64_t> values_of_steps(const Policy& policy, std::uint32_t property);

class ComparedItems {
 public:
  // `properties`: those of the piece that the editions share. All must outlive this.
  ComparedItems(const Editions& editions, OfSides<std::uint32_t> piece,
                const std::vector<const MatchedAnswer*>& properties);

  // Has those of its tables read that were not: they are of no answer that both editions have.
  void read_into(ChangedRows& rows) const;
  // Puts into the space the rows that the items rest on, where they may differ; once rules were matched.
  void gather(const ChangedRows& rows, Tables& space);
  // `space` as it is once its columns are reduced.
  [[nodiscard]] ItemsChange compare(const Policy& space, Witnesses& witnesses, const DifferenceBudget& budget) const;

 private:
  struct LinePart {
    TableId line;
    std::uint32_t part;
    ChangedRows::Tables tables;  // one of them
  };
  [[nodiscard]] bool accept_alike() const;
  [[nodiscard]] const LinePart& line_part(Side side, TableId line) const;
  [[nodiscard]] bool for_the_same(const Stage& earlier, const Stage& later) const;
  [[nodiscard]] std::uint32_t piece_part() const { return static_cast<std::uint32_t>(properties_.size()); }
  [[nodiscard]] bool in_both_kits(const GatheredRows::Rows& rows) const;
  // At which stages all lines apply, where just these rows do.
  [[nodiscard]] std::vector<bool> lines_apply(const GatheredRows::Rows& rows) const;

  const Editions& editions_;
  OfSides<std::uint32_t> piece_;
  std::vector<ItemProperty> properties_;
  ChangedRows::Tables piece_tables_{};
  OfSides<std::vector<Stage>> stages_;
  OfSides<std::vector<AskedBeside>> beside_;  // by stage
  OfSides<std::vector<LinePart>> lines_;      // those of the stages that are for some, in the order of their parts
  std::uint32_t line_parts_ = 0;
  // A detail that items cover is worked out otherwise: for whom that is another number is not looked into.
  bool measured_otherwise_ = false;
  GatheredRows rows_;  // a part for each property, then the piece's, then one for each line that is for some
};

// The first stage, of `stages_of`, at which an edition lets an item be handed over to a player; nothing where none
// does. `rows` gives the rows of a table that apply to the player.
[[nodiscard]] std::optional<std::size_t> handed_over_at(const Policy& policy, Side side, std::uint32_t piece,
                                                        const std::function<std::vector<std::uint32_t>(TableId)>& rows,
                                                        const SampleItem& item);

}  // namespace lacestay::compiler
