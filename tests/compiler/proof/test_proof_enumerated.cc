// The proof against plain enumeration: on generated policies whose every player is tried, what refuses a policy is
// exactly what trying everybody finds. The players without an answer, those about whom rules clash, and the pairs of
// rules that do; and what the owner makes sure of, with the players shown.
#include <algorithm>
#include <catch2/catch.hpp>
#include <optional>
#include <tuple>

#include "compiler/shelf/stages.hpp"
#include "tests/compiler/proof/everybody.hpp"

namespace {

using namespace lacestay;
using compiler::Effect;
using compiler::Finding;
using compiler::RuleId;
using compiler::Sure;
using judges::AskedRange;
using judges::Players;
using judges::RulePair;
using Kind = Finding::Kind;
using Told = naive::PropertyOutcome::Kind;

class Refusals : public judges::Everybody {
 public:
  using Everybody::Everybody;

  void check() {
    for (table_ = 0; table_ < tables_; ++table_) {
      count("tables", of_property() ? "of properties" : "of pieces");
      if (of_property()) gaps();
      clashes();
      if (!of_property()) accept_lines();
    }
    for (std::size_t i = 0; i < policy_->sures.size(); ++i) claim(i);
  }

 private:
  static std::string difference(const Players& proof, const Players& tried) {
    return std::to_string((proof & ~tried).count()) + " players by the proof alone, " +
           std::to_string((tried & ~proof).count()) + " by trying alone";
  }

  void gaps() {
    Players without;
    for (const auto* finding : findings({Kind::gap, Kind::past_range})) {
      const auto region = who(finding->region);
      without |= region;
      same("who is shown has no answer", region[shown(*finding)]);
      count("gaps", "found");
    }
    same("who has no answer", without == told(Told::gap), difference(without, told(Told::gap)));
    count("gaps", "players in them", without.count());
  }

  // ---- clashes

  // A kind and two rows; of bases, and of bands that are sized, two rules, since of two rules one finding is told.
  using Clash = std::pair<Kind, std::pair<std::uint32_t, std::uint32_t>>;

  [[nodiscard]] std::optional<Clash> clash_of(std::uint32_t first, std::uint32_t second) const {
    const auto &a = table().rows[first], &b = table().rows[second];
    if (a.rule == b.rule) return std::nullopt;
    const std::pair rows(first, second);
    if (a.effect == Effect::need && b.effect == Effect::omit) return Clash(Kind::need_and_omit, rows);
    if (a.effect == Effect::floor && b.effect == Effect::cap && a.low > b.low) return Clash(Kind::floor_over_cap, rows);
    if (a.effect == Effect::base && b.effect == Effect::step && a.safety && !b.safety)
      return Clash(Kind::safety_base_moved, rows);
    if (a.effect == Effect::base && b.effect == Effect::base && first < second)
      return Clash(Kind::two_answers, {a.rule, b.rule});
    const bool narrows =
        b.effect == Effect::keep && (a.effect == Effect::base || (a.effect == Effect::keep && first < second));
    // The upper end of a sized band meets another rule's base, or upper end, only where two bases clash.
    const auto is_upper_end = [&](const compiler::Row& row) { return policy_->rules[row.rule].is_upper_end(row); };
    if (is_upper_end(b) && (a.effect == Effect::base || is_upper_end(a))) return std::nullopt;
    if (narrows && leaves_nothing({first, second}))
      return Clash(Kind::band_emptied, is_sized(a.rule, b.rule) ? std::pair(a.rule, b.rule) : rows);
    return std::nullopt;
  }
  // No answer is within all of the rows.
  [[nodiscard]] bool leaves_nothing(const std::vector<std::uint32_t>& rows) const {
    for (std::int64_t answer = 0; answer < policy_->tables.answers[table().target].steps; ++answer)
      if (std::all_of(rows.begin(), rows.end(), [&](auto row) {
            return naive::takes_in({table().rows[row].low, table().rows[row].high}, answer);
          }))
        return false;
    return true;
  }
  // Of a choice that is left open: who three rows or more leave nothing to, and no two of them.
  [[nodiscard]] Players emptied_by_more(const std::map<Clash, Players>& pairs) const {
    Players more = of_property() && !policy_->tables.answers[table().target].ordered ? told(Told::clash) : Players();
    for (const auto& [clash, about] : pairs) more &= ~about;
    return more;
  }
  void emptied(const Finding& finding, const Players& more, Players& found) {
    std::string rules;
    Players about = more;
    const bool beside =
        std::all_of(finding.rows.begin(), finding.rows.end(), [&](auto row) { return table().rows[row].safety; });
    if (!beside) about &= ~to_fitter(table_);
    for (const auto row : finding.rows)
      about &= speaks(table_, row), rules += policy_->rules[table().rows[row].rule].name + " ";
    same("rows that leave nothing of a choice are told together", leaves_nothing(finding.rows), rules);
    for (std::size_t i = 0; i < finding.rows.size(); ++i) {
      auto fewer = finding.rows;
      fewer.erase(fewer.begin() + static_cast<std::ptrdiff_t>(i));
      same("without any one of them something would be left", !leaves_nothing(fewer), rules);
    }
    auto region = who(finding.region);
    same("who is shown is in the clash's region", region[shown(finding)], rules);
    for (const auto& part : finding.also) region |= who(part);
    same("a clash of three is told of all who are in it, and in none of two", region == about,
         rules + difference(region, about));
    found |= region;
    count("clashes", "found, of three rows or more");
  }
  [[nodiscard]] bool is_sized(compiler::RuleId a, compiler::RuleId b) const {
    return policy_->rules[a].sized_to || policy_->rules[b].sized_to;
  }

