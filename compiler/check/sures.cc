// `make sure`: names and types. Whether the claims hold is for the proof.
#include <fmt/format.h>

#include <algorithm>

#include "compiler/check/names.hpp"

namespace lacestay::compiler {

void Checker::check_sures() {
  // Of a group the claim is one of each of its pieces.
  const auto add_each = [&](DraftSure& made, const std::vector<std::uint32_t>& each_target) {
    for (const auto target : each_target) {
      made.sure.target = target;
      sures.push_back(made);
    }
  };
  each<grammar::MakeSure>([&](const grammar::MakeSure& form, const grammar::Item& item, std::size_t file) {
    DraftSure made;
    using Kind = grammar::MakeSure::Kind;
    made.sure.kind = static_cast<Sure::Kind>(form.kind);
    made.sure.span = item.head;
    grammar::Clauses clauses;
    clauses.when = form.when;
    made.when = applies_when(clauses, file);  // a pack's claim holds where the pack does
    made.sure.advice_alone = form.advice.has_value();
    if (form.kind == Kind::needed || form.kind == Kind::left_out) {
      add_each(made, pieces_named(form.subject));
      return;
    }
    const auto refuse = [&](const grammar::Span& span, std::string message, std::string hint) {
      diagnostics.add("sure-1", span, std::move(message), std::move(hint));
    };
    if (form.kind == Kind::one_of && pieces.count(form.subject.joined()) != 0)
      return refuse(form.members.front().span,
                    fmt::format("{} is a piece, which has no members.", form.subject.joined()),
                    "write is needed or is left out, or name one of its properties");
    const auto properties = properties_named(form.subject);
    if (properties.empty()) return;
    const auto property = properties.front();  // the others are declared alike
    const auto& space = policy.tables.answers[property];
    if (form.kind == Kind::one_of) {
      const auto& scale = policy.properties[property].scale;
      if (space.ordered)
        return refuse(form.members.front().span, "This has an order, in which one bound or two say what must hold.",
                      "write is at least, is at most or is within");
      for (const auto& word : form.members) {
        const auto found = member(grammar::Phrase{{word}, word.span}, scale, std::string(form.subject.span.text()));
        if (!found) return;
        auto& members = made.sure.members;
        const auto at = std::lower_bound(members.begin(), members.end(), *found);
        if (at != members.end() && *at == *found) {
          diagnostics.add("names-2", word.span, fmt::format("'{}' stands here twice.", word.text),
                          "keep one of the two");
          return;
        }
        members.insert(at, *found);
      }
      add_each(made, properties);
      return;
    }
    if (!space.ordered)
      return refuse(form.subject.span,
                    "A choice has no order, so nothing is at least, at most, within, rising or falling.",
                    "write which members may be, as in: make sure stick toe is round or square");
    if (form.detail) {
      const auto column = column_named(*form.detail);
      if (!column) return;
      const auto& scale = policy.scale_of(*column);
      if (policy.tables.columns[*column].worked_out || scale.kind == Scale::Kind::choice)
        return refuse(
            form.detail->span,
            fmt::format("{} is {}; only an asked number, day or grade rises.", policy.name_of(*column),
                        policy.tables.columns[*column].worked_out ? "worked out" : "a choice without an order"),
            "name a detail that is asked, and has an order");
      made.sure.detail = policy.tables.columns[*column].detail;
    } else if (form.kind == Kind::within) {
      const auto* interval = std::get_if<grammar::Interval>(&*form.bound);
      std::optional<std::pair<std::int64_t, std::int64_t>> low, high;
      if (space.band) {
        low = high = answer(*form.bound, property);
      } else {
        high = answer(interval->to, property);
        if (high) low = answer(interval->from, property);
      }
      if (!low || !high) return;
      if (low->first > high->second)
        diagnostics.add("answers-4", interval->span,
                        larger_first(span_of(interval->from).text(), span_of(interval->to).text()),
                        "write the smaller first, if both are right; or mend the end that is wrong");
      made.sure.low = low->first, made.sure.high = high->second;
    } else {
      // A band is held to one value: both of its ends are.
      auto cell = *form.bound;
      if (const auto* value = space.band ? std::get_if<grammar::Value>(&cell) : nullptr)
        cell = grammar::Interval{*value, *value, span_of(*value)};
      else if (space.band)
        return refuse(span_of(cell), "At least and at most hold a band to one value.",
                      fmt::format("write one value, or is within {}", span_of(cell).text()));
      const auto steps = answer(cell, property);
      if (!steps) return;
      made.sure.low = steps->first, made.sure.high = steps->second;
    }
    add_each(made, properties);
  });
}

}  // namespace lacestay::compiler
