// The proof against plain enumeration: on generated policies so coarse that every player can be tried, what it finds
// is exactly what trying everybody finds. The players without an answer, those about whom rules clash, the pairs of
// rules that do; remarks, by taking the row or the outranks out and asking again; and what the owner makes sure of.
//
// LACESTAY_WHOLE tries ten times as many policies, LACESTAY_SEED one.
#include <bitset>
#include <catch2/catch.hpp>
#include <chrono>
#include <cstdlib>
#include <iostream>
#include <set>

#include "compiler/compile.hpp"
#include "compiler/law.hpp"
#include "compiler/proof.hpp"
#include "compiler/regions.hpp"
#include "tests/naive/generator.hpp"
#include "tests/naive/players.hpp"
#include "tests/proof/asked.hpp"
#include "tests/proof/claims.hpp"

namespace {

using namespace lacestay;
using compiler::Box;
using compiler::Effect;
using compiler::Finding;
using compiler::PlaceRange;
using compiler::Presence;
using compiler::Regions;
using compiler::RuleId;
using compiler::Table;
using compiler::TableId;
using Kind = Finding::Kind;
using RulePair = std::pair<RuleId, RuleId>;

constexpr std::size_t most_players = 300;
using Players = std::bitset<most_players>;

// What was compared, how often, and what differed: by kind, with the shortest policy that shows it.
struct Tally {
  struct Difference {
    std::size_t times = 0;
    std::uint64_t seed = 0;
    std::string policy, what;
  };
  std::map<std::string, std::size_t> counts;
  std::map<std::string, Difference> differences;
};

// All of one policy's players, and what the naive evaluator and the rows say of each.
class Trial {
 public:
  Trial(std::uint64_t seed, Tally& tally) : seed_(seed), tally_(tally) {
    naive::Settings settings;
    settings.most_players = most_players;
    files_ = naive::generate(seed, settings).files;
    files_.front().text += "\n" + judges::claims_for(naive::prepare(files_), seed);
    for (const auto& file : files_) text_ += "--- " + file.name + "\n" + file.text;
    naive_ = naive::prepare(files_);
    auto compiled = compiler::compile(files_.front().name, files_.front().text, [&](const std::string& path) {
      for (const auto& file : files_)
        if (file.name == path) return compiler::FileText{file.text, ""};
      return compiler::FileText{std::nullopt, "there is none"};
    });
    policy_ = compiled.policy;
  }

  [[nodiscard]] bool compiles() const { return policy_ != nullptr; }
  [[nodiscard]] const std::string& text() const { return text_; }

  void run() {
    compiler::ProofBudget budget;
    budget.shown = std::size_t{1} << 40;
    proof_ = compiler::prove(*policy_, budget);
    count("policies");
    same("nothing is left out", proof_.left_out == 0, "");
    for (const auto& finding : proof_.findings)
      same("all is settled", finding.kind != Kind::not_settled, policy_->rules.empty() ? "" : "table " + at(finding));
    try_everybody();
    const auto last = policy_->tables.first_caution_table();
    for (TableId id = 0; id < last; ++id) {
      table_ = id;
      table().kind == Table::Kind::property ? answers() : presence();
      regions();
      rows();
      outranks();
    }
    unmet_rules();
    idle_details();
    claims();
  }

 private:
  // ---- one by one

