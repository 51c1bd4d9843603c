#include "runtime/findings.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <set>
#include <stdexcept>
#include <utility>

#include "compiler/names.hpp"
#include "compiler/reach.hpp"
#include "runtime/advice.hpp"
#include "runtime/explanation.hpp"

namespace lacestay::runtime {

using compiler::Finding;
using compiler::Readings;
using compiler::Sure;
using compiler::Table;
using grammar::Diagnostic;

namespace {

class Telling {
 public:
  Telling(const Engine& engine, const compiler::Proof& proof)
      : engine_(engine), policy_(engine.policy()), proof_(proof), shown_(policy_) {
    shown_.tables = proof.tables;
  }

  Diagnostic tell(const Finding& finding) {
    check(finding);
    Diagnostic diagnostic;
    const auto about = [&](const char* code, std::string message, std::string hint) {
      diagnostic.code = code;
      diagnostic.message = std::move(message);
      diagnostic.hint = std::move(hint);
      if (!finding.players.empty()) diagnostic.message += " " + players(finding);
    };
    const auto whom = for_whom(finding.region);
    using Kind = Finding::Kind;
    switch (finding.kind) {
      case Kind::gap:
        about("proof-1", fmt::format("Nothing answers {} {}.", name(finding.table), whom), "");
        diagnostic.span = span_of(finding.table);
        mend_gap(finding, diagnostic);
        break;
      case Kind::two_answers:
        about("proof-2",
              fmt::format("'{}' and '{}' both answer {} {}.", rule(finding, 0), rule(finding, 1), name(finding.table),
                          whom),
              "hold the two apart with for" + or_outranks(finding.rules[1], finding.rules[0]));
        both_places(finding, diagnostic);
        break;
      case Kind::floor_over_cap:
        about("proof-3",
              fmt::format("The floor '{}' lies above the cap '{}' {}.", rule(finding, 0), rule(finding, 1), whom),
              "hold the two apart with for, lower the floor" + or_outranks(finding.rules[0], finding.rules[1]));
        both_places(finding, diagnostic);
        break;
      case Kind::band_emptied:
        about("proof-4",
              fmt::format("'{}' and '{}' leave no step of {} {}.", rule(finding, 0), rule(finding, 1),
                          name(finding.table), whom),
              "widen one of the two, hold them apart with for" + or_outranks(finding.rules[1], finding.rules[0]));
        both_places(finding, diagnostic);
        break;
      case Kind::need_and_omit:
        about("proof-5",
              fmt::format("'{}' needs {} and '{}' leaves it out {}.", rule(finding, 0), name(finding.table),
                          rule(finding, 1), whom),
              "hold the two apart with for" + or_outranks(finding.rules[0], finding.rules[1]));
        both_places(finding, diagnostic);
        break;
      case Kind::sure_broken:
        about("proof-6", "This does not hold for every player.",
              "mend the rule that decides there, or hold the line to fewer players with for");
        diagnostic.span = policy_.sures[finding.sure].span;
        note_deciding(finding, diagnostic);
        break;
      case Kind::not_settled: not_settled(finding, diagnostic); break;
      case Kind::never_applies:
        about("remark-1", fmt::format("No player meets this, so '{}' never applies here.", rule(finding, 0)),
              "take it out, or mend its conditions");
        diagnostic.span = entry_span(finding, 0);
        break;
      case Kind::never_decides:
        about("remark-2",
              fmt::format("'{}' changes no player's answer here: others say the same, or go before it.",
                          rule(finding, 0)),
              "take it out, or mend its conditions");
        diagnostic.span = entry_span(finding, 0);
        break;
      case Kind::idle_outranks:
        about("remark-3",
              fmt::format("'{}' need not outrank '{}': without it every player's answer stays as it is.",
                          rule(finding, 0), rule(finding, 1)),
              "take the outranks out");
        diagnostic.span = policy_.rules[finding.rules[0]].span;
        break;
      case Kind::unreached:
        about("remark-4", fmt::format("No player gets these answers of {}: {}.", name(finding.table), steps(finding)),
              "shorten what this line declares, or add the rule that gives them");
        diagnostic.span = span_of(finding.table);
        break;
      case Kind::idle_detail:
        about("remark-5", fmt::format("{} is asked, but decides nothing.", policy_.details[finding.detail].name),
              "stop asking it, or add the rule that turns on it");
        diagnostic.span = policy_.details[finding.detail].span;
        break;
    }
    return diagnostic;
  }

