// `size … from`: a size by a worked-out or an asked amount, a band by two of them.
#include <fmt/format.h>

#include <algorithm>

#include "compiler/check/names.hpp"

namespace lacestay::compiler {
namespace {

// A property's steps as edges of a detail it is sized from.
class StepsOf {
 public:
  // From the smallest to the largest, where the policy names them: the smallest answers whatever lies below it too,
  // the largest whatever lies above. Without them the range ends a step past the first and the last.
  struct Ends {
    std::optional<std::uint32_t> smallest, largest;
  };

  StepsOf(Checker& checker, std::uint32_t property, ColumnId column, const Ends& ends)
      : checker_(checker), text_(checker.policy.properties[property]), column_(column), ends_(ends) {
    last_of_range_ = std::int64_t{checker.policy.tables.answers[property].steps} - 1;
    // A plain number counts flex.
    counts_ = checker.policy.scale_of(column).dimension != text_.scale.dimension;
  }

  [[nodiscard]] std::int64_t first() const { return ends_.smallest.value_or(0); }
  [[nodiscard]] std::int64_t last() const { return ends_.largest.value_or(last_of_range_); }

  // Values of which the next step up lies between two.
  [[nodiscard]] DraftTest up_to_one_of(std::int64_t low, std::int64_t high) const {
    DraftTest test;
    test.column = column_;
    if (low != ends_.smallest) test.from = checker_.cut_after(column_, edge(low - 1));
    if (high != ends_.largest) test.to = checker_.cut_after(column_, edge(high));
    return test;
  }
  // Values of which the next step down lies between two.
  [[nodiscard]] DraftTest down_to_one_of(std::int64_t low, std::int64_t high) const {
    DraftTest test;
    test.column = column_;
    if (low != ends_.smallest) test.from = checker_.cut_before(column_, edge(low));
    if (high != ends_.largest) test.to = checker_.cut_before(column_, edge(high + 1));
    return test;
  }

 private:
  // Past either end, as far as the nearest two lie apart.
  [[nodiscard]] std::int64_t at(std::int64_t step) const {
    if (step < 0) return 2 * text_.at(0) - text_.at(1);
    if (step > last_of_range_) return 2 * text_.at(last_of_range_) - text_.at(last_of_range_ - 1);
    return text_.at(step);
  }
  // The same as the detail counts it.
  [[nodiscard]] std::int64_t edge(std::int64_t step) const {
    if (counts_) return at(step) * (ticks_per_one / ticks_per({grammar::Unit::flex, ""}));
    checker_.note_edge(column_, text_.scale.shown, at(step));
    return at(step);
  }