  void try_everybody() {
    asked_ = judges::asked_ranges(naive_);
    std::vector<std::int64_t> steps(asked_.size());
    for (std::size_t i = 0; i < asked_.size(); ++i) {
      stride_.push_back(count_);
      count_ *= static_cast<std::size_t>(asked_[i].last) + 1;
    }
    REQUIRE(count_ <= most_players);
    REQUIRE(naive::PlayerSource(naive_, seed_).all() == count_);
    count("players", count_);
    everybody_ = Players().set() >> (most_players - count_);
    compiler::Reach reach(policy_->tables), fewer(proof_.tables);
    for (const auto& one : policy_->tables.tables) applies_.emplace_back(one.rows.size());
    for (const auto& one : policy_->tables.tables) meets_.emplace_back(count_), static_cast<void>(one);
    naive_outcomes_.reserve(count_);
    for (std::size_t player = 0; player < count_; ++player) {
      for (std::size_t i = 0; i < asked_.size(); ++i) steps[i] = step(player, i);
      naive_outcomes_.push_back(naive::evaluate(naive_, judges::player_of(asked_, steps)));
      const auto readings = judges::readings_of(asked_, *policy_, steps);
      by_readings_[readings] = player;
      const auto own = reach.at(readings), few = fewer.at(readings);
      own_places_.push_back(exact(own));
      places_.push_back(exact(few));
      for (std::size_t id = 0; id < policy_->tables.tables.size(); ++id)
        for (std::uint32_t row = 0; row < policy_->tables.tables[id].rows.size(); ++row) {
          const bool applies = inside(policy_->tables.tables[id].rows[row].box, own_places_.back());
          if (applies) applies_[id][row].set(player), meets_[id][player].push_back(row);
          same("a row over fewer columns applies to the same players",
               applies == inside(proof_.tables.tables[id].rows[row].box, places_.back()), "");
        }
    }
  }

  [[nodiscard]] std::int64_t step(std::size_t player, std::size_t detail) const {
    return static_cast<std::int64_t>(player / stride_[detail]) % (asked_[detail].last + 1);
  }
  [[nodiscard]] static std::vector<std::uint32_t> exact(std::span<const PlaceRange> ranges) {
    std::vector<std::uint32_t> places;
    for (const auto& range : ranges) {
      if (range.first != range.last) throw std::logic_error("a player in two places");
      places.push_back(range.first);
    }
    return places;
  }
  [[nodiscard]] static bool inside(const Box& box, const std::vector<std::uint32_t>& places) {
    return std::all_of(box.begin(), box.end(), [&](const compiler::Cell& cell) {
      return std::any_of(cell.places.begin(), cell.places.end(), [&](const PlaceRange& range) {
        return range.first <= places[cell.column] && places[cell.column] <= range.last;
      });
    });
  }
  [[nodiscard]] Players who(const Box& box) const {
    Players all;
    for (std::size_t player = 0; player < count_; ++player) all[player] = inside(box, places_[player]);
    return all;
  }
  [[nodiscard]] Players who(Regions& regions, Regions::Set set) const {
    Players all;
    for (std::size_t player = 0; player < count_; ++player) {
      auto node = set;
      while (!regions.sets().is_terminal(node))
        node = regions.sets().next(node, places_[player][regions.sets().column(node)]);
      all[player] = node == regions.sets().everybody();
    }
    return all;
  }

  // ---- what is known of the table at hand