 private:
  const Table& table(compiler::TableId id) const { return policy_.tables.tables[id]; }
  std::string name(compiler::TableId id) const { return policy_.name_of(table(id)); }
  const grammar::Span& span_of(compiler::TableId id) const {
    const auto& known = table(id);
    return known.kind == Table::Kind::piece ? policy_.pieces[known.target].span : policy_.properties[known.target].span;
  }
  const std::string& rule(const Finding& finding, std::size_t i) const { return policy_.rules[finding.rules[i]].name; }
  // The end of a sentence that tells how one rule may be put before the other: the first if that is lawful, else the
  // second, else neither.
  std::string or_outranks(compiler::RuleId first, compiler::RuleId second) const {
    for (const auto& [over, under] : {std::pair(first, second), std::pair(second, first)}) {
      const auto &winner = policy_.rules[over], &loser = policy_.rules[under];
      using Kind = compiler::RuleText::Kind;
      if (winner.kind == Kind::declaration || loser.kind == Kind::declaration) return "";
      if (loser.safety && !(winner.safety && winner.span.source == loser.span.source)) continue;
      auto named = loser.name;  // "pack: name" is written pack_name
      if (const auto colon = named.find(": "); colon != std::string::npos) named.replace(colon, 2, "_");
      return fmt::format(", or write under '{}': outranks {}", winner.name, named);
    }
    return "";
  }
  // Where a rule says what the finding is about: the chart's cell, or the rule's first line.
  const grammar::Span& entry_span(const Finding& finding, std::size_t i) const {
    const auto& text = policy_.rules[finding.rules[i]];
    const auto entry = finding.kind == Finding::Kind::never_applies && finding.rows.empty() ? finding.steps.front()
                       : finding.rows.empty()                                               ? 0
                                              : table(finding.table).rows[finding.rows[i]].entry;
    const bool of_chart = text.kind == compiler::RuleText::Kind::chart && entry < text.entries.size();
    return of_chart ? text.entries[entry] : text.span;
  }
  void both_places(const Finding& finding, Diagnostic& diagnostic) const {
    diagnostic.span = entry_span(finding, 0);
    diagnostic.notes.push_back({fmt::format("'{}' stands here", rule(finding, 1)), entry_span(finding, 1)});
  }

  std::string for_whom(const compiler::Box& region) const {
    std::vector<std::string> parts;
    for (const auto& cell : region) {
      const bool open = cell.places.front() == compiler::PlaceRange{0, proof_.tables.columns[cell.column].places - 1};
      if (!open) parts.push_back(shown_.name_of(cell.column) + " " + shown_.write_places(cell.column, cell.places));
    }
    return parts.empty() ? "for any player" : "where " + compiler::listed(parts);
  }

  // The details a table looks at first; a person checks those by hand.
  std::string player(const Readings& readings, const Finding& finding) const {
    std::vector<bool> told(readings.size());
    std::string out;
    const auto add = [&](std::size_t i) {
      if (told[i]) return;
      told[i] = true;
      if (!out.empty()) out += ", ";
      out += policy_.details[i].name + " " + policy_.details[i].scale.write_exactly(readings[i]);
    };
    for (const auto& cell : finding.region) policy_.tables.each_asked_under(cell.column, add);
    for (const auto column : table(finding.table).columns) policy_.tables.each_asked_under(column, add);
    if (finding.kind == Finding::Kind::sure_broken && policy_.sures[finding.sure].kind >= Sure::Kind::never_falls)
      add(policy_.sures[finding.sure].detail);
    return out.empty() ? "any" : out;
  }

  std::string answer(const Readings& readings, compiler::TableId id) const {
    return explain(engine_, player_of(readings), id).possible.front();
  }

  std::string players(const Finding& finding) const {
    if (finding.kind != Finding::Kind::sure_broken)
      return fmt::format("For instance: {}.", player(finding.players[0], finding));
    auto out = fmt::format("For instance: {}: {}", player(finding.players[0], finding),
                           answer(finding.players[0], finding.table));
    if (finding.players.size() == 2) {
      const auto detail = policy_.sures[finding.sure].detail;
      out += fmt::format("; but with {} {}: {}", policy_.details[detail].name,
                         policy_.details[detail].scale.write_exactly(finding.players[1][detail]),
                         answer(finding.players[1], finding.table));
    }
    return out + ".";
  }

  void note_deciding(const Finding& finding, Diagnostic& diagnostic) const {
    for (const auto& part : explain(engine_, player_of(finding.players.back()), finding.table).parts) {
      if (part.role != compiler::Role::Kind::decides && part.role != compiler::Role::Kind::lifts) continue;
      diagnostic.notes.push_back(
          {fmt::format("decided there by '{}' ({}, line {})", part.rule, part.file, part.line), {}});
    }
  }

