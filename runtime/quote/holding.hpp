// What an item is held to and what it lacks: the steps that a stage, and what binds items, leave each of its
// properties, and all that its accept line asks beside them.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "compiler/law/law.hpp"
#include "compiler/shelf/stages.hpp"
#include "compiler/values/rational.hpp"
#include "runtime/engine/engine.hpp"
#include "runtime/stock/stock.hpp"

namespace lacestay::runtime {

// What one property of an item is held to: the steps, of its own value, of which it must be able to be one.
struct HeldTo {
  compiler::StepRange steps;
  bool anything = true;  // nothing is asked of it and nothing binds it, so its cell may be blank
};

// What is known of a property of a piece: its certain answer, where the accept line looks at it; and for each class of
// players still possible, what binds items, with the answer that a safety rule's base keeps them to.
struct KnownProperty {
  Outcome advised;
  std::vector<std::pair<compiler::ItemBounds, Outcome>> bounds;
  bool varies = false;  // what binds items is not the same for all of them
};

// The flex a shaft is felt to have once its length is cut down, in ticks, exactly: flex x (length / cut)^3, three-point
// bending with the span cut as the shaft is. One no longer than `cut` is not cut. Nothing where the result does not fit
// in 127 bits, which no shaft under 4 m with a flex under 1,000 comes to.
[[nodiscard]] std::optional<compiler::Rational> felt_flex(std::int64_t flex, std::int64_t length, std::int64_t cut);

class Holding {
 public:
  // `measured` is by column: one value where it is known. Policy and stock must outlive this; `today` is a day number.
  Holding(const compiler::Policy& policy, const Stock& stock, std::int64_t today,
          std::vector<compiler::Interval> measured);

  [[nodiscard]] const compiler::Interval& measured(std::size_t column) const { return measured_[column]; }
  // From here on items of this piece are held to this stage. `known` is by property of the piece, and must outlive
  // that.
  void hold_to(const compiler::Stage& stage, std::uint32_t piece, const std::vector<KnownProperty>& known);
  [[nodiscard]] const std::vector<HeldTo>& held() const { return held_; }

  // It is on hand, may be sold as what it is, and lacks nothing.
  [[nodiscard]] bool fits(const StockItem& item, const compiler::Acceptance& accepts) const {
    return item.on_hand > 0 && may_be_sold(item) && misses(item, accepts).empty();
  }
  // All that keeps it from being handed over, each as a person is told.
  [[nodiscard]] std::vector<std::string> lacks(const StockItem& item, const compiler::Acceptance& accepts) const;

 private:
  [[nodiscard]] bool reaches_items() const { return policy_.tables.safety_reaches_items; }
  [[nodiscard]] std::uint32_t first_property(std::uint32_t piece) const { return policy_.pieces[piece].first_property; }
  [[nodiscard]] std::int64_t ticks(std::uint32_t property, std::int64_t step) const {
    return policy_.properties[property].at(step);
  }
  [[nodiscard]] const ItemValue& value(const StockItem& item, std::uint32_t property) const {
    return item.values[property - first_property(item.piece)];
  }
  [[nodiscard]] bool in_date(const StockItem& item) const;
  [[nodiscard]] bool made_since(const StockItem& item, std::int64_t years) const;
  [[nodiscard]] bool may_be_sold(const StockItem& item) const;
  [[nodiscard]] std::vector<std::string> misses(const StockItem& item, const compiler::Acceptance& accepts) const;
  [[nodiscard]] bool has_one(const StockItem& item, std::uint32_t at) const;
  [[nodiscard]] bool felt(const StockItem& item, const compiler::Requirement& need) const;
  [[nodiscard]] bool felt_in_form_1(const compiler::Requirement& need, const ItemValue& flex, const ItemValue& length,
                                    const compiler::StepRange& held) const;
  [[nodiscard]] bool covers(const StockItem& item, const compiler::Requirement& need) const;
  [[nodiscard]] std::string but(const StockItem& item, const compiler::Requirement& need) const;
  [[nodiscard]] std::string is_instead(const StockItem& item, std::uint32_t property) const;

  const compiler::Policy& policy_;
  const Stock& stock_;
  std::int64_t today_;
  std::vector<compiler::Interval> measured_;
  const std::vector<KnownProperty>* known_ = nullptr;
  std::vector<HeldTo> held_;  // by property of the piece
  bool any_condition_ = false;
};

}  // namespace lacestay::runtime