  [[nodiscard]] const Table& table() const { return policy_->tables.tables[table_]; }
  [[nodiscard]] std::vector<const Finding*> findings(std::set<Kind> kinds) const {
    std::vector<const Finding*> all;
    for (const auto& finding : proof_.findings)
      if (finding.table == table_ && kinds.count(finding.kind) != 0) all.push_back(&finding);
    return all;
  }
  [[nodiscard]] bool refused() const {
    return !findings({Kind::gap, Kind::two_answers, Kind::floor_over_cap, Kind::band_emptied, Kind::need_and_omit,
                      Kind::not_settled})
                .empty();
  }
  [[nodiscard]] const naive::PieceOutcome& piece(std::size_t player, std::size_t piece) const {
    return naive_outcomes_[player].pieces.at(policy_->pieces[piece].name);
  }
  [[nodiscard]] Players standing(std::size_t of, std::set<naive::Standing> standings) const {
    Players all;
    for (std::size_t player = 0; player < count_; ++player)
      all[player] = standings.count(piece(player, of).standing) != 0;
    return all;
  }
  [[nodiscard]] Players present(std::size_t of) const {
    return standing(of, {naive::Standing::needed, naive::Standing::suggested});
  }
  // The piece of a property, or itself.
  [[nodiscard]] std::size_t own_piece() const {
    return table().kind == Table::Kind::property ? policy_->tables.piece_of[table().target] : table().target;
  }
  [[nodiscard]] Players present() const { return present(own_piece()); }
  [[nodiscard]] const naive::PropertyOutcome* property(std::size_t player, std::size_t property) const {
    const auto& all = piece(player, policy_->tables.piece_of[property]).properties;
    const auto found = all.find(policy_->properties[property].name);
    return found == all.end() ? nullptr : &found->second;
  }
  [[nodiscard]] Players told(naive::PropertyOutcome::Kind kind) const {
    Players all;
    for (std::size_t player = 0; player < count_; ++player) {
      const auto* outcome = property(player, table().target);
      all[player] = outcome && outcome->kind == kind;
    }
    return all;
  }
  // To whom the row applies, and no rule that outranks it.
  [[nodiscard]] Players speaks(std::uint32_t row) const {
    auto all = applies_[table_][row];
    for (std::uint32_t other = 0; other < table().rows.size(); ++other)
      if (outranks(table().rows[other].rule, table().rows[row].rule)) all &= ~applies_[table_][other];
    return all;
  }
  [[nodiscard]] bool outranks(RuleId over, RuleId under) const {
    return std::binary_search(table().outranks.begin(), table().outranks.end(), RulePair(over, under));
  }

  // ---- gaps and clashes

  using Clash = std::pair<Kind, std::pair<std::uint32_t, std::uint32_t>>;

  // Who clashes by each pair of rows; of bases, by each pair of rules, since one finding is told of two rules.
  [[nodiscard]] std::map<Clash, Players> clashes() const {
    std::map<Clash, Players> all;
    const auto& own = table();
    const bool band = own.kind == Table::Kind::property && policy_->tables.answers[own.target].band;
    Players scope = everybody_, based;
    if (own.kind == Table::Kind::property) {
      scope = present() & ~told(naive::PropertyOutcome::Kind::refer);
      for (std::uint32_t i = 0; i < own.rows.size(); ++i)
        if (own.rows[i].effect == Effect::base) based |= speaks(i);
    } else if (policy_->tables.presence[own.target] != Presence::optional) {
      return all;
    }
    for (std::uint32_t i = 0; i < own.rows.size(); ++i)
      for (std::uint32_t k = 0; k < own.rows.size(); ++k) {
        const auto &a = own.rows[i], &b = own.rows[k];
        if (a.rule == b.rule) continue;
        std::optional<Clash> clash;
        if (a.effect == Effect::base && b.effect == Effect::base && i < k)
          clash = {Kind::two_answers, {a.rule, b.rule}};
        else if (a.effect == Effect::floor && b.effect == Effect::cap && a.low > b.low)
          clash = {Kind::floor_over_cap, {i, k}};
        else if (a.effect == Effect::need && b.effect == Effect::omit)
          clash = {Kind::need_and_omit, {i, k}};
        else if (band && (a.high < b.low || b.high < a.low) && b.effect == Effect::keep &&
                 (a.effect == Effect::base || (a.effect == Effect::keep && i < k)))
          clash = {Kind::band_emptied, {i, k}};
        if (!clash) continue;
        auto about = speaks(i) & speaks(k) & scope;
        if (clash->first == Kind::band_emptied) about &= based;
        if (about.any()) all[*clash] |= about;
      }
    return all;
  }