  void mend_gap(const Finding& finding, Diagnostic& diagnostic) {
    const auto property = name(finding.table);
    const auto region = around_player(finding);
    const auto beside = answer_beside(finding, region);
    const bool for_the_fitter =
        !policy_.properties[table(finding.table).target].scale.has_members() && at_an_end(region);
    diagnostic.hint =
        beside ? fmt::format("add the missing row, or write this rule, which answers as for {}", beside->whom)
               : "add the missing row, or leave it to the fitter by this rule";
    if (beside && for_the_fitter)
      diagnostic.hint += fmt::format("; where only a fitter can tell, write refer {} as its second line", property);
    diagnostic.ready_text =
        fmt::format("rule {}\n  {}\n", new_name(property),
                    beside ? fmt::format("set {} to {}", property, beside->answer) : "refer " + property);
    const auto conditions = as_conditions(policy_, proof_.tables, region);
    if (!conditions.empty()) diagnostic.ready_text += fmt::format("  for {}\n", conditions);
  }

  // The part of its region that the finding's player is in, and that conditions can say: one range of each measure.
  compiler::Box around_player(const Finding& finding) const {
    auto box = finding.region;
    compiler::Reach reach(proof_.tables);
    const auto at = reach.at(finding.players.front());
    for (auto& cell : box) {
      if (policy_.scale_of(cell.column).has_members()) continue;
      const auto place = at[cell.column].first;
      std::erase_if(cell.places, [&](const auto& range) { return place < range.first || place > range.last; });
    }
    return box;
  }

  // A name that no rule has, nor one suggested before: "new_stick_length".
  std::string new_name(const std::string& property) {
    auto stem = "new_" + property;
    std::replace(stem.begin(), stem.end(), ' ', '_');
    auto name = stem;
    const auto taken = [&] {
      return std::any_of(policy_.rules.begin(), policy_.rules.end(),
                         [&](const auto& rule) { return rule.name == name; });
    };
    for (int i = 2; taken() || !suggested_.insert(name).second; ++i) name = fmt::format("{}_{}", stem, i);
    return name;
  }

  // An answer as a rule's `set` takes it.
  std::string answer_to_set(compiler::TableId id, const Outcome& outcome) const {
    const auto& property = policy_.properties[table(id).target];
    if (property.scale.has_members()) return property.write(outcome.low, outcome.high);
    const auto exactly = [&](std::int64_t step) {
      return property.scale.write_exactly(property.first + step * property.step);
    };
    if (!policy_.tables.answers[table(id).target].band) return exactly(outcome.low);
    const auto is_exact = [&](std::int64_t step) { return property.write(step, step) == exactly(step); };
    if (outcome.low < outcome.high && is_exact(outcome.low) && is_exact(outcome.high))
      return property.write(outcome.low, outcome.high);
    return exactly(outcome.low) + " to " + exactly(outcome.high);
  }

