#include "runtime/chart/findings.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <set>
#include <stdexcept>
#include <utility>

#include "compiler/shelf/stages.hpp"
#include "compiler/tables/boxes.hpp"
#include "compiler/tables/places.hpp"
#include "compiler/values/names.hpp"
#include "runtime/advice/advice.hpp"
#include "runtime/advice/explanation.hpp"
#include "runtime/advice/words.hpp"
#include "runtime/chart/mends.hpp"

namespace lacestay::runtime {

using compiler::Finding;
using compiler::Readings;
using compiler::Sure;
using compiler::Table;

namespace {

// The ends of a range of places as conditions say them, "at least 40 kg", "under 60 kg"; where it is open, none.
template <typename Write>
std::vector<std::string> ends_of(const compiler::Policy& policy, const compiler::Tables& tables,
                                 compiler::ColumnId column, const compiler::PlaceRange& range, Write write) {
  const auto& cuts = tables.columns[column].cuts;
  const bool day = policy.scale_of(column).kind == compiler::Scale::Kind::day;
  std::vector<std::string> ends;
  if (range.first > 0) {
    const auto cut = policy.edge_as_meant(column, cuts[range.first - 1]);
    ends.push_back((day ? "since " : cut.after ? "over " : "at least ") + write(cut.at));
  }
  if (range.last < cuts.size()) {
    const auto cut = policy.edge_as_meant(column, cuts[range.last]);
    ends.push_back((day ? "before " : cut.after ? "at most " : "under ") + write(cut.at));
  }
  return ends;
}

class Telling {
 public:
  Telling(const Engine& engine, const compiler::Proof& proof)
      : engine_(engine), policy_(engine.policy()), proof_(proof), shown_(policy_), mends_(engine, proof, shown_) {
    shown_.tables = proof.tables;
  }