  void check_clashes(const Players& by_naive) {
    auto expected = clashes();
    Players all;
    for (const auto& [clash, about] : expected) all |= about;
    same("all pairs of rows that clash, together, are who clashes", all == by_naive, difference(all, by_naive));
    count("players who clash", by_naive.count());
    const auto found =
        findings({Kind::two_answers, Kind::floor_over_cap, Kind::band_emptied, Kind::need_and_omit});
    for (const auto* finding : found) {
      const auto& pair = finding->kind == Kind::two_answers ? finding->rules : finding->rows;
      const auto known = expected.find({finding->kind, {pair[0], pair[1]}});
      const auto region = who(finding->region);
      same("a clash that is found is one", known != expected.end() && region.any() && (region & ~known->second).none(),
           named(*finding));
      same("who is shown clashes", region[witness(*finding)], named(*finding));
      if (known != expected.end()) expected.erase(known);
      count("clashes found");
    }
    same("a clash is found", expected.empty(),
         expected.empty() ? "" : "kind " + std::to_string(static_cast<int>(expected.begin()->first.first)));
  }

  void answers() {
    using Told = naive::PropertyOutcome::Kind;
    count("properties");
    Players uncovered;
    for (const auto* finding : findings({Kind::gap})) {
      const auto region = who(finding->region);
      uncovered |= region;
      same("who is shown has no answer", region[witness(*finding)], "");
    }
    same("who has no answer", uncovered == told(Told::gap), difference(uncovered, told(Told::gap)));
    count("players without an answer", uncovered.count());
    if (uncovered.any()) count("properties with gaps");
    check_clashes(told(Told::clash));
    if (!refused()) check_reached();
  }

  void presence() {
    count("pieces");
    check_clashes(standing(table().target, {naive::Standing::clash}));
  }

  void check_reached() {
    const auto& space = policy_->tables.answers[table().target];
    std::set<std::uint32_t> reached, remarked;
    for (std::size_t player = 0; player < count_; ++player)
      if (const auto* outcome = property(player, table().target);
          outcome && outcome->kind == naive::PropertyOutcome::Kind::answer)
        for (auto step = outcome->answer->low; step <= outcome->answer->high; ++step)
          reached.insert(static_cast<std::uint32_t>(step));
    for (const auto* finding : findings({Kind::unreached})) remarked.insert(finding->steps.begin(), finding->steps.end());
    for (std::uint32_t step = 0; step < space.steps; ++step) {
      if (remarked.count(step) != 0)
        same("an answer remarked upon is reached by nobody", reached.count(step) == 0, std::to_string(step));
      else
        same(space.band ? "a band's step is in somebody's band" : "an answer is reached by somebody",
             reached.count(step) != 0, std::to_string(step));
      count(remarked.count(step) != 0 ? "answers nobody gets" : "answers somebody gets");
    }
  }

  // The sets the proof is made of.
  void regions() {
    using Told = naive::PropertyOutcome::Kind;
    Regions sets(proof_.tables, proof_.tables.tables[table_], 4'000'000);
    const auto equal = [&](const char* what, Regions::Set set, const Players& expected) {
      count("sets of players");
      const auto is = who(sets, set);
      same(std::string("the set: ") + what, is == expected, difference(is, expected));
    };
    for (std::uint32_t i = 0; i < table().rows.size(); ++i) equal("a row", sets.of_row(i), speaks(i));
    equal("present", sets.present(), present());
    if (table().kind != Table::Kind::property) return;
    equal("referred", sets.referred(), told(Told::refer));
    equal("owed", sets.owed(), present() & ~told(Told::refer));
    if (refused()) return;
    equal("answered", sets.answered(), told(Told::answer));
    for (std::uint32_t step = 0; step < policy_->tables.answers[table().target].steps; ++step)
      for (const bool upper : {false, true}) {
        Players reached;
        for (std::size_t player = 0; player < count_; ++player)
          if (const auto* outcome = property(player, table().target); outcome && outcome->kind == Told::answer)
            reached[player] = (upper ? outcome->answer->high : outcome->answer->low) >= step;
        equal("at least a step", sets.at_least(step, upper), reached);
      }
  }

  // ---- remarks