  // Who is in each clash.
  [[nodiscard]] std::map<Clash, Players> all_clashes() const {
    std::map<Clash, Players> all;
    if (declared()) return all;
    const auto count_of_rows = static_cast<std::uint32_t>(table().rows.size());
    const auto beside = of_property() ? present() & to_fitter(table_) : Players();
    const auto scope = of_property() ? present() & ~beside : everybody_;
    Players based;
    for (std::uint32_t i = 0; i < count_of_rows; ++i)
      if (table().rows[i].effect == Effect::base) based |= speaks(table_, i);
    for (std::uint32_t i = 0; i < count_of_rows; ++i)
      for (std::uint32_t k = 0; k < count_of_rows; ++k) {
        const auto clash = clash_of(i, k);
        if (!clash) continue;
        // Without a base there is no band to empty; but beside a refer safety rules stand by themselves.
        auto among = clash->first == Kind::band_emptied ? scope & based : scope;
        if (table().rows[i].safety && table().rows[k].safety) among |= beside;
        const auto about = speaks(table_, i) & speaks(table_, k) & among;
        if (about.any()) all[*clash] |= about;
      }
    return all;
  }

  void clashes() {
    auto expected = all_clashes();
    const auto clashing = of_property() ? told(Told::clash) : standing(naive::Standing::clash);
    Players together = emptied_by_more(expected), found_of_more;
    const auto of_more = together;
    for (const auto& [clash, about] : expected) together |= about;
    same("all pairs of rows that clash, together, are who clashes", together == clashing,
         difference(together, clashing));
    count("clashes", "players in them", clashing.count());
    for (const auto* finding : findings({Kind::two_answers, Kind::safety_base_moved, Kind::floor_over_cap,
                                         Kind::band_emptied, Kind::need_and_omit})) {
      if (finding->rows.size() > 2) {
        emptied(*finding, of_more, found_of_more);
        continue;
      }
      const auto rules = policy_->rules[finding->rules[0]].name + " and " + policy_->rules[finding->rules[1]].name;
      const bool of_rules = finding->kind == Kind::two_answers ||
                            (finding->kind == Kind::band_emptied && is_sized(finding->rules[0], finding->rules[1]));
      const auto& pair = of_rules ? finding->rules : finding->rows;
      const auto known = expected.find({finding->kind, {pair[0], pair[1]}});
      auto region = who(finding->region);
      same("who is shown is in the clash's region", region[shown(*finding)], rules);
      for (const auto& part : finding->also) {
        const auto others = who(part);
        same("each other part of a clash has somebody, whom no other has", others.any() && (others & region).none(),
             rules);
        region |= others;
        count("clashes", "other parts");
      }
      same("a clash is told once, of all who are in it", known != expected.end() && region == known->second, rules);
      if (known != expected.end()) expected.erase(known);
      count("clashes", "found");
    }
    same("every clash is told", expected.empty(), std::to_string(expected.size()) + " are not");
    same("every clash of three rows or more is told", found_of_more == of_more, difference(found_of_more, of_more));
  }

