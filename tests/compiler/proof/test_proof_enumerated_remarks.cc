// The proof's remarks against plain enumeration: a row is taken out, or an outranks, and every player asked again. What
// changes nobody is remarked upon, and nothing else is. So with answers nobody gets.
#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <tuple>

#include "compiler/law/law.hpp"
#include "tests/compiler/proof/everybody.hpp"

namespace {

using namespace lacestay;
using compiler::Effect;
using compiler::Finding;
using compiler::RuleId;
using compiler::Table;
using judges::Players;
using judges::RulePair;
using Kind = Finding::Kind;
using Outranks = std::set<RulePair>;

Outranks closed(Outranks pairs) {
  for (bool more = true; more;) {
    more = false;
    for (const auto& a : Outranks(pairs))
      for (const auto& b : Outranks(pairs))
        if (a.second == b.first) more = pairs.insert({a.first, b.second}).second || more;
  }
  return pairs;
}
Outranks without(Outranks pairs, const RulePair& pair) {
  pairs.erase(pair);
  return pairs;
}

// Less those that follow from others.
Outranks direct(Outranks pairs) {
  std::erase_if(pairs, [&](const RulePair& pair) { return closed(without(pairs, pair)).count(pair) != 0; });
  return pairs;
}

class Remarks : public judges::Everybody {
 public:
  using Everybody::Everybody;

  void check() {
    for (table_ = 0; table_ < tables_; ++table_) {
      for (std::uint32_t row = 0; row < table().rows.size(); ++row) check_row(row);
      if (of_property()) check_reached();
    }
    check_outranks();
    check_rows_in_no_table();
    check_details();
    check_nobody();
  }

 private:
  [[nodiscard]] Players scope() const { return of_property() ? present() : everybody_; }
  [[nodiscard]] const std::string& name(RuleId rule) const { return policy_->rules[rule].name; }

  // Whose outcome, or what binds whose items, would be another by the other table, less one row.
  [[nodiscard]] Players changed(const Table& other, std::optional<std::uint32_t> left_out = std::nullopt) const {
    auto all = scope();
    for (std::size_t player = 0; player < count_; ++player) {
      if (!all[player]) continue;
      auto rows = rows_of(player);
      const auto is = said(table(), rows);
      if (left_out) std::erase(rows, *left_out);
      all[player] = is != said(other, rows);
    }
    return all;
  }

  // The outcome; of a property also which steps an item may have, and whether it keeps to the answer.
  using Said = std::pair<compiler::Outcome, compiler::ItemBounds>;
  [[nodiscard]] Said said(const Table& table, const std::vector<std::uint32_t>& rows) const {
    const auto outcome = compiler::decide(policy_->tables, table, rows);
    if (!of_property()) return {outcome, {}};
    return {outcome, compiler::item_bounds(policy_->tables, table, rows)};
  }

  // A safety rule's row, or one of house rules that says of which steps an item is: to take it out would weaken the
  // shelf, so it is idle only if nobody meets it.
  [[nodiscard]] bool holds_items(const compiler::Row& row) const {
    const bool of_pack = name(row.rule).find(": ") != std::string::npos;
    const bool limits = row.effect == Effect::floor || row.effect == Effect::cap || row.effect == Effect::keep;
    return row.safety || (of_pack && limits);
  }

  void check_row(std::uint32_t index) {
    const auto& row = table().rows[index];
    std::optional<Kind> remark;
    for (const auto* finding : findings({Kind::never_applies, Kind::never_decides}))
      if (finding->rows == std::vector{index}) remark = finding->kind;
    // Where a piece is present is no rule of the owner's; a safety need of a piece that is always there stays as a
    // reminder; of a size, step by step, the answers nobody gets are told.
    if (row.effect == Effect::present || (declared() && row.safety) || policy_->rules[row.rule].sized_from) {
      same("rows that are not looked at have no remark", !remark, name(row.rule));
      return count("rows", "not looked at");
    }
    std::optional<Kind> expected;
    if ((applies_[table_][index] & scope()).none())
      expected = Kind::never_applies;
    else if (!refused() && !holds_items(row) && changed(table(), index).none())
      expected = Kind::never_decides;
    same("a row that never applies, or never decides, has that remark", remark == expected,
         fmt::format("row {} of {}", index, name(row.rule)));
    count("rows", expected == Kind::never_applies   ? "that never apply"
                  : expected == Kind::never_decides ? "that never decide"
                  : refused()                       ? "that apply, of tables refused"
                                                    : "that decide");
  }