  // Of the players in scope, those whose outcome would be another with these rows, or this table.
  template <typename Without>
  [[nodiscard]] Players changed(const Table& other, Without without) const {
    Players all;
    const auto scope = table().kind == Table::Kind::property ? present() : everybody_;
    for (std::size_t player = 0; player < count_; ++player) {
      if (!scope[player]) continue;
      auto rows = meets_[table_][player];
      const auto before = compiler::decide(policy_->tables, table(), rows);
      std::erase_if(rows, without);
      all[player] = before != compiler::decide(policy_->tables, other, rows);
    }
    return all;
  }

  void rows() {
    const auto& own = table();
    const auto scope = own.kind == Table::Kind::property ? present() : everybody_;
    const bool declared =
        own.kind == Table::Kind::piece && policy_->tables.presence[own.target] != Presence::optional;
    std::map<std::uint32_t, Kind> remarks;
    for (const auto* finding : findings({Kind::never_applies, Kind::never_decides}))
      if (finding->rows.size() == 1) remarks[finding->rows.front()] = finding->kind;
    for (std::uint32_t i = 0; i < own.rows.size(); ++i) {
      const auto& row = own.rows[i];
      const auto matters = changed(own, [&](auto other) { return other == i; });
      const auto remark = remarks.find(i);
      const auto what = "row " + std::to_string(i) + " of " + policy_->rules[row.rule].name + ", effect " +
                        std::to_string(static_cast<int>(row.effect));
      if (remark == remarks.end()) {
        // Left out by design: where a piece is present (no rule of the owner's), safety needs of a piece that is always
        // there, and the steps of a size, of which the answers nobody gets are told.
        if (row.effect == Effect::present || (declared && row.safety) || policy_->rules[row.rule].sized_from) {
          count("rows not looked at");
        } else if (refused()) {
          count(matters.any() ? "rows that decide, in tables refused" : "rows that decide nothing, in tables refused");
        } else {
          count("rows that decide");
          same("a row without a remark changes somebody", matters.any(), what);
        }
      } else if (remark->second == Kind::never_applies) {
        count("rows nobody meets");
        same("a row nobody meets", (applies_[table_][i] & scope).none(), what);
      } else {
        count("rows that decide nothing");
        same("a row that decides nothing changes nobody", matters.none(), what);
        same("a row said to decide nothing applies to somebody", (applies_[table_][i] & scope).any(), what);
      }
    }
  }

  // The outranks as they are written.
  [[nodiscard]] const std::set<RulePair>& written() {
    if (!written_.empty()) return written_;
    std::map<std::string, RuleId> by_name;
    for (RuleId rule = 0; rule < policy_->rules.size(); ++rule) by_name[policy_->rules[rule].name] = rule;
    for (const auto& voice : naive_.voices) {
      const auto colon = voice.name.find(": ");
      const auto pack = colon == std::string::npos ? "" : voice.name.substr(0, colon + 2);
      for (const auto& phrase : voice.clauses->outranks) {
        const auto own = by_name.find(pack + phrase.joined());
        written_.insert({by_name.at(voice.name), own != by_name.end() ? own->second : by_name.at(phrase.joined())});
      }
    }
    return written_;
  }

  // The table as it would be without one of them: what follows from others stays, and what followed from it goes.
  [[nodiscard]] Table without(const RulePair& pair) {
    auto closed = written();
    closed.erase(pair);
    for (bool more = true; more;) {
      more = false;
      for (const auto& a : std::set(closed))
        for (const auto& b : std::set(closed))
          if (a.second == b.first) more = closed.insert({a.first, b.second}).second || more;
    }
    auto other = table();
    std::erase_if(other.outranks, [&](const auto& known) { return closed.count(known) == 0; });
    return other;
  }