  struct Beside {
    std::string answer, whom;
  };
  // What the gap's player would get just past one of its edges, which may well do on this side too; nothing where he is
  // answered past none.
  std::optional<Beside> answer_beside(const Finding& finding, const compiler::Box& region) const {
    auto scratch = engine_.scratch();
    for (const auto& [column, place, value] : places_beside(region)) {
      auto readings = finding.players.front();
      readings[proof_.tables.columns[column].detail] = value;
      engine_.place(readings, scratch);
      const auto& outcome = engine_.outcome(finding.table, scratch);
      if (outcome.standing != Standing::answered) continue;
      return Beside{answer_to_set(finding.table, outcome),
                    shown_.name_of(column) + " " + shown_.write_places(column, {{place, place}})};
    }
    return std::nullopt;
  }
  struct PlaceBeside {
    compiler::ColumnId column = 0;
    std::uint32_t place = 0;
    std::int64_t value = 0;  // the one in that place which is nearest to the region
  };
  // The places just past a region's edges, of details that can be changed by themselves, as a worked-out one can't.
  // Measures come before grades and choices, since the next size is nearer than another role; and first what the region
  // is narrowest in, since there an edge was missed.
  std::vector<PlaceBeside> places_beside(const compiler::Box& region) const {
    std::vector<std::pair<std::pair<bool, double>, PlaceBeside>> all;
    for (const auto& cell : region) {
      const auto& column = proof_.tables.columns[cell.column];
      if (column.worked_out) continue;
      const auto& domain = proof_.tables.asked[column.detail];
      const auto first = cell.places.front().first, last = cell.places.back().last;
      const auto within = [&](std::uint32_t from, std::uint32_t to) {
        return compiler::values_in(proof_.tables, column.detail, {from, to});
      };
      const auto held = within(first, last);
      const auto all_values = static_cast<double>(domain.highest - domain.lowest);
      const std::pair narrow(domain.members, static_cast<double>(held.high - held.low) / all_values);
      if (first > 0) all.push_back({narrow, {cell.column, first - 1, within(first - 1, first - 1).high}});
      if (last + 1 < column.places) all.push_back({narrow, {cell.column, last + 1, within(last + 1, last + 1).low}});
    }
    std::stable_sort(all.begin(), all.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
    std::vector<PlaceBeside> out;
    for (const auto& each : all) out.push_back(each.second);
    return out;
  }

  // Past the last edge of a measure, or before its first: a size that fits one of those players may fit no other.
  bool at_an_end(const compiler::Box& region) const {
    return std::any_of(region.begin(), region.end(), [&](const compiler::Cell& cell) {
      const auto& column = proof_.tables.columns[cell.column];
      return !policy_.scale_of(cell.column).has_members() &&
             (cell.places.front().first == 0 || cell.places.back().last + 1 == column.places);
    });
  }

  void not_settled(const Finding& finding, Diagnostic& diagnostic) const {
    std::vector<std::string> details;
    for (const auto& cell : finding.region) details.push_back(shown_.name_of(cell.column));
    diagnostic.code = "proof-7";
    diagnostic.message = fmt::format(
        "Whether {} is answered once for every player could not be settled: its rules look at {} together{}.",
        name(finding.table), compiler::listed(details),
        for_whom(finding.region) == "for any player" ? "" : " (" + for_whom(finding.region) + ")");
    diagnostic.span = span_of(finding.table);
    diagnostic.hint = "let fewer details decide it at once, or round what is worked out";
  }

  // Steps as ranges: "0 GBP to 95 GBP, 355 GBP".
  std::string steps(const Finding& finding) const {
    const auto& property = policy_.properties[table(finding.table).target];
    std::vector<std::string> ranges;
    for (std::size_t i = 0; i < finding.steps.size();) {
      std::size_t last = i;
      while (!property.scale.has_members() && last + 1 < finding.steps.size() &&
             finding.steps[last + 1] == finding.steps[last] + 1)
        ++last;
      ranges.push_back(property.write(finding.steps[i], finding.steps[last]));
      i = last + 1;
    }
    return compiler::listed(ranges);
  }

  // The engine must say of each player what the finding says of him.
  void check(const Finding& finding) {
    const auto standing = [&](const Readings& readings) {
      auto scratch = engine_.scratch();
      engine_.place(readings, scratch);
      return engine_.outcome(finding.table, scratch).standing;
    };
    using Kind = Finding::Kind;
    for (const auto& readings : finding.players) {
      const bool shows = finding.kind == Kind::gap           ? standing(readings) == Standing::gap
                         : finding.kind == Kind::sure_broken ? standing(readings) != Standing::gap
                                                             : standing(readings) == Standing::clash;
      if (!shows)
        throw std::logic_error(fmt::format(
            "the proof and the engine disagree about {}; this is a fault of lacestay, please report it with the policy",
            name(finding.table)));
    }
  }

  const Engine& engine_;
  const compiler::Policy& policy_;
  const compiler::Proof& proof_;
  compiler::Policy shown_;           // the policy with the proof's columns, for writing places
  std::set<std::string> suggested_;  // names of rules
};

}  // namespace

std::string as_conditions(const compiler::Policy& policy, const compiler::Tables& tables, const compiler::Box& box) {
  std::string out;
  const auto add = [&](const std::string& condition) { out += out.empty() ? condition : ", " + condition; };
  for (const auto& cell : box) {
    const auto& known = tables.columns[cell.column];
    const auto& scale = policy.scale_of(cell.column);
    const auto& name = policy.name_of(cell.column);
    if (scale.has_members()) {
      std::string members;
      for (const auto& range : cell.places)
        for (auto member = range.first; member <= range.last; ++member)
          members += (members.empty() ? "" : ", ") + std::string(scale.members[member]);
      add(fmt::format("{} {}", name, members));
      continue;
    }
    const auto first = cell.places.front().first, last = cell.places.back().last;
    const bool day = scale.kind == compiler::Scale::Kind::day;
    if (first > 0) {
      const auto cut = policy.edge_as_meant(cell.column, known.cuts[first - 1]);
      add(fmt::format("{} {} {}", name, day ? "since" : cut.after ? "over" : "at least", scale.write_exactly(cut.at)));
    }
    if (last < known.cuts.size()) {
      const auto cut = policy.edge_as_meant(cell.column, known.cuts[last]);
      add(fmt::format("{} {} {}", name, day ? "before" : cut.after ? "at most" : "under", scale.write_exactly(cut.at)));
    }
  }
  return out;
}

std::vector<Diagnostic> told(const Engine& engine, const compiler::Proof& proof) {
  Telling telling(engine, proof);
  std::vector<Diagnostic> all;
  for (const auto& finding : proof.findings) all.push_back(telling.tell(finding));
  return all;
}

}  // namespace lacestay::runtime