  void check_reached() {
    std::set<std::uint32_t> reached, remarked;
    for (std::size_t player = 0; player < count_; ++player)
      if (const auto* outcome = property(player);
          everybody_[player] && outcome && outcome->kind == naive::PropertyOutcome::Kind::answer)
        for (std::uint32_t step = 0; step < policy_->tables.answers[table().target].steps; ++step)
          if (naive::takes_in({outcome->answer->low, outcome->answer->high}, step)) reached.insert(step);
    const auto steps = policy_->tables.answers[table().target].steps;
    const auto advised = reached;
    for (const auto step : advised)
      for (std::uint32_t other = 0; other < steps; ++other)
        if (handed_over(static_cast<int>(other) - static_cast<int>(step))) reached.insert(other);
    for (const auto* finding : findings({Kind::unreached}))
      remarked.insert(finding->steps.begin(), finding->steps.end());
    if (refused()) return same("of a table refused no answers are told that nobody gets", remarked.empty());
    for (std::uint32_t step = 0; step < steps; ++step) {
      same("an answer nobody gets has a remark", remarked.count(step) != reached.count(step), std::to_string(step));
      count("answers", advised.count(step) != 0   ? "somebody gets"
                       : reached.count(step) != 0 ? "items alone have"
                                                  : "nobody gets");
    }
  }

  // Whether a line lets an item lie so many steps from what is advised.
  [[nodiscard]] bool handed_over(int away) const {
    const auto property = table().target;
    const auto within = [&](int moved) { return moved > 0 ? away > 0 && away <= moved : away < 0 && away >= moved; };
    const auto& shop = policy_->shop;
    for (const auto& accepts : shop.accepts[policy_->properties[property].piece])
      for (const auto& line : accepts.instead) {
        if (line.property != property) continue;
        if (line.kind == compiler::Instead::Kind::any) return true;
        if (line.kind == compiler::Instead::Kind::step && within(line.steps)) return true;
      }
    return std::any_of(shop.plan.begin(), shop.plan.end(), [&](const compiler::PlanStep& step) {
      return step.kind == compiler::PlanStep::Kind::settle && !step.any_condition && step.property == property &&
             (step.steps == 0 || within(step.steps));
    });
  }

  // ---- outranks

  // As they are written, less those that follow from others: the proof, which sees tables, can't tell those apart.
  [[nodiscard]] Outranks written() const {
    std::map<std::string, RuleId> by_name;
    for (RuleId rule = 0; rule < policy_->rules.size(); ++rule) by_name[name(rule)] = rule;
    Outranks all;
    for (const auto& voice : naive_.voices) {
      const auto colon = voice.name.find(": ");
      const auto pack = colon == std::string::npos ? "" : voice.name.substr(0, colon + 2);
      for (const auto& phrase : voice.clauses->outranks) {
        const auto own = by_name.find(pack + phrase.joined());
        all.insert({by_name.at(voice.name), own != by_name.end() ? own->second : by_name.at(phrase.joined())});
      }
    }
    return direct(all);
  }

  // A rule nobody meets stands in no table, and what follows through it looks as if it were written.
  [[nodiscard]] bool all_rules_are_met() const {
    std::set<RuleId> met;
    for (const auto& one : policy_->tables.tables)
      for (const auto& row : one.rows) met.insert(row.rule);
    return met.size() == policy_->rules.size();
  }

  void check_outranks() {
    std::map<RulePair, std::size_t> remarked;
    for (const auto& finding : proof_.findings)
      if (finding.kind == Kind::idle_outranks) ++remarked[{finding.rules[0], finding.rules[1]}];
    const auto all = written();
    for (const auto& pair : all) {
      const auto what = name(pair.first) + " outranks " + name(pair.second);
      const auto left = closed(without(all, pair));
      bool changes = false, decides = false, looked_at = all_rules_are_met();
      for (table_ = 0; table_ < tables_; ++table_) {
        const Outranks own(table().outranks.begin(), table().outranks.end());
        auto other = table();
        std::erase_if(other.outranks, [&](const RulePair& known) { return left.count(known) == 0; });
        if (other.outranks == table().outranks) continue;
        changes = changes || changed(other).any();
        // The proof sees one table at a time. What also follows through a rule of another table it takes for lost.
        const auto left_here = closed(without(direct(own), pair));
        other.outranks.assign(left_here.begin(), left_here.end());
        decides = decides || changed(other).any();
        looked_at = looked_at && !refused() && own.count(pair) != 0;
      }
      const auto told = remarked.extract(pair);
      const bool has_remark = !told.empty();
      same("an outranks that changes nobody has a remark", has_remark == (looked_at && !decides), what);
      same("an outranks with a remark has one, and changes nobody", !has_remark || (told.mapped() == 1 && !changes),
           what);
      count("outranks", !looked_at ? "not looked at" : decides ? "that decide" : "that decide nothing");
    }
    same("an outranks with a remark is written", remarked.empty());
  }

  // ---- what is in no table