  void outranks() {
    std::set<RulePair> idle;
    for (const auto* finding : findings({Kind::idle_outranks})) idle.insert({finding->rules[0], finding->rules[1]});
    const auto nothing = [](auto) { return false; };
    for (const auto& pair : table().outranks) {
      const auto what = policy_->rules[pair.first].name + " outranks " + policy_->rules[pair.second].name;
      const bool is_written = written().count(pair) != 0;
      if (idle.count(pair) != 0) {
        count("outranks that change nothing");
        same("an outranks remarked upon is written", is_written, what);
        same("an outranks remarked upon changes nobody", changed(without(pair), nothing).none(), what);
      } else if (is_written && refused()) {
        count("outranks, in tables refused");
      } else if (is_written) {
        count("outranks that change somebody");
        same("an outranks without a remark changes somebody", changed(without(pair), nothing).any(), what);
      }
    }
  }

  // Rules and rows of charts that lowering left out: whether anybody meets their conditions is asked of the naive
  // evaluator, by cautions with those conditions.
  void unmet_rules() {
    std::string probes;
    for (const auto& finding : proof_.findings) {
      if (finding.kind != Kind::never_applies || !finding.rows.empty()) continue;
      count("rows that are in no table");
      const auto& name = policy_->rules[finding.rules.front()].name;
      const auto voice = std::find_if(naive_.voices.begin(), naive_.voices.end(),
                                      [&](const naive::Voice& one) { return one.name == name; });
      if (voice == naive_.voices.end() || voice->sized) {
        count("rows that are in no table, not looked at (charts of details, sizes)");
        continue;
      }
      std::string when;
      const auto add = [&](const std::string& condition) { when += (when.empty() ? "" : ", ") + condition; };
      for (const auto& condition : voice->clauses->when) add(std::string(condition.span.text()));
      if (voice->pack_when)
        for (const auto& condition : *voice->pack_when) add(std::string(condition.span.text()));
      if (voice->chart) {
        const auto& chart = *voice->chart;
        const auto columns = chart.rows.front().cells.size();
        const auto row = finding.steps.front() / columns, cell = finding.steps.front() % columns;
        std::vector<const grammar::Head*> down, across;
        for (const auto& one : chart.rows) down.push_back(&one.head);
        if (chart.across)
          for (const auto& head : chart.across->heads) across.push_back(&head);
        if (chart.down) add_head(down, row, chart.down->joined(), add);
        if (chart.across) add_head(across, cell, chart.across->detail.joined(), add);
      }
      probes += "\nrule nobody_" + std::to_string(table_++) + "\n  caution \"met\"\n" +
                (when.empty() ? "" : "  for " + when + "\n") + "  because \"met\"\n";
    }
    if (probes.empty()) return;
    auto files = files_;
    files.front().text += probes;
    const auto policy = naive::prepare(files);
    for (std::size_t player = 0; player < count_; ++player) {
      std::vector<std::int64_t> steps(asked_.size());
      for (std::size_t i = 0; i < asked_.size(); ++i) steps[i] = step(player, i);
      for (const auto& caution : naive::evaluate(policy, judges::player_of(asked_, steps)).cautions)
        same("a row that is in no table is met by nobody", caution.rfind("nobody_", 0) != 0, probes);
    }
  }

  // A chart's entry as conditions: its own edge, and past the edge above.
  template <typename Add>
  static void add_head(const std::vector<const grammar::Head*>& heads, std::size_t at, const std::string& detail,
                       Add add) {
    using Head = grammar::Head::Kind;
    const auto edge = [](const grammar::Head& head) { return std::string(grammar::span_of(*head.edge).text()); };
    const auto& head = *heads.at(at);
    if (head.kind == Head::members) {
      add(detail + " " + std::string(head.span.text()));
      return;
    }
    if (head.kind != Head::rest)
      add(detail + (head.kind == Head::under ? " under " : head.kind == Head::before ? " before " : " at most ") +
          edge(head));
    if (at == 0) return;
    const auto& above = *heads[at - 1];
    add(detail + (above.kind == Head::under ? " at least " : above.kind == Head::before ? " since " : " over ") +
        edge(above));
  }