  Problem tell(const Finding& finding) {
    check(finding);
    Problem diagnostic;
    const auto about = [&](const char* code, std::string message, std::string hint) {
      diagnostic.code = code;
      diagnostic.message = std::move(message);
      diagnostic.hint = std::move(hint);
      if (!finding.players.empty()) diagnostic.message += " " + players(finding);
    };
    using Kind = Finding::Kind;
    const bool is_gap = finding.kind == Kind::gap;
    auto whom = for_whom(finding.region, is_gap);
    for (const auto& part : finding.also) whom += "; also " + for_whom(part, is_gap);
    switch (finding.kind) {
      case Kind::gap:
        about("proof-1", fmt::format("Nothing answers {} {}.", name(finding.table), whom), "");
        diagnostic.where = span_of(finding.table);
        mends_.gap(finding, diagnostic);
        break;
      case Kind::past_range:
        about("proof-9", mends_.moved_past(finding) + " " + whom + ".", "");
        mends_.move(finding, diagnostic);
        break;
      case Kind::safety_base_moved:
        about("proof-10",
              fmt::format("'{}' moves the answer that the safety rule '{}' gives for {} {}.", rule(finding, 1),
                          rule(finding, 0), name(finding.table), whom),
              fmt::format("hold the two apart with for, or write under '{}': outranks {}", rule(finding, 0),
                          policy_.rules[finding.rules[1]].name_as_written()));
        each_place(finding, diagnostic);
        break;
      case Kind::two_answers:
        about("proof-2",
              fmt::format("'{}' and '{}' both answer {} {}.", rule(finding, 0), rule(finding, 1), name(finding.table),
                          whom),
              part({}, finding));
        each_place(finding, diagnostic);
        break;
      case Kind::floor_over_cap:
        about("proof-3",
              fmt::format("The floor '{}' lies above the cap '{}' {}.", rule(finding, 0), rule(finding, 1), whom),
              part({is_safety(finding, 0) ? "" : "lower the floor", is_safety(finding, 1) ? "" : "raise the cap"},
                   finding));
        each_place(finding, diagnostic);
        break;
      case Kind::band_emptied: {
        const bool choice = policy_.properties[table(finding.table).target].scale.has_members();
        about("proof-4",
              fmt::format("{} leave {} of {} {}.", compiler::listed(each_rule(finding, [](std::size_t) { return ""; })),
                          choice ? "nothing" : "no step", name(finding.table), whom),
              part({choice ? "widen one of them: " + leaves(finding) : "widen one of them"}, finding));
        each_place(finding, diagnostic);
        break;
      }
      case Kind::need_and_omit:
        about("proof-5",
              fmt::format("'{}' needs {} and '{}' leaves it out {}.", rule(finding, 0), name(finding.table),
                          rule(finding, 1), whom),
              part({}, finding));
        each_place(finding, diagnostic);
        break;
      case Kind::two_lines: {
        const auto [first, second] = shop_lines(finding);
        const bool accepts = table(finding.table).kind == Table::Kind::piece;
        about("proof-13",
              accepts ? fmt::format("Two lines say what is accepted for {} {}.", name(finding.table), whom)
                      : fmt::format("Two lines say what a step of {} is worth {}.", name(finding.table), whom),
              "hold the two apart, each with for at its end");
        const auto of = shop_lines_of(finding);
        const auto is_for = [&](const std::optional<compiler::TableId>& line) {
          std::string whom;
          for (const auto& box : compiler::players_of(policy_.tables, line))
            whom += (whom.empty() ? "" : " or ") + as_conditions(policy_, policy_.tables, box);
          return whom.empty() ? std::string("everybody") : whom;
        };
        diagnostic.hint += fmt::format(" (this one is for {}, the other for {})", is_for(of[1]), is_for(of[0]));
        diagnostic.where = *second;
        diagnostic.notes.push_back({"the other line", *first});
        break;
      }
      case Kind::sure_broken:
        diagnostic.where = policy_.sures[finding.sure].span;
        if (finding.item) {
          about("proof-8",
                fmt::format(
                    "This holds for every player's advice{}, but not for every item that may be handed over for it.",
                    of_group(finding) ? " of " + name(finding.table) : ""),
                fmt::format(
                    "if the line is right, hold items to it, by a safety rule or where they are accepted; if such "
                    "an item will do, say it of the advice alone: make sure the advice of {} …",
                    name(finding.table)));
          diagnostic.notes.push_back({"it may be handed over by this line", stage_line(finding)});
          break;
        }
        about("proof-6",
              of_group(finding) ? fmt::format("This does not hold of {} for every player.", name(finding.table))
                                : "This does not hold for every player.",
              "if the line is right, mend the rule that decides there; if what this player gets is right, hold the "
              "line to others with for");
        note_deciding(finding, diagnostic);
        break;
      case Kind::nobody_left:
        about("proof-11", "The lines that say who nobody is leave no player at all.",
              "take one of them out, or add a condition to it");
        diagnostic.where = policy_.nobody.front().span;
        break;
      case Kind::no_pair:
        about("proof-12", "The lines that say who nobody is leave no two players to compare here.",
              "take this line out, or one of those");
        diagnostic.where = policy_.sures[finding.sure].span;
        break;
      case Kind::not_settled: not_settled(finding, diagnostic); break;
      case Kind::never_applies:
        about("remark-1", fmt::format("No player meets this, so '{}' never applies here.", rule(finding, 0)),
              "take it out, or mend its conditions");
        diagnostic.where = entry_span(finding, 0);
        break;
      case Kind::never_decides:
        about(
            "remark-2",
            fmt::format(
                "'{}' changes no player's answer here, nor what may be handed over for it: others say the same, or go "
                "before it.",
                rule(finding, 0)),
            "take it out, or mend its conditions");
        diagnostic.where = entry_span(finding, 0);
        break;
      case Kind::idle_outranks:
        about("remark-3",
              fmt::format(
                  "'{}' need not outrank '{}': without it every player's answer, and what may be handed over for it, "
                  "stays as it is.",
                  rule(finding, 0), rule(finding, 1)),
              "take the outranks out");
        diagnostic.where = policy_.rules[finding.rules[0]].span;
        break;
      case Kind::unreached:
        about("remark-4", fmt::format("No player gets these answers of {}: {}.", name(finding.table), steps(finding)),
              "shorten what this line declares, or add the rule that gives them");
        diagnostic.where = span_of(finding.table);
        break;
      case Kind::not_accepted:
        about("remark-6",
              fmt::format("No accept line says what in stock will do for {}: a quote leaves it open.",
                          name(finding.table)),
              "say so, as in: " + accept_line(table(finding.table).target));
        diagnostic.where = span_of(finding.table);
        break;
      case Kind::shuts_out_nobody:
        about("remark-7", "This line shuts out nobody: no player is like that, or other lines shut them out already.",
              "take it out, or mend its conditions");
        diagnostic.where = policy_.nobody[finding.line].span;
        break;
      case Kind::idle_detail:
        about("remark-5",
              fmt::format("{} is asked, but no rule, chart or accept line reads it.",
                          policy_.details[finding.detail].name),
              "add the chart or rule that turns on it, if one is missing; or stop asking it");
        diagnostic.where = policy_.details[finding.detail].span;
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
  bool is_safety(const Finding& finding, std::size_t i) const { return policy_.rules[finding.rules[i]].safety; }

  // Each of the rules by its name, with what `of` says of it.
  template <typename Of>
  std::vector<std::string> each_rule(const Finding& finding, Of of) const {
    std::vector<std::string> all;
    for (std::size_t i = 0; i < finding.rules.size(); ++i)
      all.push_back(fmt::format("'{}'{}", rule(finding, i), of(i)));
    return all;
  }
  // Of a choice, of which nothing is left by all: what each of the rules leaves.
  std::string leaves(const Finding& finding) const {
    const auto& known = table(finding.table);
    return compiler::listed(each_rule(finding, [&](std::size_t i) {
      const auto& row = known.rows[finding.rows[i]];
      return " leaves " + policy_.properties[known.target].write(row.low, row.high);
    }));
  }

  // How rules that clash may be parted: their conditions, what is given, or of two one put before the other. Which of
  // these the shop means nobody else knows, so each stands there, with what it comes to.
  std::string part(const std::vector<std::string>& given, const Finding& finding) const {
    std::vector<std::string> ways = {hold_apart(finding)};
    for (const auto& way : given)
      if (!way.empty()) ways.push_back(way);
    for (const auto& [over, under] : {std::pair(0, 1), std::pair(1, 0)})
      if (finding.rules.size() == 2 && may_outrank(table(finding.table), finding.rules[over], finding.rules[under]))
        ways.push_back(fmt::format("write under '{}': outranks {}{}", rule(finding, over),
                                   policy_.rules[finding.rules[under]].name_as_written(), so_that(finding, over)));
    std::string out;
    for (const auto& way : ways) out += (out.empty() ? "" : "; or ") + way;
    return out;
  }

  // Whom each of the rules is for, and, where two share members of a detail, which of them to take out.
  std::string hold_apart(const Finding& finding) const {
    if (finding.rows.size() < 2) return "hold the two apart with for";
    const auto& rows = table(finding.table).rows;
    const auto whom = [&](std::size_t i) {
      // What a size is worked out from is no condition of its rule.
      const auto& of = policy_.rules[finding.rules[i]];
      auto box = rows[finding.rows[i]].box;
      std::erase_if(box, [&](const auto& cell) { return cell.column == of.sized_from || cell.column == of.sized_to; });
      const auto conditions = as_conditions(policy_, policy_.tables, box);
      return conditions.empty() ? "every player" : conditions;
    };
    if (finding.rows.size() > 2) {
      const auto all = each_rule(finding, [&](std::size_t i) { return (i == 0 ? " is for " : " for ") + whom(i); });
      return fmt::format("hold one of them apart with for: {}", fmt::join(all, ", "));
    }
    const auto& boxes = std::array{&rows[finding.rows[0]].box, &rows[finding.rows[1]].box};
    auto out = fmt::format("hold the two apart with for: '{}' is for {}, '{}' for {}", rule(finding, 0), whom(0),
                           rule(finding, 1), whom(1));
    for (const auto& cell : *boxes[0]) {
      const auto* other = compiler::places_in(*boxes[1], cell.column);
      if (!other || !policy_.scale_of(cell.column).has_members()) continue;
      const auto shared = compiler::shared_places(cell.places, *other);
      const auto members = as_conditions(policy_, policy_.tables, {{cell.column, shared}});
      for (std::size_t i = 0; i < 2; ++i)
        if ((i == 0 ? cell.places : *other) != shared && !is_safety(finding, i))
          out += fmt::format("; take {} out of '{}'", members, rule(finding, i));
    }
    return out;
  }

  // What the rule that goes first then says where the two clash, told where it is an answer or a standing of its own.
  std::string so_that(const Finding& finding, std::size_t i) const {
    const auto& known = table(finding.table);
    if (finding.rows.size() < 2) return "";
    const auto& row = known.rows[finding.rows[i]];
    if (row.effect == compiler::Effect::need) return ", which keeps it in the kit there";
    if (row.effect == compiler::Effect::omit) return ", which leaves it out there";
    if (known.kind != Table::Kind::property || row.effect != compiler::Effect::base) return "";
    if (policy_.rules[row.rule].sized_to) return "";  // the row has one end of what it gives
    return fmt::format(", which gives {} there", policy_.properties[known.target].write(row.low, row.high));
  }

  // Whether one rule may be put before another. Between a base, which answers, and a rule that limits it neither may be
  // put aside: either nothing would answer, or the limit would hold nobody.
  bool may_outrank(const Table& table, compiler::RuleId over, compiler::RuleId under) const {
    const auto is_base = [&](compiler::RuleId id) { return compiler::gives_answer(policy_.rules[id].effect); };
    const auto is_declared = [&](compiler::RuleId id) {
      return policy_.rules[id].kind == compiler::RuleText::Kind::declaration;
    };
    if (is_declared(over) || is_declared(under) || is_base(over) != is_base(under)) return false;
    const auto &winner = policy_.rules[over], &loser = policy_.rules[under];
    // Whoever outranks the winner outranks the loser then, and whom the loser outranks.
    bool limit_goes_first = !is_base(over), base_is_silenced = is_base(under);
    for (const auto& [a, b] : table.outranks) {
      limit_goes_first |= b == over && !is_base(a);
      base_is_silenced |= a == under && is_base(b);
    }
    if (limit_goes_first && base_is_silenced) return false;
    return !loser.safety || (winner.safety && winner.span.source == loser.span.source);
  }
  // Everything the piece is advised by, but for its sum to plan for, which no item has.
  std::string accept_line(std::uint32_t id) const {
    const auto& piece = policy_.pieces[id];
    auto line = fmt::format("accept {} with ", piece.name);
    for (auto i = piece.first_property; i < piece.first_property + piece.properties; ++i) {
      const auto& property = policy_.properties[i];
      if (property.scale.dimension == compiler::Dimension::money && !property.scale.has_members()) continue;
      line += fmt::format("{} {}, ", property.name, policy_.tables.answers[i].band ? "within advised" : "as advised");
    }
    return line + "condition new";
  }
  // The line makes sure of several pieces at once.
  bool of_group(const Finding& finding) const {
    const auto& span = policy_.sures[finding.sure].span;
    return std::count_if(policy_.sures.begin(), policy_.sures.end(), [&](const Sure& sure) {
             return sure.span.source == span.source && sure.span.begin == span.begin;
           }) > 1;
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
  void each_place(const Finding& finding, Problem& diagnostic) const {
    for (std::size_t i = 0; i < finding.rules.size(); ++i) {
      if (i == 0)
        diagnostic.where = entry_span(finding, i);
      else
        diagnostic.notes.push_back({fmt::format("'{}' stands here", rule(finding, i)), entry_span(finding, i)});
      note_whom(policy_.rules[finding.rules[i]], diagnostic);
    }
  }
  std::string for_whom(const compiler::Box& region, bool of_gap = false) const {
    std::vector<std::string> parts;
    for (const auto& cell : region) {
      const bool open = cell.places.front() == compiler::PlaceRange{0, proof_.tables.columns[cell.column].places - 1};
      if (open) continue;
      // A condition on every step of a fine measure gives one range a step; the first few are enough to show.
      constexpr std::size_t most_ranges = 8, shown_of_more = 5;
      auto places = cell.places;
      std::string more;
      if (places.size() > most_ranges && !policy_.scale_of(cell.column).has_members()) {
        more = fmt::format(" and {} more ranges", places.size() - shown_of_more);
        places.resize(shown_of_more);
      }
      const bool between = of_gap && places.size() == 1 && !shown_.scale_of(cell.column).has_members();
      parts.push_back(
          shown_.name_of(cell.column) + " " +
          (between ? between_edges(cell.column, places.front()) : shown_.write_places(cell.column, places) + more));
    }
    return parts.empty() ? "for any player" : "where " + compiler::listed(parts);
  }

  // With the words that take the ends in or leave them out, so that what is written to fill a gap does not lie over its
  // neighbours: "at least 40 kg and at most 41 kg".
  std::string between_edges(compiler::ColumnId column, const compiler::PlaceRange& range) const {
    const auto& scale = shown_.scale_of(column);
    return fmt::format("{}", fmt::join(ends_of(shown_, shown_.tables, column, range,
                                               [&](std::int64_t at) { return scale.write_edge(at); }),
                                       " and "));
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
    for (const auto& line : shop_lines_of(finding))
      for (const auto& box : compiler::players_of(policy_.tables, line))
        for (const auto& cell : box) policy_.tables.each_asked_under(cell.column, add);
    if (finding.kind != Finding::Kind::two_lines)
      for (const auto column : table(finding.table).columns) policy_.tables.each_asked_under(column, add);
    if (finding.kind == Finding::Kind::sure_broken && policy_.sures[finding.sure].moves())
      add(policy_.sures[finding.sure].detail);
    return out.empty() ? "any" : out;
  }

  std::string answer(const Readings& readings, compiler::TableId id) const {
    return possible_in_words(policy_, explain(engine_, player_of(readings), id)).front();
  }

  std::string players(const Finding& finding) const {
    if (finding.kind != Finding::Kind::sure_broken)
      return fmt::format("For instance: {}.", player(finding.players[0], finding));
    auto out = fmt::format("For instance: {}: {}", player(finding.players[0], finding),
                           answer(finding.players[0], finding.table));
    if (finding.item) {
      const auto step = std::int64_t{finding.item->step};
      const auto& property = policy_.properties[table(finding.table).target];
      out += fmt::format("; an item whose {} is {} may be handed over", property.name, property.write(step, step));
    }
    if (finding.players.size() == 2) {
      const auto detail = policy_.sures[finding.sure].detail;
      const auto value = [&](std::size_t i) {
        return policy_.details[i].name + " " + policy_.details[i].scale.write_exactly(finding.players[1][i]);
      };
      out += "; but with " + value(detail);
      // Of what decides nothing here the two may differ.
      for (std::size_t i = 0; i < policy_.details.size(); ++i)
        if (i != detail && finding.players[0][i] != finding.players[1][i]) out += ", " + value(i);
      out += ": " + answer(finding.players[1], finding.table);
    }
    return out + ".";
  }

  compiler::Stage stage_of(const Finding& finding) const {
    return compiler::stages_of(policy_, piece_of(finding))[finding.item->stage];
  }
  std::uint32_t piece_of(const Finding& finding) const { return policy_.properties[table(finding.table).target].piece; }
  const grammar::Span& stage_line(const Finding& finding) const {
    return compiler::line_of(policy_, piece_of(finding), stage_of(finding));
  }
  // Of two lines that meet: where they stand.
  std::pair<const grammar::Span*, const grammar::Span*> shop_lines(const Finding& finding) const {
    std::vector<const grammar::Span*> all;
    const auto& about = table(finding.table);
    if (about.kind == Table::Kind::piece)
      for (const auto& line : policy_.shop.accepts[about.target]) all.push_back(&line.span);
    else
      for (const auto& line : policy_.shop.worth)
        if (line.property == about.target) all.push_back(&line.span);
    return {all[finding.lines.first], all[finding.lines.second]};
  }
  // The lines of the shop that a finding turns on: whom each is for.
  std::vector<std::optional<compiler::TableId>> shop_lines_of(const Finding& finding) const {
    std::vector<std::optional<compiler::TableId>> all;
    const auto& about = table(finding.table);
    if (finding.item) {
      const auto stage = stage_of(finding);
      return {stage.players.begin(), stage.players.end()};
    }
    if (finding.kind != Finding::Kind::two_lines) return {};
    if (about.kind == Table::Kind::piece)
      for (const auto& line : policy_.shop.accepts[about.target]) all.push_back(line.players);
    else
      for (const auto& line : policy_.shop.worth)
        if (line.property == about.target) all.push_back(line.players);
    return {all[finding.lines.first], all[finding.lines.second]};
  }
  // Whether the player's outcome and what binds items, as the engine has them, let an item be what the finding says.
  bool may_be_handed_over(const Finding& finding, const Readings& readings) const {
    auto scratch = engine_.scratch();
    engine_.place(readings, scratch);
    const auto found = engine_.look_up(finding.table, scratch.places);
    const auto target = table(finding.table).target;
    const auto bounds = compiler::item_bounds(policy_.tables, table(finding.table), engine_.rows(finding.table, found));
    const auto stage = stage_of(finding);
    const auto& asked = stage.asked[target - policy_.pieces[piece_of(finding)].first_property];
    return all_apply(finding, scratch) && compiler::steps_handed_over(policy_.tables.answers[target], asked,
                                                                      engine_.outcome(finding.table, found), bounds)
                                              .holds(finding.item->step);
  }

  // Whether the lines of the shop that the finding turns on are for the player who was placed.
  bool all_apply(const Finding& finding, const Engine::Scratch& placed) const {
    const auto lines = shop_lines_of(finding);
    return std::all_of(lines.begin(), lines.end(), [&](const auto& line) {
      return !line || engine_.outcome(*line, placed).standing == Standing::spoken;
    });
  }

  // What decides for the players of a claim that does not hold, and how the details were worked out that it speaks of.
  void note_deciding(const Finding& finding, Problem& diagnostic) const {
    std::set<std::uint32_t> rows;
    for (const auto& readings : finding.players)
      for (const auto& part : explain(engine_, player_of(readings), finding.table).parts) {
        if (part.role != compiler::Role::Kind::decides && part.role != compiler::Role::Kind::lifts) continue;
        if (!rows.insert(part.row).second) continue;
        const auto& row = table(finding.table).rows[part.row];
        const auto& of = policy_.rules[row.rule];
        diagnostic.notes.push_back({fmt::format("'{}' says {} there", part.rule, part.says),
                                    row.entry < of.entries.size() ? of.entries[row.entry] : of.span});
      }
    const auto player = player_of(finding.players.back());
    const Explanation explanation(engine_, player);
    for (const auto& cell : policy_.sures[finding.sure].when) {
      const auto& column = policy_.tables.columns[cell.column];
      if (!column.worked_out) continue;
      diagnostic.notes.push_back({fmt::format("{} is {} there", policy_.name_of(cell.column),
                                              explanation.looked_at(cell.column, nullptr).value),
                                  policy_.worked_out[column.detail].span});
    }
  }

  void not_settled(const Finding& finding, Problem& diagnostic) const {
    std::vector<std::string> details;
    for (const auto& cell : finding.region) details.push_back(shown_.name_of(cell.column));
    diagnostic.code = "proof-7";
    diagnostic.message = fmt::format(
        "Whether {} is answered once for every player could not be settled: its rules look at {} together{}.",
        name(finding.table), compiler::listed(details),
        for_whom(finding.region) == "for any player" ? "" : " (" + for_whom(finding.region) + ")");
    diagnostic.where = span_of(finding.table);
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

  // Every finding is checked against the engine: the player shown can be, and his outcome is what the finding says.
  void check(const Finding& finding) {
    auto scratch = engine_.scratch();
    using Kind = Finding::Kind;
    for (const auto& readings : finding.players) {
      engine_.place(readings, scratch);
      const auto standing = engine_.outcome(finding.table, scratch).standing;
      const bool shows = finding.kind == Kind::gap || finding.kind == Kind::past_range ? standing == Standing::gap
                         : finding.item                      ? may_be_handed_over(finding, readings)
                         : finding.kind == Kind::two_lines   ? all_apply(finding, scratch)
                         : finding.kind == Kind::sure_broken ? standing != Standing::gap
                                                             : standing == Standing::clash;
      if (!shows || !engine_.can_be(scratch))
        throw std::logic_error(fmt::format(
            "the proof and the engine disagree about {}; this is a fault of lacestay, please report it with the policy",
            name(finding.table)));
    }
  }

  const Engine& engine_;
  const compiler::Policy& policy_;
  const compiler::Proof& proof_;
  compiler::Policy shown_;  // the policy with the proof's columns, for writing places
  Mends mends_;
};

}  // namespace

std::string as_conditions(const compiler::Policy& policy, const compiler::Tables& tables, const compiler::Box& box) {
  std::string out;
  const auto add = [&](const std::string& condition) { out += out.empty() ? condition : ", " + condition; };
  for (const auto& cell : box) {
    const auto& scale = policy.scale_of(cell.column);
    const auto& name = policy.name_of(cell.column);
    if (scale.has_members()) {
      std::vector<std::string> members;
      for (const auto member : tables.columns[cell.column].members_in(cell.places, scale.members.size()))
        members.push_back(scale.members[member]);
      add(fmt::format("{} {}", name, fmt::join(members, ", ")));
      continue;
    }
    for (const auto& end : ends_of(policy, tables, cell.column, {cell.places.front().first, cell.places.back().last},
                                   [&](std::int64_t at) { return scale.write_exactly(at); }))
      add(fmt::format("{} {}", name, end));
  }
  return out;
}

std::vector<Problem> told(const Engine& engine, const compiler::Proof& proof) {
  Telling telling(engine, proof);
  std::vector<Problem> all;
  for (const auto& finding : proof.findings) all.push_back(telling.tell(finding));
  return all;
}

}  // namespace lacestay::runtime