  // Rules, and entries of charts, that lowering left out. Whether anybody meets their conditions is asked of the naive
  // evaluator, by cautions with those conditions.
  void check_rows_in_no_table() {
    std::string probes;
    for (const auto& finding : proof_.findings) {
      if (finding.kind != Kind::never_applies || !finding.rows.empty()) continue;
      const auto voice = std::find_if(naive_.voices.begin(), naive_.voices.end(),
                                      [&](const naive::Voice& one) { return one.name == name(finding.rules.front()); });
      // A chart of a detail is no voice; a size also ends where its range ends.
      const bool plain = voice != naive_.voices.end() && !voice->sized;
      count("rows in no table", plain ? "tried" : "not tried");
      if (!plain) continue;
      const auto when = conditions(*voice, finding.steps.front());
      probes += fmt::format("\nrule met_{}\n  caution \"met\"\n{}", probes.size(),
                            when.empty() ? "" : fmt::format("  for {}\n", fmt::join(when, ", ")));
    }
    auto files = files_;
    files.front().text += probes;
    const auto policy = naive::prepare(files);
    for (std::size_t player = 0; player < count_; ++player)
      for (const auto& caution : naive::evaluate(policy, judges::player_of(asked_, steps(player))).cautions)
        same("what is in no table is met by nobody", caution.rfind("met_", 0) != 0, probes);
  }

  static std::vector<std::string> conditions(const naive::Voice& voice, std::size_t entry) {
    std::vector<std::string> all;
    for (const auto& condition : voice.clauses->when) all.emplace_back(condition.span.text());
    if (voice.pack_when)
      for (const auto& condition : *voice.pack_when) all.emplace_back(condition.span.text());
    if (!voice.chart) return all;
    const auto& chart = *voice.chart;
    const auto width = chart.rows.front().cells.size();
    std::vector<const grammar::Head*> down, across;
    for (const auto& row : chart.rows) down.push_back(&row.head);
    if (chart.down) add_head(chart.down->joined(), down, entry / width, all);
    if (!chart.across) return all;
    for (const auto& head : chart.across->heads) across.push_back(&head);
    add_head(chart.across->detail.joined(), across, entry % width, all);
    return all;
  }

  // A head as conditions: its own edge, and past the edge before it.
  static void add_head(const std::string& detail, const std::vector<const grammar::Head*>& heads, std::size_t at,
                       std::vector<std::string>& all) {
    using Head = grammar::Head::Kind;
    const auto add = [&](const char* relation, const grammar::Span& edge) {
      all.push_back(fmt::format("{} {} {}", detail, relation, edge.text()));
    };
    const auto& own = *heads[at];
    if (own.kind == Head::members) return add("", own.span);
    if (own.kind != Head::rest)
      add(own.kind == Head::under    ? "under"
          : own.kind == Head::before ? "before"
                                     : "at most",
          grammar::span_of(*own.edge));
    if (at == 0) return;
    const auto& before = *heads[at - 1];
    add(before.kind == Head::under    ? "at least"
        : before.kind == Head::before ? "since"
                                      : "over",
        grammar::span_of(*before.edge));
  }

  // A line that shuts out nobody, the others kept: from the last to the first, so that of two alike one stays.
  void check_nobody() {
    std::set<std::size_t> told;
    for (const auto& finding : proof_.findings)
      if (finding.kind == Kind::shuts_out_nobody) told.insert(finding.line);
    std::vector<Players> lines(naive_.nobody.size());
    for (std::size_t player = 0; player < count_; ++player)
      for (std::size_t i = 0; i < lines.size(); ++i)
        lines[i][player] = naive::holds(naive_, judges::player_of(asked_, steps(player)), naive_.nobody[i]->has);
    for (auto i = lines.size(); i-- > 0;) {
      Players others;
      for (std::size_t k = 0; k < lines.size(); ++k)
        if (k != i) others |= lines[k];
      const bool idle = (lines[i] & ~others).none();
      same("a line that shuts out nobody has a remark", idle == (told.count(i) != 0), std::to_string(i));
      count("lines on who cannot be", idle ? "that shut out nobody" : "that shut out somebody");
      if (idle) lines[i].reset();
    }
  }

  // A detail no row looks at decides nothing. One that is looked at may still change nobody: its rows are told of.
  void check_details() {
    std::set<std::string> idle;
    for (const auto& finding : proof_.findings)
      if (finding.kind == Kind::idle_detail) idle.insert(policy_->details[finding.detail].name);
    for (std::size_t i = 0; i < asked_.size(); ++i) {
      bool decides = false;
      for (std::size_t player = 0; player < count_; ++player)
        decides =
            decides || outcomes_[player] != outcomes_[player - static_cast<std::size_t>(step(player, i)) * stride_[i]];
      const bool remarked = idle.count(asked_[i].name) != 0;
      same("a detail that decides nothing changes nobody", !remarked || !decides, asked_[i].name);
      count("details", decides ? "that decide" : remarked ? "that decide nothing" : "looked at that change nobody");
    }
  }
};

TEST_CASE("the proof remarks upon what trying every player shows to change nobody") { judges::try_policies<Remarks>(); }

}  // namespace