  void idle_details() {
    std::set<std::string> idle;
    for (const auto& finding : proof_.findings)
      if (finding.kind == Kind::idle_detail) idle.insert(policy_->details[finding.detail].name);
    for (std::size_t i = 0; i < asked_.size(); ++i) {
      bool decides = false;
      for (std::size_t player = 0; player < count_; ++player) {
        const auto lowest = player - static_cast<std::size_t>(step(player, i)) * stride_[i];
        decides = decides || naive_outcomes_[player] != naive_outcomes_[lowest];
      }
      if (idle.count(asked_[i].name) != 0) {
        count("details that decide nothing");
        same("a detail that decides nothing changes nobody", !decides, asked_[i].name);
      } else {
        // It is looked at, which need not change an answer.
        count(decides ? "details that decide" : "details looked at that change nobody, not remarked upon");
      }
    }
  }

  // ---- make sure

  void claims() {
    using Sure = compiler::Sure::Kind;
    std::map<std::size_t, const Finding*> broken;
    for (const auto& finding : proof_.findings)
      if (finding.kind == Kind::sure_broken) broken[finding.sure] = &finding;
    for (std::size_t index = 0; index < policy_->sures.size(); ++index) {
      const auto& sure = policy_->sures[index];
      const bool of_piece = sure.kind == Sure::needed || sure.kind == Sure::left_out;
      table_ = static_cast<TableId>(of_piece ? policy_->tables.piece_table(sure.target)
                                             : policy_->tables.property_table(sure.target));
      const auto* finding = broken.count(index) != 0 ? broken.at(index) : nullptr;
      const std::string what(sure.span.text());
      if (!of_piece && refused()) {
        same("no claim about a property refused", !finding, what);
        count("claims not looked at");
        continue;
      }
      Players when;
      for (std::size_t player = 0; player < count_; ++player) when[player] = inside(sure.when, own_places_[player]);
      const bool moves = sure.kind == Sure::never_falls || sure.kind == Sure::never_rises;
      const auto wrong = moves ? moving(sure, when) : static_wrong(sure, when);
      count(std::string(moves ? "claims of two players" : "claims of one player") +
            (wrong.empty() ? " that hold" : " that are broken"));
      same("a claim is broken where it is", (finding != nullptr) == !wrong.empty(), what);
      if (!finding || wrong.empty()) continue;
      const RulePair shown(witness(*finding, 0), witness(*finding, moves ? 1 : 0));
      same("who is shown breaks the claim", wrong.count(shown) != 0, what);
    }
  }

  using Pairs = std::set<std::pair<std::size_t, std::size_t>>;

  [[nodiscard]] Pairs static_wrong(const compiler::Sure& sure, const Players& when) const {
    using Sure = compiler::Sure::Kind;
    Pairs wrong;
    for (std::size_t player = 0; player < count_; ++player) {
      if (!when[player]) continue;
      bool is_wrong = false;
      if (sure.kind == Sure::needed) {
        is_wrong = piece(player, sure.target).standing != naive::Standing::needed;
      } else if (sure.kind == Sure::left_out) {
        is_wrong = present()[player];
      } else if (const auto* outcome = property(player, sure.target); outcome && outcome->answer) {
        if (outcome->kind != naive::PropertyOutcome::Kind::answer) continue;
        is_wrong = (sure.kind != Sure::at_most && outcome->answer->low < sure.low) ||
                   (sure.kind != Sure::at_least && outcome->answer->high > sure.high);
      }
      if (is_wrong) wrong.insert({player, player});
    }
    return wrong;
  }

  [[nodiscard]] Pairs moving(const compiler::Sure& sure, const Players& when) const {
    Pairs wrong;
    const auto& name = policy_->details[sure.detail].name;
    std::size_t along = 0;
    while (asked_[along].name != name) ++along;
    const bool falls = sure.kind == compiler::Sure::Kind::never_falls;
    const auto answer = [&](std::size_t player) -> const naive::Answer* {
      const auto* outcome = when[player] ? property(player, sure.target) : nullptr;
      return outcome && outcome->kind == naive::PropertyOutcome::Kind::answer ? &*outcome->answer : nullptr;
    };
    for (std::size_t later = 0; later < count_; ++later) {
      const auto* after = answer(later);
      for (auto down = step(later, along); after && down > 0; --down) {
        const auto earlier = later - static_cast<std::size_t>(down) * stride_[along];
        const auto* before = answer(earlier);
        if (!before) continue;
        const auto &first = falls ? *before : *after, &second = falls ? *after : *before;
        if (first.low > second.low || first.high > second.high) wrong.insert({earlier, later});
      }
    }
    return wrong;
  }

