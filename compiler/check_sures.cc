// `make sure`: names and types. Whether the claims hold is for the proof.
#include <fmt/format.h>

#include "compiler/checker.hpp"

namespace lacestay::compiler {

void Checker::check_sures() {
  each<grammar::MakeSure>([&](const grammar::MakeSure& form, const grammar::Item& item, std::size_t) {
    DraftSure made;
    using Kind = grammar::MakeSure::Kind;
    made.sure.kind = static_cast<Sure::Kind>(form.kind);
    made.sure.span = item.head;
    auto when = tests(form.when, false);
    if (!when) return;
    made.when = std::move(*when);
    if (form.kind == Kind::needed || form.kind == Kind::left_out) {
      const auto piece = piece_named(form.subject);
      if (!piece) return;
      made.sure.target = *piece;
      sures.push_back(std::move(made));
      return;
    }
    const auto property = property_named(form.subject);
    if (!property) return;
    const auto& space = policy.tables.answers[*property];
    made.sure.target = *property;
    const auto refuse = [&](const char* message, const char* hint) {
      diagnostics.add("sure-1", item.head, message, hint);
    };
    if (!space.ordered)
      return refuse("A choice has no order, so nothing is at least, at most, within, rising or falling.",
                    "make it grades, or leave the claim out");
    if (form.detail) {
      const auto column = column_named(*form.detail);
      if (!column) return;
      const auto& scale = policy.scale_of(*column);
      if (policy.tables.columns[*column].worked_out || scale.kind == Scale::Kind::choice)
        return refuse("Only an asked number, day or grade can rise.", "name one of those");
      made.sure.detail = policy.tables.columns[*column].detail;
    } else if (form.kind == Kind::within) {
      const auto* interval = std::get_if<grammar::Interval>(&*form.bound);
      std::optional<std::pair<std::int64_t, std::int64_t>> low, high;
      if (space.band) {
        low = high = answer(*form.bound, *property);
      } else {
        low = answer(interval->from, *property);
        high = answer(interval->to, *property);
      }
      if (!low || !high) return;
      made.sure.low = low->first, made.sure.high = high->second;
    } else {
      // A band is held to one value: both of its ends are.
      auto cell = *form.bound;
      if (space.band)
        if (const auto* value = std::get_if<grammar::Value>(&cell))
          cell = grammar::Interval{*value, *value, span_of(*value)};
      const auto steps = answer(cell, *property);
      if (!steps) return;
      made.sure.low = steps->first, made.sure.high = steps->second;
    }
    sures.push_back(std::move(made));
  });
}

}  // namespace lacestay::compiler
