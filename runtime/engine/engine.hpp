// The engine: players in, answers out, as fast as the tables allow.
//
// Each detail is placed once among all the policy's edges (one search a detail). Then each table is one lookup:
// where the product of its places is small, an array indexed by the places' combined index; where it is not, a
// walk down the flattened decision diagram. What the lookup finds is a *class*: the set of rows that apply, whose
// outcome was worked out when the engine was built. So a player costs no allocation, no text and no law; who
// wants reasons asks for the rows of the class. README.md beside this tells the whole way, with an example.
//
// Immutable once built, and shared by threads; each thread brings its own Scratch.
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "compiler/law/law.hpp"
#include "compiler/space/diagram.hpp"
#include "compiler/tables/policy.hpp"
#include "grammar/text/result.hpp"
#include "runtime/engine/ruler.hpp"

namespace lacestay::runtime {

using compiler::Outcome;
using compiler::Standing;
using compiler::TableId;

using ClassId = std::uint32_t;  // counted within its table

class Engine {
 public:
  // A table whose places multiply to more than this is walked as a diagram. It also keeps classes within 16 bits.
  static constexpr std::size_t largest_dense = 1u << 16;

  // The only way to an engine, and never null. `policy` is there, and is what a check let pass or a seal held: places
  // and rows are not looked at again. Where a table is too large to be laid out: limits-5, which names the answer. A
  // test may have every table walked, with `dense` 0.
  static Result<std::shared_ptr<const Engine>> build(std::shared_ptr<const compiler::Policy> policy,
                                                     std::size_t dense = largest_dense);

  [[nodiscard]] const compiler::Policy& policy() const { return *policy_; }
  // For what is to outlive the engine.
  [[nodiscard]] std::shared_ptr<const compiler::Policy> shared_policy() const { return policy_; }
  // What the engine looks up: the policy's tables, row for row, with what rests on one asked detail turned into edges
  // of that detail (fewer_columns.hpp). Places of this engine are places of these columns.
  [[nodiscard]] const compiler::Tables& tables() const { return tables_; }

  // Room for one player on the way; made once a thread.
  struct Scratch {
    std::vector<std::uint32_t> places;            // by column
    std::vector<compiler::Fraction> values;       // by column
    std::vector<compiler::Fraction64> values_64;  // by column, where formulas fit
    std::vector<std::uint32_t> indices;           // by plan
  };
  [[nodiscard]] Scratch scratch() const;

  // Tables that answer: properties, pieces, cautions, in the policy's order (detail charts and lines of the shop come
  // after them).
  [[nodiscard]] std::size_t answers() const { return answers_; }

  // One player. `readings` holds each asked detail's ticks (or member's place), inside its domain; `out` gets a
  // class for each answer. No allocation; some nanoseconds a table and a detail.
  void answer(std::span<const std::int64_t> readings, Scratch& scratch, std::span<ClassId> out) const noexcept;

  // The steps of `answer`, for those who change a place between them.
  void place(std::span<const std::int64_t> readings, Scratch& scratch) const noexcept;
  [[nodiscard]] ClassId look_up(TableId table, std::span<const std::uint32_t> places) const noexcept;

  // Whether there can be a player at the places a scratch holds: for those who change one into another.
  [[nodiscard]] bool can_be(const Scratch& placed) const noexcept;

  [[nodiscard]] const Outcome& outcome(TableId table, ClassId found) const { return classes_[table].outcomes[found]; }
  // For the player a scratch has been placed for.
  [[nodiscard]] const Outcome& outcome(TableId table, const Scratch& placed) const {
    return outcome(table, look_up(table, placed.places));
  }
  // Indices into the table's rows, ascending.
  [[nodiscard]] std::span<const std::uint32_t> rows(TableId table, ClassId found) const {
    return classes_[table].rows[found];
  }

  // Every class a table can be in where each column may be in any of a range of places (by column; only those the table
  // looks at count). Exact where the columns are independent. Ascending. Cost: at most the cells of the table.
  [[nodiscard]] std::vector<ClassId> possible(TableId table, std::span<const compiler::PlaceRange> places) const;

 private:
  Engine() = default;

  struct Step {
    std::uint32_t column;
    std::uint32_t remap;   // where remaps_ holds this column's places as this table's
    std::uint32_t places;  // how many of the table's places it has
    std::uint32_t stride;  // 1 where the plan is not dense
  };
  // How places become an index. Tables that look at the same places of the same columns share a plan.
  struct Plan {
    std::uint32_t first_step = 0, end_step = 0;  // in steps_
    bool dense = true;                           // its remaps are multiplied by strides, so their sum is the index
  };
  struct Lookup {
    std::uint32_t plan = 0;
    std::uint32_t start = 0;  // dense: its first cell in cells_; else where the walk begins, in walk_
  };
  // What a class means; touched by those who ask for outcomes and reasons.
  struct Classes {
    std::vector<Outcome> outcomes;
    std::vector<std::vector<std::uint32_t>> rows;
  };
  // How a worked-out detail is worked out and placed.
  struct Work {
    bool ticks_fit_64 = true;  // its unreduced numerator, brought to ticks
    std::int64_t scale = 1;    // 10^9 for a plain number, whose edges are in ticks
    Ruler ruler;               // of doubled ticks, see `doubled`
  };
  class Builder;

  [[nodiscard]] std::uint32_t index_of(const Plan& plan, std::span<const std::uint32_t> places) const noexcept;
  [[nodiscard]] ClassId walk(const Lookup& lookup, std::span<const std::uint32_t> places) const noexcept;
  [[nodiscard]] std::span<const Step> steps_of(const Plan& plan) const noexcept {
    return {steps_.data() + plan.first_step, steps_.data() + plan.end_step};
  }

  std::shared_ptr<const compiler::Policy> policy_;
  compiler::Tables tables_;
  std::size_t answers_ = 0;
  std::vector<Ruler> rulers_;                  // by asked detail; not used for members
  std::vector<std::uint16_t> formula_inputs_;  // asked details some formula reads
  std::vector<std::uint16_t> worked_out_;      // those a table or another of them still needs, in order
  std::vector<Work> works_;                    // by worked-out detail
  std::vector<Plan> plans_;
  std::vector<Lookup> lookups_;  // by table
  std::vector<Step> steps_;
  std::vector<std::uint32_t> remaps_;
  std::vector<std::uint16_t> cells_;
  std::vector<std::uint32_t> walk_;  // per node its step, then the next node for each of its places
  std::vector<Classes> classes_;     // by table
};

}  // namespace lacestay::runtime
