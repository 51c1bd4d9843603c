// What may be handed over for an advice, as formulas of z3, made from a policy's `accept` lines: for a player, a stage
// and an item's step. Written from the semantics of the language (14 and 15); it knows nothing of compiler/shelf.
#pragma once

#include "tests/compiler/proof/z3_model.hpp"

namespace lacestay::judges {

// The accept line itself, or with one of the lines below it taken, or with one that settles for something else. The
// lines must outlive this.
struct ShelfStage {
  const grammar::Accept* line = nullptr;
  const grammar::Instead* instead = nullptr;
  const grammar::PlanStep* settled = nullptr;
};
// In the order of the policy, up to the first line that refers or orders; then what is settled for.
[[nodiscard]] std::vector<ShelfStage> shelf_stages(const naive::Policy& policy, std::size_t piece);

// The player may be handed an item with this step of the property.
[[nodiscard]] z3::expr may_have(Model& player, const Subject& subject, const ShelfStage& stage, std::int64_t step);

// Two accept lines of the piece are for the player.
[[nodiscard]] z3::expr two_lines(Model& player, std::size_t piece);

// Whether a `make sure` bounds what is handed over; that an item of this step, one at this stage, breaks it; that any
// item does.
[[nodiscard]] bool bounds_items(const grammar::MakeSure& sure);
[[nodiscard]] z3::expr broken_by(const grammar::MakeSure& sure, Model& player, const ShelfStage& stage,
                                 std::int64_t step);
[[nodiscard]] z3::expr broken_by_items(const grammar::MakeSure& sure, Model& player);

}  // namespace lacestay::judges