  // Two accept lines of the piece at hand that are for one player.
  void accept_lines() {
    const auto& name = policy_->pieces[table().target].name;
    Players together;
    for (std::size_t player = 0; player < count_; ++player) {
      std::size_t lines = 0;
      for (const auto& file : naive_.files)
        for (const auto& item : file.items)
          if (const auto* accept = std::get_if<grammar::Accept>(&item.form); accept && accept->piece.joined() == name)
            lines += naive::holds(naive_, player_of(asked_, steps(player)), accept->when);
      together[player] = everybody_[player] && lines > 1;
    }
    const auto told = findings({Kind::two_lines});
    same("two accept lines for one player are told", told.empty() == together.none(), name);
    for (const auto* finding : told) same("who is shown meets both", together[shown(*finding)], name);
    count("accept lines", told.empty() ? "that never meet" : "that meet");
  }

  // ---- make sure

  using Pairs = std::set<std::pair<std::size_t, std::size_t>>;

  void claim(std::size_t index) {
    const auto& sure = policy_->sures[index];
    const std::string text(sure.span.text());
    const bool of_piece = sure.kind == Sure::Kind::needed || sure.kind == Sure::Kind::left_out;
    const bool moves = sure.kind == Sure::Kind::never_falls || sure.kind == Sure::Kind::never_rises;
    table_ = static_cast<compiler::TableId>(of_piece ? policy_->tables.piece_table(sure.target)
                                                     : policy_->tables.property_table(sure.target));
    const Finding* broken = nullptr;
    for (const auto* finding : findings({Kind::sure_broken}))
      if (finding->sure == index) broken = finding;
    if (!of_piece && refused()) {
      same("with gaps or clashes there is no one answer to make sure of", !broken, text);
      count("claims", "of properties refused");
      return;
    }
    const auto wrong = moves ? wrong_pairs(sure, claimed_[index]) : wrong_alone(sure, claimed_[index]);
    const auto items = sure.of_items() ? wrong_items(sure, claimed_[index]) : Items();
    if (moves) someone_to_compare(sure, index, wrong.empty());
    const bool holds = wrong.empty() && items.empty();
    count("claims", std::string(holds           ? "that hold"
                                : wrong.empty() ? "broken by items alone"
                                                : "broken") +
                        (moves             ? " of two players"
                         : sure.of_items() ? " of what is handed over"
                                           : " of one player"));
    same("a claim is told where it is broken", (broken != nullptr) != holds, text);
    if (!broken) return;
    const auto& item = broken->item;
    same("who is shown breaks the claim",
         item ? items.count({shown(*broken), item->stage, item->step}) != 0
              : wrong.count({shown(*broken, 0), shown(*broken, moves ? 1 : 0)}) != 0,
         text);
  }

  // Who may be handed which step at which stage, against what the claim says; the steps as the shelf has them for one
  // player.
  using Items = std::set<std::tuple<std::size_t, std::size_t, std::uint32_t>>;
  [[nodiscard]] Items wrong_items(const Sure& sure, const Players& when) const {
    const auto& tables = policy_->tables;
    const auto piece = tables.piece_of[sure.target];
    const auto& own = policy_->pieces[piece];
    Players of_fitter;
    for (auto other = own.first_property; other < own.first_property + own.properties; ++other)
      of_fitter |= to_fitter(static_cast<compiler::TableId>(tables.property_table(other)));
    const auto stages = compiler::stages_of(*policy_, piece);
    Items wrong;
    for (std::size_t player = 0; player < count_; ++player) {
      const auto* has = answer(player);
      if (!when[player] || of_fitter[player] || !has) continue;
      const auto bounds = compiler::item_bounds(tables, table(), rows_of(player));
      const compiler::Outcome advised{compiler::Standing::answered, has->low, has->high};
      for (std::size_t stage = 0; stage < stages.size(); ++stage) {
        const auto& lines = stages[stage].players;
        if (!std::all_of(lines.begin(), lines.end(), [&](compiler::TableId line) {
              return !applies_[line].empty() && applies_[line].front()[player];
            }))
          continue;
        const auto& asked = stages[stage].asked[sure.target - own.first_property];
        const auto steps = compiler::steps_handed_over(tables.answers[sure.target], asked, advised, bounds);
        for (auto step = steps.low; step <= steps.high; ++step)
          if (steps.holds(step) && !sure.allows(step)) wrong.insert({player, stage, static_cast<std::uint32_t>(step)});
      }
    }
    return wrong;
  }

