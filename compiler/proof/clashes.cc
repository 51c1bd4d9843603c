// Clashes: who two rows speak to that can't both hold. Which rows those are, and for whom, is the law's to say.
#include <algorithm>
#include <map>

#include "compiler/proof/prover.hpp"
#include "compiler/space/meeting.hpp"
#include "compiler/tables/boxes.hpp"

namespace lacestay::compiler {
namespace {

Finding::Kind kind_of(Clash clash) {
  switch (clash) {
    case Clash::safety_base_moved: return Finding::Kind::safety_base_moved;
    case Clash::floor_over_cap: return Finding::Kind::floor_over_cap;
    case Clash::band_emptied: return Finding::Kind::band_emptied;
    case Clash::need_and_omit: return Finding::Kind::need_and_omit;
    case Clash::two_bases:
    case Clash::none: break;
  }
  return Finding::Kind::two_answers;
}

}  // namespace

Prover::Parts Prover::clash_in_parts(Regions& who, const Regions::Opposed& pair) {
  const auto& rows = who.table().rows;
  auto box = shared_box(rows[pair.first].box, rows[pair.second].box);
  if (is_empty(box)) return {};
  if (who.clash_wherever_they_meet(pair)) return {{std::move(box)}, 0};
  return parts_of(who, who.clash(pair));
}

std::optional<Prover::ToldClash> Prover::clashing_pair(Regions& who, const Regions::Opposed& pair) {
  if (!who.may_speak_together(pair.first, pair.second)) return std::nullopt;
  auto parts = clash_in_parts(who, pair);
  if (parts.boxes.empty()) return std::nullopt;
  const auto& rows = who.table().rows;
  Finding finding;
  finding.kind = kind_of(pair.clash);
  finding.rules = {rows[pair.first].rule, rows[pair.second].rule};
  finding.rows = {pair.first, pair.second};
  return clashing(std::move(finding), std::move(parts));
}

std::optional<Prover::ToldClash> Prover::clashing(Finding finding, Parts parts) {
  ToldClash told{proof_.findings.size(), {}};
  report(std::move(finding), std::move(parts), 1, &told.rest);
  const bool shown = proof_.findings.size() > told.finding && !proof_.findings.back().players.empty();
  return shown ? std::optional(std::move(told)) : std::nullopt;
}

// More players who are in the clash, told with it.
void Prover::add_rest(ToldClash& told, Parts parts) const {
  auto& [boxes, past] = told.rest;
  past += parts.past;
  for (auto& box : parts.boxes) {
    if (boxes.size() < budget_.boxes)
      boxes.push_back(std::move(box));
    else
      ++past;
  }
}

// Who else is in the clash: what joins the part that is told makes it larger, what does not is told beside it. What
// can't be shown is counted: parts past those that are told, or that nobody settled.
void Prover::tell_rest(ToldClash told) {
  auto& finding = proof_.findings[told.finding];
  auto& boxes = told.rest.boxes;
  boxes.push_back(finding.region);
  join_boxes(proof_.tables, boxes);
  const auto here = std::find_if(boxes.begin(), boxes.end(), [&](const Box& box) { return meet(box, finding.region); });
  finding.region = std::move(*here);
  finding.share = share_of(proof_.tables, finding.region);
  boxes.erase(here);
  std::stable_sort(boxes.begin(), boxes.end(),
                   [&](const Box& a, const Box& b) { return share_of(proof_.tables, a) > share_of(proof_.tables, b); });
  for (auto& box : boxes) {
    const auto kind = finding.also.size() < budget_.shown ? witnesses_.find(box).kind : Search::Kind::not_settled;
    if (kind == Search::Kind::found) finding.also.push_back(std::move(box));
    if (kind == Search::Kind::not_settled) ++proof_.left_out;
  }
  proof_.left_out += told.rest.past;
}

void Prover::clashing_bases(Regions& who) {
  const auto& rows = who.table().rows;
  const auto bases = who.bases();
  std::vector<const Box*> boxes;
  for (const auto row : bases) boxes.push_back(&rows[row].box);
  const bool one_rule =
      std::all_of(bases.begin(), bases.end(), [&](auto row) { return rows[row].rule == rows[bases.front()].rule; });
  if (one_rule) return;  // the rows of one chart, and the steps of one size, never meet
  const auto met = meeting(proof_.tables, boxes, budget_.compared);
  // Largest first; of two rules one finding, for their largest common box, with all the others beside it.
  std::vector<std::pair<double, Regions::Opposed>> ranked;
  for (const auto& [one, other] : met.pairs) {
    const Regions::Opposed pair{bases[one], bases[other], Clash::two_bases};
    if (who.may_speak_together(pair.first, pair.second))
      ranked.emplace_back(-share_of(proof_.tables, shared_box(rows[pair.first].box, rows[pair.second].box)), pair);
  }
  std::stable_sort(ranked.begin(), ranked.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
  std::map<std::pair<RuleId, RuleId>, std::optional<ToldClash>> told;  // nothing where it is only counted
  for (const auto& [share, pair] : ranked) {
    const std::pair rules{rows[pair.first].rule, rows[pair.second].rule};
    if (const auto known = told.find(rules); known != told.end()) {
      if (!known->second) continue;
      add_rest(*known->second, clash_in_parts(who, pair));
      continue;
    }
    const auto before = proof_.findings.size() + proof_.left_out;
    std::optional<ToldClash> now;
    // Past the findings that are shown, a pair that clashes in its whole common box is only counted: no player is
    // searched for.
    const bool enough = shown_[{now_, Finding::Kind::two_answers}] >= budget_.shown;
    const auto plain = [&] {
      return plainly_somebody(proof_.tables, shared_box(rows[pair.first].box, rows[pair.second].box));
    };
    if (enough && who.clash_wherever_they_meet(pair) && plain())
      ++proof_.left_out;
    else
      now = clashing_pair(who, pair);
    if (proof_.findings.size() + proof_.left_out != before) told.emplace(rules, std::move(now));
  }
  for (auto& [rules, each] : told)
    if (each) tell_rest(std::move(*each));
  if (!met.complete) throw Diagrams::OverBudget{};  // what was found is told; that there is no more can't be
}

// The rows of a band that is sized are its steps, as the owner sees no rows: of such a rule and another one finding.
void Prover::clashing_limits(Regions& who) {
  const auto& rows = who.table().rows;
  std::map<std::pair<RuleId, RuleId>, ToldClash> of_rules;
  for (const auto& pair : who.opposed()) {
    const std::pair rules{rows[pair.first].rule, rows[pair.second].rule};
    if (const auto known = of_rules.find(rules); known != of_rules.end()) {
      add_rest(known->second, clash_in_parts(who, pair));
      continue;
    }
    auto told = clashing_pair(who, pair);
    if (!told) continue;
    if (policy_.rules[rules.first].sized_to || policy_.rules[rules.second].sized_to)
      of_rules.emplace(rules, std::move(*told));
    else
      tell_rest(std::move(*told));
  }
  for (auto& [rules, told] : of_rules) tell_rest(std::move(told));
  if (who.left_open()) emptied_choice(who);
}

// Of a choice three rows may leave nothing where each two leave something. From some player on, who is in no clash of
// two: the fewest of his rows that leave nothing, told of all they speak to so; then from whoever is left.
void Prover::emptied_choice(Regions& who) {
  auto& sets = who.sets();
  const auto& rows = who.table().rows;
  auto all = who.emptied_together();
  if (all == sets.nobody()) return;
  for (const auto& pair : who.opposed())
    if (pair.clash == Clash::band_emptied && who.may_speak_together(pair.first, pair.second))
      all = sets.without(all, who.clash(pair));
  auto rest = all;
  for (std::size_t told_of = 0; rest != sets.nobody(); ++told_of) {
    if (told_of == budget_.boxes) throw Diagrams::OverBudget{};  // that there is no more can't be told
    Finding finding;
    finding.kind = Finding::Kind::band_emptied;
    sets.each_box(rest, [&](const Box& box) {
      finding.rows = emptying_rows(who.table(), box);
      return false;
    });
    for (const auto row : finding.rows) finding.rules.push_back(rows[row].rule);
    const auto these = sets.both(all, who.emptied_by(finding.rows));
    rest = sets.without(rest, these);
    if (auto told = clashing(std::move(finding), parts_of(who, these))) tell_rest(std::move(*told));
  }
}

// Of those in the box's first places: the rows that leave nothing together, and something without any one of them.
std::vector<std::uint32_t> Prover::emptying_rows(const Table& table, const Box& box) const {
  std::vector<std::uint32_t> places(proof_.tables.columns.size()), rows, emptying;
  for (const auto& cell : box) places[cell.column] = cell.places.front().first;
  for (std::uint32_t row = 0; row < table.rows.size(); ++row)
    if (holds(table.rows[row].box, places)) rows.push_back(row);
  std::vector<Role> roles;
  static_cast<void>(decide(proof_.tables, table, rows, &roles));
  for (const auto& role : roles)
    if (role.kind == Role::Kind::clashes) emptying.push_back(role.row);
  const auto nothing_left = [&](const std::vector<std::uint32_t>& of) {
    auto members = all_members(proof_.tables.answers[table.target].steps);
    for (const auto row : of) members &= members_of(table.rows[row].low);
    return members == 0;
  };
  for (std::size_t i = emptying.size(); i-- > 0;) {
    auto fewer = emptying;
    fewer.erase(fewer.begin() + static_cast<std::ptrdiff_t>(i));
    if (nothing_left(fewer)) emptying = std::move(fewer);
  }
  return emptying;
}

}  // namespace lacestay::compiler
