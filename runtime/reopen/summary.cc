#include "runtime/reopen/summary.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>

#include "runtime/base/csv_line.hpp"
#include "runtime/base/layout.hpp"
#include "runtime/reopen/day_entry.hpp"
#include "runtime/reopen/reopened.hpp"

namespace lacestay::runtime {

namespace {

using ByAnswer = std::map<std::string, std::vector<std::int64_t>>;

void write_answers(const char* heading, const ByAnswer& answers, std::string& out) {
  if (answers.empty()) return;
  constexpr std::size_t most_named = 8;
  out += fmt::format("\n{}\n", heading);
  for (const auto& [about, entries] : answers) {
    const auto shown = std::min(entries.size(), most_named);
    out += wrapped(fmt::format("{}: {} ({} {}{})", about, entries.size(), entries.size() == 1 ? "entry" : "entries",
                               fmt::join(entries.begin(), entries.begin() + static_cast<std::ptrdiff_t>(shown), ", "),
                               entries.size() > shown ? ", ..." : ""),
                   2);
  }
}

}  // namespace

DaybookSummary summary_of(Daybook& daybook, const Sought& sought) {
  DaybookSummary summary;
  auto numbers = daybook.find(sought);
  std::reverse(numbers.begin(), numbers.end());
  for (const auto number : numbers) {
    const auto entry = daybook.entry(number);
    if (!entry || entry->kind == EntryKind::erasure) continue;
    if (!entry->content) {
      ++summary.erased;
      continue;
    }
    if (entry->kind == EntryKind::sold || entry->kind == EntryKind::given_back) {
      ++(entry->kind == EntryKind::sold ? summary.sold : summary.given_back);
      continue;
    }
    if (entry->kind == EntryKind::by_hand) {
      ++summary.by_hand;
      continue;
    }
    if (entry->kind == EntryKind::handed_over) {
      if (const auto said = handed_over_in(*entry)) summary.handed_over[said->about()].push_back(number);
      continue;
    }
    ++(entry->kind == EntryKind::quote ? summary.quotes : summary.advices);
    const auto kept = kept_advice(*entry->content);
    if (!kept) continue;
    for (const auto& answer : kept->answers) {
      for (const auto& rule : answer.decided) ++summary.rules[rule].decided;
      for (const auto& rule : answer.outranked) ++summary.rules[rule].outranked;
      for (const auto& rule : answer.overruled) ++summary.rules[rule].overruled;
      if (answer.for_fitter) summary.for_fitter[answer.about].push_back(number);
      if (answer.near_edge) summary.near_edge[answer.about].push_back(number);
    }
  }
  return summary;
}

std::string text_of(const DaybookSummary& summary) {
  auto out = fmt::format("Advices {}, quotes {}{}, sales {}{}{}\n", summary.advices, summary.quotes,
                         summary.by_hand > 0 ? fmt::format(", fitted by hand {}", summary.by_hand) : "", summary.sold,
                         summary.given_back > 0 ? fmt::format(", given back {}", summary.given_back) : "",
                         summary.erased > 0 ? fmt::format("; {} erased, and not counted below", summary.erased) : "");
  write_answers("Left to the fitter", summary.for_fitter, out);
  write_answers("Within a step of an edge: a measure taken a little wrong would have changed it", summary.near_edge,
                out);
  write_answers("Handed over otherwise", summary.handed_over, out);
  if (!summary.rules.empty()) {
    std::vector<std::pair<std::string, DaybookSummary::RuleWork>> rules(summary.rules.begin(), summary.rules.end());
    std::stable_sort(rules.begin(), rules.end(),
                     [](const auto& a, const auto& b) { return a.second.decided > b.second.decided; });
    out += "\n" + padded("Rule", 44) + " decided  outranked  overruled\n";
    for (const auto& [name, work] : rules)
      out += fmt::format("{} {:>7}  {:>9}  {:>9}\n", padded("  " + name, 44), work.decided, work.outranked,
                         work.overruled);
  }
  return out;
}

std::string csv_of(const DaybookSummary& summary) {
  auto out = csv_line({"what", "name", "times", "entries"});
  for (const auto& [name, work] : summary.rules) {
    out += csv_line({"rule decided", name, fmt::format("{}", work.decided), ""});
    out += csv_line({"rule outranked", name, fmt::format("{}", work.outranked), ""});
    out += csv_line({"rule overruled", name, fmt::format("{}", work.overruled), ""});
  }
  const auto add = [&](const char* what, const ByAnswer& answers) {
    for (const auto& [about, entries] : answers)
      out += csv_line({what, about, fmt::format("{}", entries.size()), fmt::format("{}", fmt::join(entries, " "))});
  };
  add("left to the fitter", summary.for_fitter);
  add("within a step of an edge", summary.near_edge);
  add("handed over otherwise", summary.handed_over);
  return out;
}

}  // namespace lacestay::runtime
