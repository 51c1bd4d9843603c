// Wall charts: their axes, and their cells.
#include "compiler/check/charts.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "compiler/check/names.hpp"
#include "compiler/values/days.hpp"

namespace lacestay::compiler {

using grammar::Head;

namespace {

std::string written(const Head& head) { return std::string(head.span.text()); }

}  // namespace

// A head's edge; nothing where it has none, or none of this scale.
static std::optional<std::int64_t> edge_of(const Checker& checker, const Head& head, const Scale& scale) {
  if (!head.edge) return std::nullopt;
  if (const auto* date = std::get_if<grammar::Date>(&*head.edge))
    return scale.kind == Scale::Kind::day ? std::optional(day_number(*date)) : std::nullopt;
  const auto* quantity = std::get_if<grammar::Quantity>(&*head.edge);
  if (!quantity || scale.kind != Scale::Kind::amount) return std::nullopt;
  const auto ticks = ticks_of(*quantity, checker.due_for(scale));
  const auto* found = std::get_if<std::int64_t>(&ticks);
  return found ? std::optional(*found) : std::nullopt;
}

// Where an edge may stand between two others, either of which may be missing: "over 120 and under 140 cm".
static std::string edge_between(const Scale& scale, std::optional<std::int64_t> low, std::optional<std::int64_t> high) {
  const bool day = scale.kind == Scale::Kind::day;
  auto from = low ? scale.write_edge(*low) : "";
  const auto to = high ? scale.write_edge(*high) : "";
  if (!low) return (day ? "before " : "under ") + to;
  if (!high) return (day ? "after " : "over ") + from;
  if (day) return fmt::format("after {} and before {}", from, to);
  // One unit serves both.
  const auto unit = to.find(' '), own = from.find(' ');
  if (unit != to.npos && own != from.npos && to.substr(unit) == from.substr(own)) from.resize(own);
  return fmt::format("over {} and under {}", from, to);
}

// The entry at `at` lies at or below the one before it. Where leaving one of the two out makes all the others rise,
// that one is out of order; else both may be.
static void tell_falling(Checker& checker, const std::vector<const Head*>& heads, std::size_t at, ColumnId column) {
  const auto& scale = checker.policy.scale_of(column);
  const auto rises_without = [&](std::size_t left_out) {
    std::optional<std::int64_t> above;
    for (std::size_t i = 0; i < heads.size(); ++i) {
      const auto edge = i == left_out ? std::nullopt : edge_of(checker, *heads[i], scale);
      if (edge && above && *edge <= *above) return false;
      if (edge) above = edge;
    }
    return true;
  };
  const bool earlier = rises_without(at - 1), later = rises_without(at);
  const auto wrong = earlier && !later ? at - 1 : at;
  const auto& head = *heads[wrong];
  // Nobody is told to move an entry: it begins where the one before it ends, so elsewhere it would say another thing.
  const auto edge = [&](std::size_t i) { return i < heads.size() ? edge_of(checker, *heads[i], scale) : std::nullopt; };
  const auto in_place_of = [&](std::size_t i) {
    return fmt::format("an edge {} in place of '{}'",
                       edge_between(scale, i > 0 ? edge(i - 1) : std::nullopt, edge(i + 1)), written(*heads[i]));
  };
  const std::string mend = earlier && later   ? in_place_of(at - 1) + ", or " + in_place_of(at)
                           : earlier || later ? in_place_of(wrong)
                                              : "edges that rise from one entry to the next";
  auto& told = checker.diagnostics.add(
      "charts-3", head.span,
      wrong == at ? fmt::format("'{}' comes after '{}', so nobody is left for it: edges must rise.", written(head),
                                written(*heads[at - 1]))
                  : fmt::format("'{}' is larger than the entries after it: edges must rise, each past the one before.",
                                written(head)),
      fmt::format("write {}; each entry begins where the one before it ends", mend));
  told.notes.push_back(
      {wrong == at ? "the entry before it" : "the entry after it", heads[wrong == at ? at - 1 : at]->span});
}

// Edges that rise and close the axis.
static std::optional<std::vector<DraftTest>> number_axis(Checker& checker, ColumnId column,
                                                         const std::vector<const Head*>& heads,
                                                         const grammar::Span& chart) {
  auto& diagnostics = checker.diagnostics;
  const auto& scale = checker.policy.scale_of(column);
  const auto& name = checker.policy.name_of(column);
  const auto& known = checker.policy.tables.columns[column];
  std::vector<DraftTest> tests;
  std::optional<Cut> above;  // where the entry before ended
  const Head* before = nullptr;
  for (const auto* head : heads) {
    if (head->kind == Head::Kind::members) {
      diagnostics.add(
          "charts-3", head->span,
          fmt::format("{} is a {}, so its entries are edges.", name, scale.kind == Scale::Kind::day ? "day" : "number"),
          scale.kind == Scale::Kind::day      ? "write before and a day, as in: before 1 January 2010; or the rest"
          : scale.dimension == Dimension::age ? "write under and an age, as in: under 13; or the rest"
                                              : "write under … or at most …, with an amount, or the rest");
      return std::nullopt;
    }
    DraftTest test;
    test.column = column;
    test.from = above;
    if (before && before->kind == Head::Kind::rest) {
      diagnostics.add("charts-3", head->span, "Nothing is left after 'the rest'.", "make 'the rest' the last entry")
          .notes.push_back({"the rest", before->span});
      return std::nullopt;
    }
    if (head->kind != Head::Kind::rest) {
      const bool day_head = head->kind == Head::Kind::before;
      if (day_head != (scale.kind == Scale::Kind::day)) {
        diagnostics.add(
            "conditions-3", head->span,
            day_head ? fmt::format("{} is no day; before is for days.", name)
                     : fmt::format("{} is a day; days know only before.", name),
            day_head ? fmt::format("write under, with {}", a_dimension(scale.dimension)) : "write before, with a day");
        return std::nullopt;
      }
      if (scale.dimension == Dimension::age && head->kind == Head::Kind::at_most) {
        diagnostics.add("units-5", head->span,
                        fmt::format("A chart of ages knows only under: '{}' is read in two ways.", written(*head)),
                        "write under, with the first age that belongs to the next entry");
        return std::nullopt;
      }
      const auto value = checker.amount(*head->edge, scale);
      if (!value || !checker.on_grain(*value, column, span_of(*head->edge))) return std::nullopt;
      checker.note_edge(column, *head->edge, *value);
      const auto cut =
          head->kind == Head::Kind::at_most ? checker.cut_after(column, *value) : checker.cut_before(column, *value);
      if (above && cut <= *above) {
        tell_falling(checker, heads, tests.size(), column);
        return std::nullopt;
      }
      const auto* domain = known.worked_out ? nullptr : &checker.policy.tables.asked[known.detail];
      if (domain && (*value > domain->highest || checker.nothing_below(column, cut))) {
        diagnostics.add(
            "domain-5", head->span,
            fmt::format("{} is asked from {} to {}, so {} this edge.", name, scale.write(domain->lowest),
                        scale.write(domain->highest), *value > domain->highest ? "nobody is past" : "nobody is below"),
            "write an edge inside the range");
        return std::nullopt;
      }
      test.to = above = cut;
    }
    before = head;
    tests.push_back(std::move(test));
  }
  const bool closed = before && (before->kind == Head::Kind::rest || checker.nothing_above(column, *above));
  if (!closed) {
    diagnostics.add("charts-4", before ? before->span : chart,
                    fmt::format("The chart stops here and leaves the rest of {} without an answer.", name),
                    before
                        ? fmt::format("add a last entry, the rest, with its own answer; or, if the answer of this one "
                                      "is right for everybody above too, write the rest in place of '{}'",
                                      written(*before))
                        : "add an entry: the rest");
    return std::nullopt;
  }
  return tests;
}

// Each member once.
static std::optional<std::vector<DraftTest>> member_axis(Checker& checker, ColumnId column,
                                                         const std::vector<const Head*>& heads,
                                                         const grammar::Span& chart) {
  auto& diagnostics = checker.diagnostics;
  const auto& scale = checker.policy.scale_of(column);
  const auto& name = checker.policy.name_of(column);
  std::vector<DraftTest> tests;
  std::vector<const grammar::Span*> seen(scale.members.size());
  for (const auto* head : heads) {
    if (head->kind != Head::Kind::members) {
      std::vector<std::string> left;
      for (std::size_t i = 0; i < seen.size(); ++i)
        if (!seen[i]) left.push_back(scale.members[i]);
      diagnostics.add("charts-5", head->span,
                      fmt::format("{} is one of {}, so its entries are members.", name, some_of(scale.members)),
                      head->kind == Head::Kind::rest && !left.empty()
                          ? fmt::format("name those that are left, so that none is forgotten: {}", listed(left, "or"))
                          : "name the members");
      return std::nullopt;
    }
    DraftTest test;
    test.column = column;
    for (const auto& phrase : head->members) {
      const auto found = checker.member(phrase, scale, name);
      if (!found) return std::nullopt;
      if (seen[*found]) {
        diagnostics
            .add("charts-6", phrase.span, fmt::format("'{}' has an entry already.", phrase.as_written()),
                 "keep one of the two")
            .notes.push_back({"the first one", *seen[*found]});
        return std::nullopt;
      }
      seen[*found] = &phrase.span;
      test.members.push_back(*found);
    }
    std::sort(test.members.begin(), test.members.end());
    tests.push_back(std::move(test));
  }
  std::vector<std::string> missing;
  for (std::size_t i = 0; i < seen.size(); ++i)
    if (!seen[i]) missing.push_back(scale.members[i]);
  if (!missing.empty()) {
    // Along a scale an entry goes between those of its neighbours.
    const auto first = std::find(seen.begin(), seen.end(), nullptr);
    const auto below =
        std::find_if(std::make_reverse_iterator(first), seen.rend(), [](const auto* span) { return span; });
    const auto above = std::find_if(first, seen.end(), [](const auto* span) { return span; });
    const bool rises = scale.kind == Scale::Kind::grades;
    auto& told = diagnostics.add("charts-5",
                                 heads.empty()                   ? chart
                                 : rises && below != seen.rend() ? **below
                                                                 : heads.back()->span,
                                 fmt::format("The chart has no entry for {} {}.", name, listed(missing)),
                                 missing.size() == 1 ? "add one after this, or let it share one"
                                                     : "add an entry for each after this, or let them share one");
    if (rises && above != seen.end()) told.notes.push_back({"and before this one", **above});
    return std::nullopt;
  }
  return tests;
}

std::optional<std::vector<DraftTest>> Checker::axis(ColumnId column, const std::vector<const Head*>& heads,
                                                    const grammar::Span& chart) {
  return policy.scale_of(column).has_members() ? member_axis(*this, column, heads, chart)
                                               : number_axis(*this, column, heads, chart);
}

// Of a band written upside down: which end is wrong, its neighbours may show.
void Checker::note_cells_beside(const grammar::Chart& chart, std::size_t row, std::size_t column) {
  auto& notes = diagnostics.last().notes;
  const auto& rows = chart.rows;
  const auto add = [&](const char* where, std::size_t i, std::size_t k) {
    if (k < rows[i].cells.size()) notes.push_back({where, span_of(rows[i].cells[k])});
  };
  if (rows.size() == 1 && column > 0) add("the answer before it", row, column - 1);
  if (rows.size() == 1) add("the answer after it", row, column + 1);
  if (row > 0) add("the answer above it", row - 1, column);
  if (row + 1 < rows.size()) add("the answer below it", row + 1, column);
}

void Checker::check_chart(const grammar::Chart& chart, const grammar::Item& item, std::size_t file) {
  const auto gives = chart.gives.joined();
  const bool gives_detail = columns.count(gives) != 0 && targets.count(gives) == 0 && chart.gives.words.size() == 1;
  if (gives_detail && !files[file].pack) return;  // checked where details are worked out
  if (files[file].pack) {
    diagnostics.add("parts-4", item.head, "A pack of house rules may only restrict; a chart gives a base answer.",
                    "use need, omit, floor, cap, keep or caution");
    return;
  }
  const auto properties = properties_named(chart.gives);
  if (properties.empty()) return;
  if (chart.graded_as) {
    diagnostics.add("charts-10", chart.graded_as->span,
                    "graded as is for a chart that works out a detail; a property has answers of its own.",
                    fmt::format("write only: gives {}", chart.gives.span.text()));
    return;
  }
  DraftRule rule;
  rule.id = new_rule(chart.name, RuleText::Kind::chart, chart.clauses, file, item.head);
  rule.effect = policy.rules[rule.id].effect = Effect::base;
  rule.safety = chart.clauses.safety.has_value();
  rule.file = file;
  rule.targets = properties;
  rule.when = applies_when(chart.clauses, file);
  auto rows = chart_rows(chart, policy.rules[rule.id], [&](const grammar::Cell& cell) {
    const auto& unit = cell_units_[properties.front()];
    return answer(unit ? grammar::in_unit_of(cell, *unit) : cell, properties.front());
  });
  if (rows) rule.rows = std::move(*rows);
  rules.push_back(std::move(rule));
}

}  // namespace lacestay::compiler