  Checker& checker_;
  const PropertyText& text_;
  ColumnId column_;
  Ends ends_;
  std::int64_t last_of_range_ = 0;
  bool counts_ = false;
};

bool holds_any(const DraftTest& test) { return !test.from || !test.to || *test.from < *test.to; }

// "The next step up" as rows: step k answers values past step k-1 up to and with step k.
std::vector<DraftRow> size_rows(const StepsOf& steps) {
  std::vector<DraftRow> rows;
  for (auto step = steps.first(); step <= steps.last(); ++step)
    if (auto test = steps.up_to_one_of(step, step); holds_any(test)) rows.push_back({{test}, step, step, 0, false});
  return rows;
}

// The steps that lie between two amounts, as two families of rows. One of each applies, or, where no step lies there or
// an end is past the range, none of either: so a row of one looks at the other's amount as well.
std::vector<DraftRow> band_rows(const StepsOf& soft, const StepsOf& stiff, std::int64_t last) {
  std::vector<DraftRow> rows;
  const auto add = [&](const DraftTest& own, const DraftTest& other, DraftRow row) {
    if (!holds_any(own) || !holds_any(other)) return;
    row.tests = {own, other};
    rows.push_back(std::move(row));
  };
  for (auto step = soft.first(); step <= soft.last(); ++step)
    add(soft.up_to_one_of(step, step), stiff.down_to_one_of(step, stiff.last()), {{}, step, last, 0, false});
  for (auto step = stiff.first(); step <= stiff.last(); ++step)
    add(stiff.down_to_one_of(step, step), soft.up_to_one_of(soft.first(), step), {{}, 0, step, 0, true});
  return rows;
}

}  // namespace

// Whether a property can be sized from a detail; if not, that is told.
bool Checker::check_sized_from(std::uint32_t property, ColumnId column, const grammar::Span& span) {
  const auto& text = policy.properties[property];
  const auto name = policy.pieces[text.piece].name + " " + text.name;
  const auto& scale = text.scale;
  const auto& from = policy.scale_of(column);
  const auto& detail = policy.name_of(column);
  const bool number = from.kind == Scale::Kind::amount && from.dimension == Dimension::number;
  const bool counts_flex = number && scale.dimension == Dimension::flex;
  if (from.kind == Scale::Kind::amount && (from.dimension == scale.dimension || counts_flex)) return true;
  diagnostics.add(
      "rules-2", span,
      fmt::format("{} is {}, and {} is {}: the next step up needs both of one kind.", name,
                  a_dimension(scale.dimension), detail,
                  from.has_members()              ? "one of " + some_of(from.members)
                  : from.kind == Scale::Kind::day ? "a day"
                  : number                        ? "a plain number"
                                                  : a_dimension(from.dimension)),
      number && policy.tables.columns[column].worked_out && scale.dimension != Dimension::number
          ? fmt::format("give {} its unit where it is worked out, by a last step: * 1 {}", detail,
                        scale.shown.back().unit ? grammar::spelling(*scale.shown.back().unit) : policy.currency)
          : fmt::format("use a chart that gives {}, with {} down or across", name, detail));
  return false;
}

void Checker::check_size(const grammar::Action& action, std::uint32_t property, DraftRule& made) {
  const auto column = column_named(*action.from);
  const auto upper = action.to ? column_named(*action.to) : std::nullopt;
  if (!column || (action.to && !upper)) return;
  const auto& text = policy.properties[property];
  const auto name = policy.pieces[text.piece].name + " " + text.name;
  const auto& scale = text.scale;
  const auto refuse = [&](const char* code, const grammar::Span& at, std::string message, std::string hint) {
    diagnostics.add(code, at, std::move(message), std::move(hint));
  };
  const auto& detail = policy.name_of(*column);
  if (scale.has_members())
    return refuse("rules-2", action.span,
                  fmt::format("{} is one of {}, so it is not sized from an amount.", name, some_of(scale.members)),
                  fmt::format("use a chart that gives {}, with {} down or across", name, detail));
  const bool band = policy.tables.answers[property].band;
  if (band && !upper)
    return refuse("rules-2", action.span, fmt::format("{} is a band, and one amount is one end of it.", name),
                  fmt::format("name an amount for each end, as in: size {} from {} to {}; or use a chart that gives {}",
                              name, detail, detail + "_at_most", name));
  if (!band && upper)
    return refuse("rules-2", action.to->span, fmt::format("{} is one size, not a band, so it has no second end.", name),
                  fmt::format("size it from one of the two: size {} from {}, or: size {} from {}", name, detail, name,
                              policy.name_of(*upper)));
  if (!check_sized_from(property, *column, action.span)) return;
  if (upper && !check_sized_from(property, *upper, action.span)) return;
  StepsOf::Ends ends;
  for (const auto& [bound, step] :
       {std::pair(&action.never_under, &ends.smallest), std::pair(&action.never_over, &ends.largest)}) {
    if (!*bound) continue;
    const auto found =
        answer(band ? grammar::Interval{**bound, **bound, span_of(**bound)} : grammar::Cell(**bound), property);
    if (!found) return;
    *step = static_cast<std::uint32_t>(found->first);
  }
  if (ends.smallest && ends.largest && *ends.smallest >= *ends.largest) {
    const auto& span = span_of(*action.never_over);
    return refuse("answers-4", span,
                  *ends.smallest == *ends.largest ? "The smallest size is the largest too, so nothing is left to size."
                                                  : "The largest size lies below the smallest.",
                  *ends.smallest == *ends.largest
                      ? fmt::format("widen one of the two; or write: set {} to {}", name, span.text())
                      : fmt::format("turn the two round: never under {} or over {}", span.text(),
                                    span_of(*action.never_under).text()));
  }
  policy.rules[made.id].sized_from = *column;
  policy.rules[made.id].sized_to = upper;
  const StepsOf steps(*this, property, *column, ends);
  made.rows = upper ? band_rows(steps, StepsOf(*this, property, *upper, ends),
                                std::int64_t{policy.tables.answers[property].steps} - 1)
                    : size_rows(steps);
}

}  // namespace lacestay::compiler
