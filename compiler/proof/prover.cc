#include "compiler/proof/prover.hpp"

#include <algorithm>
#include <iterator>
#include <set>
#include <utility>

#include "compiler/space/fewer_columns.hpp"
#include "compiler/space/uncovered.hpp"
#include "compiler/tables/boxes.hpp"

namespace lacestay::compiler {
namespace {

// The claims' boxes become rows of one extra table, so that with_fewer_columns renumbers them together with the rest.
Tables with_claims(const Policy& policy) {
  Tables tables = policy.tables;
  Table claims;
  for (const auto& sure : policy.sures) {
    claims.rows.push_back({sure.when, Effect::base, false, 0, 0, 0, 0});
    for (const auto& cell : sure.when) claims.columns.push_back(cell.column);
  }
  tables.tables.push_back(std::move(claims));
  return with_fewer_columns(tables);
}

}  // namespace

Prover::Prover(const Policy& policy, const ProofBudget& budget, ProofMemory* memory)
    : policy_(policy),
      budget_(budget),
      memory_(memory),
      proof_{{}, 0, 0, with_claims(policy)},
      trends_(trends(policy.tables)),
      witnesses_(policy, proof_.tables, budget.parts),
      reach_(proof_.tables) {
  for (const auto& row : proof_.tables.tables.back().rows) sure_boxes_.push_back(row.box);
  proof_.tables.tables.pop_back();
}

Proof Prover::take() {
  std::stable_sort(proof_.findings.begin(), proof_.findings.end(),
                   [](const Finding& a, const Finding& b) { return a.refuses() && !b.refuses(); });
  return std::move(proof_);
}

void Prover::prove_tables() {
  const auto last = proof_.tables.first_caution_table();
  for (now_ = 0; now_ < last; ++now_) memory_ ? prove_or_remember(now_) : prove_table(now_);
}

void Prover::prove_or_remember(TableId id) {
  std::vector<RuleId> rules;
  auto key = proof_key(policy_, proof_.tables, proof_.tables.tables[id], sure_boxes_, rules);
  if (const auto* known = memory_->find(key)) {
    ++memory_->reused;
    ++proof_.tables_proved;  // what refuses a table has players to show, and is not remembered
    for (auto finding : *known) {
      for (auto& rule : finding.rules) rule = rules[rule];
      add(std::move(finding));
    }
    return;
  }
  const auto before = proof_.findings.size();
  prove_table(id);
  ++memory_->proved;
  std::vector<Finding> fresh(proof_.findings.begin() + static_cast<std::ptrdiff_t>(before), proof_.findings.end());
  for (auto& finding : fresh)
    for (auto& rule : finding.rules)
      rule = static_cast<RuleId>(std::find(rules.begin(), rules.end(), rule) - rules.begin());
  memory_->keep(std::move(key), fresh);
}

void Prover::prove_table(TableId id) {
  const auto& table = proof_.tables.tables[id];
  const auto before = proof_.findings.size();
  std::optional<Regions> who(std::in_place, proof_.tables, table, budget_.edges);
  bool unsettled = false;
  // Each pass has a budget of its own. One that runs out refuses the table, and does not keep the others from reporting
  // what they find.
  const auto settle = [&](auto&& pass) {
    try {
      pass(*who);
    } catch (const Diagrams::OverBudget&) {
      if (!std::exchange(unsettled, true)) add_not_settled(table);
      who.emplace(proof_.tables, table, budget_.edges);
    }
  };
  if (table.kind == Table::Kind::property) {
    settle([&](Regions& all) { gaps(all); });
    settle([&](Regions& all) { clashing_bases(all); });
  }
  settle([&](Regions& all) { clashing_limits(all); });
  const bool refused = proof_.findings.size() != before;
  if (!refused) who->no_clashes();
  settle([&](Regions& all) { claims(all, refused); });
  if (!refused && !unsettled) ++proof_.tables_proved;
  remarks(*who, refused || unsettled);
}

void Prover::add_not_settled(const Table& table) {
  Finding finding;
  finding.kind = Finding::Kind::not_settled;
  for (const auto column : table.columns)
    finding.region.push_back({column, {{0, proof_.tables.columns[column].places - 1}}});
  add(std::move(finding));
}

// Remarks are made as far as the budget goes; the verdict does not depend on them.
void Prover::remarks(Regions& who, bool refused) {
  try {
    idle_rows(who, refused);
    if (refused) return;  // what decides nothing is told once every player has one answer
    idle_outranks(who);
    if (who.table().kind == Table::Kind::property) unreached(who);
  } catch (const Diagrams::OverBudget&) {
  }
}

void Prover::add(Finding finding) {
  finding.table = now_;
  auto& shown = shown_[{now_, finding.kind}];
  if (finding.refuses() && shown >= budget_.shown) {
    ++proof_.left_out;
    return;
  }
  ++shown;
  proof_.findings.push_back(std::move(finding));
}

bool Prover::somebody(Regions& who, Set set) {
  bool found = false;
  std::size_t tried = 0;
  who.sets().each_box(set, [&](const Box& box) {
    found = witnesses_.find(box).kind != Search::Kind::none || ++tried > budget_.boxes;
    return !found;
  });
  return found;
}

bool Prover::report(Regions& who, Finding finding, Set set, std::size_t most) {
  if (set == who.sets().nobody()) return false;
  return report(std::move(finding), parts_of(who, set), most);
}

Prover::Parts Prover::parts_of(Regions& who, Set set) const {
  Parts parts;
  who.sets().each_box(set, [&](const Box& box) {
    if (parts.boxes.size() < budget_.boxes)
      parts.boxes.push_back(box);
    else
      ++parts.past;
    return parts.past < budget_.boxes;
  });
  return parts;
}

bool Prover::report(Finding finding, Parts parts, std::size_t most, Parts* rest) {
  auto& [boxes, past] = parts;
  join_boxes(proof_.tables, boxes);
  std::vector<std::pair<double, std::size_t>> order;
  for (std::size_t i = 0; i < boxes.size(); ++i) order.emplace_back(-share_of(proof_.tables, boxes[i]), i);
  std::sort(order.begin(), order.end());
  std::size_t found = 0;
  const Box* unsettled = nullptr;
  for (std::size_t next = 0; next < order.size(); ++next) {
    const auto [share, i] = order[next];
    const auto search = witnesses_.find(boxes[i]);
    if (search.kind == Search::Kind::not_settled) {
      if (!unsettled) unsettled = &boxes[i];
      if (rest) rest->boxes.push_back(boxes[i]);
    }
    if (search.kind != Search::Kind::found) continue;
    ++found;
    if (found > most) {
      if (most > 1) ++proof_.left_out;
      continue;
    }
    auto one = finding;
    one.region = boxes[i];
    one.share = -share;
    one.players = {search.player};
    add(std::move(one));
    if (most > 1) continue;
    if (rest) {
      while (++next < order.size()) rest->boxes.push_back(std::move(boxes[order[next].second]));
      rest->past = past;
    }
    return true;
  }
  if (found > 0) proof_.left_out += past;
  if (found == 0 && (unsettled || past > 0)) {
    finding.kind = Finding::Kind::not_settled;
    finding.region = unsettled ? *unsettled : boxes.back();
    add(std::move(finding));
    return true;
  }
  return found > 0;
}

void Prover::gaps(Regions& who) {
  without_base(who);
  Finding past;
  past.kind = Finding::Kind::past_range;
  report(who, std::move(past), who.past_range(), budget_.shown);
}

void Prover::without_base(Regions& who) {
  Finding finding;
  finding.kind = Finding::Kind::gap;
  if (const auto bases = who.bases_together()) {
    std::vector<Box> missed;
    std::size_t looked_at = 0;
    bool complete = true;
    who.sets().each_box(who.needs_base(), [&](const Box& within) {
      auto found =
          uncovered(proof_.tables, *bases, within, budget_.boxes - missed.size(), budget_.looked_at - looked_at);
      std::move(found.boxes.begin(), found.boxes.end(), std::back_inserter(missed));
      looked_at += found.looked_at;
      return complete = found.complete;
    });
    if (complete && missed.empty()) return who.no_gaps();
    const auto surely_met = [&](const Box& box) { return plainly_somebody(proof_.tables, box); };
    // A search that ran out of budget still reports what it found, if some box certainly has a player; else diagrams
    // are tried.
    if (complete || std::any_of(missed.begin(), missed.end(), surely_met)) {
      report(std::move(finding), {std::move(missed), complete ? 0u : 1u}, budget_.shown);
      return;
    }
  }
  report(who, std::move(finding), who.without_base(), budget_.shown);
}

void Prover::find_unmet_rules() {
  std::set<std::pair<RuleId, std::uint32_t>> met;
  for (const auto& table : policy_.tables.tables)
    for (const auto& row : table.rows) met.insert({row.rule, row.entry});
  now_ = 0;
  for (RuleId rule = 0; rule < policy_.rules.size(); ++rule) {
    const auto& text = policy_.rules[rule];
    for (std::uint32_t entry = 0; entry < text.entries.size(); ++entry) {
      if (met.count({rule, entry}) != 0) continue;
      Finding finding;
      finding.kind = Finding::Kind::never_applies;
      finding.rules = {rule};
      finding.steps = {entry};  // which line of it
      add(std::move(finding));
    }
  }
  // Rows of the other tables are looked at with the answers they decide.
  for (const auto& table : proof_.tables.tables) {
    if (table.kind != Table::Kind::shop_line || table.rows.empty()) continue;
    if (witnesses_.find(table.rows.front().box).kind != Search::Kind::none) continue;
    Finding finding;
    finding.kind = Finding::Kind::never_applies;
    finding.rules = {table.rows.front().rule};
    finding.steps = {0};
    add(std::move(finding));
  }
}

void Prover::find_pieces_not_accepted() {
  const auto& accepts = policy_.shop.accepts;
  if (std::all_of(accepts.begin(), accepts.end(), [](const auto& lines) { return lines.empty(); })) return;
  for (std::size_t piece = 0; piece < accepts.size(); ++piece) {
    if (!accepts[piece].empty()) continue;
    Finding finding;
    finding.kind = Finding::Kind::not_accepted;
    finding.table = static_cast<TableId>(policy_.tables.piece_table(piece));
    proof_.findings.push_back(std::move(finding));
  }
}

bool Prover::somebody_is_left() {
  if (policy_.tables.shut_out.empty() || witnesses_.find(Box{}).kind != Search::Kind::none) return true;
  now_ = 0;
  Finding finding;
  finding.kind = Finding::Kind::nobody_left;
  add(std::move(finding));
  return false;
}

// From the last line to the first: one that others make needless is told of, and does not excuse them in turn.
void Prover::find_lines_that_shut_out_nobody() {
  auto kept = proof_.tables.shut_out;
  std::vector<std::size_t> idle;
  for (auto line = policy_.nobody.size(); line-- > 0;) {
    const auto of_line = [&](const ShutOut& each) { return each.line == line; };
    const auto own = std::find_if(kept.begin(), kept.end(), of_line);
    if (own != kept.end()) {
      auto others = kept;
      std::erase_if(others, of_line);
      Witnesses without(policy_, proof_.tables, budget_.parts, others);
      if (without.find(own->box).kind != Search::Kind::none) continue;
      kept = std::move(others);
    }
    idle.push_back(line);
  }
  now_ = 0;
  for (auto line = idle.rbegin(); line != idle.rend(); ++line) {
    Finding finding;
    finding.kind = Finding::Kind::shuts_out_nobody;
    finding.line = *line;
    add(std::move(finding));
  }
}

void Prover::find_idle_details() {
  std::vector<bool> used(policy_.tables.asked.size());
  for (const auto& each : policy_.tables.shut_out)
    for (const auto& cell : each.box)
      policy_.tables.each_asked_under(cell.column, [&](std::uint16_t detail) { used[detail] = true; });
  for (const auto& table : policy_.tables.tables)
    for (const auto column : table.columns)
      policy_.tables.each_asked_under(column, [&](std::uint16_t detail) { used[detail] = true; });
  // What an item must cover decides what is handed over, if not what is advised.
  for (const auto& lines : policy_.shop.accepts)
    for (const auto& line : lines)
      for (const auto& asked : line.requirements)
        if (asked.kind == Requirement::Kind::covers)
          policy_.tables.each_asked_under(asked.column, [&](std::uint16_t detail) { used[detail] = true; });
  // A detail whose members a chart gives lends them to it, whatever else turns on it.
  for (const auto& given : policy_.worked_out)
    for (std::size_t detail = 0; detail < used.size() && given.scale.has_members(); ++detail)
      used[detail] = used[detail] || policy_.details[detail].scale.members == given.scale.members;
  now_ = 0;
  for (std::uint16_t detail = 0; detail < used.size(); ++detail) {
    if (used[detail]) continue;
    Finding finding;
    finding.kind = Finding::Kind::idle_detail;
    finding.detail = detail;
    add(std::move(finding));
  }
}

namespace {

Proof run(Prover& prover) {
  if (!prover.somebody_is_left()) return prover.take();
  prover.prove_tables();
  prover.find_lines_that_meet();
  prover.settle_idle_outranks();
  prover.find_unmet_rules();
  prover.find_idle_details();
  prover.find_pieces_not_accepted();
  prover.find_lines_that_shut_out_nobody();
  return prover.take();
}

}  // namespace

Proof prove(const Policy& policy, const ProofBudget& budget) {
  Prover prover(policy, budget, nullptr);
  return run(prover);
}

Proof prove(const Policy& policy, ProofMemory& memory, const ProofBudget& budget) {
  memory.begin();
  Prover prover(policy, budget, &memory);
  auto proof = run(prover);
  memory.end();
  return proof;
}

}  // namespace lacestay::compiler