  // ---- telling

  [[nodiscard]] std::size_t witness(const Finding& finding, std::size_t which = 0) const {
    return by_readings_.at(finding.players.at(which));
  }
  [[nodiscard]] static std::string at(const Finding& finding) { return std::to_string(finding.table); }
  [[nodiscard]] std::string named(const Finding& finding) const {
    return policy_->rules[finding.rules.at(0)].name + " and " + policy_->rules[finding.rules.at(1)].name;
  }
  [[nodiscard]] static std::string difference(const Players& proof, const Players& tried) {
    return std::to_string((proof & ~tried).count()) + " by the proof alone, " +
           std::to_string((tried & ~proof).count()) + " by trying alone";
  }
  void count(const std::string& what, std::size_t times = 1) { tally_.counts[what] += times; }
  void same(const std::string& what, bool is, const std::string& more) {
    ++tally_.counts["comparisons"];
    if (is) return;
    auto& known = tally_.differences[what];
    if (++known.times > 1 && known.policy.size() <= text_.size()) return;
    known.seed = seed_;
    known.policy = text_;
    known.what = more + " (table " + std::to_string(table_) + ")";
  }

  std::uint64_t seed_;
  Tally& tally_;
  std::vector<naive::TextFile> files_;
  std::string text_;
  naive::Policy naive_;
  std::shared_ptr<const compiler::Policy> policy_;
  compiler::Proof proof_;
  TableId table_ = 0;
  std::set<RulePair> written_;

  // Players are numbered; a detail's step is its digit.
  std::vector<judges::AskedRange> asked_;
  std::vector<std::size_t> stride_;  // by asked detail
  std::size_t count_ = 1;
  Players everybody_;
  std::map<compiler::Readings, std::size_t> by_readings_;
  std::vector<naive::Outcome> naive_outcomes_;                   // by player
  std::vector<std::vector<std::uint32_t>> own_places_, places_;  // by player, by column of the policy; of the proof
  std::vector<std::vector<Players>> applies_;                    // by table, by row
  std::vector<std::vector<std::vector<std::uint32_t>>> meets_;   // by table, by player: the rows
};

TEST_CASE("the proof finds what trying every player finds") {
  const auto began = std::chrono::steady_clock::now();
  std::uint64_t first = 1, policies = std::getenv("LACESTAY_WHOLE") ? 8000 : 800;
  if (const auto* one = std::getenv("LACESTAY_SEED")) first = std::strtoull(one, nullptr, 10), policies = 1;
  Tally tally;
  for (auto seed = first; seed < first + policies; ++seed) {
    Trial trial(seed, tally);
    INFO("seed " << seed << "\n" << trial.text());
    if (trial.compiles())
      trial.run();
    else
      ++tally.counts["policies that do not compile"];
  }
  for (const auto& [what, times] : tally.counts) std::cout << what << ": " << times << "\n";
  for (const auto& [what, difference] : tally.differences)
    std::cout << "DIFFERS, " << difference.times << " times: " << what << "; seed " << difference.seed << ": "
              << difference.what << "\n"
              << (std::getenv("LACESTAY_LOUD") ? difference.policy : "");
  std::cout << "took " << std::chrono::duration<double>(std::chrono::steady_clock::now() - began).count() << " s\n";
  CHECK(tally.differences.empty());
  CHECK(tally.counts["policies that do not compile"] * 50 <= policies);
}

}  // namespace