  [[nodiscard]] const naive::Answer* answer(std::size_t player) const {
    const auto* outcome = property(player);
    return outcome && outcome->kind == Told::answer ? &*outcome->answer : nullptr;
  }

  [[nodiscard]] bool is_wrong(const Sure& sure, std::size_t player) const {
    if (sure.kind == Sure::Kind::needed) return standing(player) != naive::Standing::needed;
    if (sure.kind == Sure::Kind::left_out)
      return standing(player) == naive::Standing::needed || standing(player) == naive::Standing::suggested;
    const auto* has = answer(player);
    if (sure.kind == Sure::Kind::one_of) {
      for (std::int64_t member = 0; has && member < policy_->tables.answers[sure.target].steps; ++member)
        if (!sure.allows(member) && naive::takes_in({has->low, has->high}, member)) return true;
      return false;
    }
    return has && ((sure.kind != Sure::Kind::at_most && has->low < sure.low) ||
                   (sure.kind != Sure::Kind::at_least && has->high > sure.high));
  }
  [[nodiscard]] Pairs wrong_alone(const Sure& sure, const Players& when) const {
    Pairs wrong;
    for (std::size_t player = 0; player < count_; ++player)
      if (when[player] && is_wrong(sure, player)) wrong.insert({player, player});
    return wrong;
  }

  // Pairs of an earlier player and a later one of whom something is so: the earlier has less of the detail, and they
  // are alike in all that decides whether they have the piece, and what.
  template <typename Wanted>
  [[nodiscard]] Pairs pairs(const Sure& sure, const Players& among, Wanted wanted) const {
    const auto& tables = policy_->tables;
    auto held = tables.asked_under(table());
    const auto piece = tables.piece_of[sure.target];
    if (tables.presence[piece] != compiler::Presence::always) {
      const auto under = tables.asked_under(tables.tables[tables.piece_table(piece)]);
      for (std::size_t i = 0; i < held.size(); ++i) held[i] = held[i] || under[i];
    }
    const auto place = [&](const AskedRange& range) {
      std::size_t at = 0;
      while (policy_->details[at].name != range.name) ++at;
      return at;
    };
    Pairs found;
    for (std::size_t later = 0; later < count_; ++later)
      for (std::size_t earlier = 0; earlier < count_; ++earlier) {
        if (!among[earlier] || !among[later]) continue;
        bool alike = true;
        for (std::size_t i = 0; i < asked_.size() && alike; ++i) {
          const auto at = place(asked_[i]);
          if (at == sure.detail)
            alike = step(earlier, i) < step(later, i);
          else if (held[at])
            alike = step(earlier, i) == step(later, i);
        }
        if (alike && wanted(earlier, later)) found.insert({earlier, later});
      }
    return found;
  }

  [[nodiscard]] Pairs wrong_pairs(const Sure& sure, const Players& when) const {
    const bool falls = sure.kind == Sure::Kind::never_falls;
    return pairs(sure, when, [&](std::size_t earlier, std::size_t later) {
      if (!answer(earlier) || !answer(later)) return false;
      const auto &low = *answer(falls ? earlier : later), &high = *answer(falls ? later : earlier);
      return low.low > high.low || low.high > high.high;
    });
  }

  // Where lines on players that cannot be leave a claim nobody to compare, that is told; not where it never had any.
  // With a clash that nobody meets, who is shut out would have something to compare as well; not where a refer speaks.
  void someone_to_compare(const Sure& sure, std::size_t index, bool holds) {
    const auto answered = [&](std::size_t player) {
      const auto* outcome = property(player);
      return outcome && (outcome->kind == Told::answer ||
                         (!everybody_[player] && outcome->kind == Told::clash && !is_referred(player)));
    };
    const auto compared = [&](std::size_t earlier, std::size_t later) { return answered(earlier) && answered(later); };
    const bool none = pairs(sure, claimed_[index], compared).empty();
    const bool some_before = !pairs(sure, raw_claimed_[index], compared).empty();
    const auto told = findings({Kind::no_pair});
    const bool is_told = std::any_of(told.begin(), told.end(), [&](const auto* each) { return each->sure == index; });
    same("it is told where nobody is left to compare", is_told == (holds && none && some_before),
         std::string(sure.span.text()));
    if (is_told) count("claims", "left nobody to compare");
  }
};

TEST_CASE("the proof refuses what trying every player refuses") { judges::try_policies<Refusals>(); }

}  // namespace
