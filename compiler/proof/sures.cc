// `make sure`: proved over the whole space, or refuted with one player, or two where something falls or rises.
#include <algorithm>
#include <optional>

#include "compiler/proof/prover.hpp"
#include "compiler/tables/boxes.hpp"

namespace lacestay::compiler {

void Prover::claims(Regions& who, bool refused) {
  for (std::size_t i = 0; i < policy_.sures.size(); ++i) {
    const auto& sure = policy_.sures[i];
    const auto& table = who.table();
    if (sure.target != table.target || sure.of_piece() != (table.kind == Table::Kind::piece)) continue;
    if (sure.of_piece()) {
      presence_claim(who, i);
      continue;
    }
    if (refused) continue;  // with gaps and clashes there is no one answer to make sure of
    const auto when = who.sets().both(who.sets().box(sure_boxes_[i]), who.answered());
    if (sure.moves())
      moving_claim(who, i, when);
    else if (!bound_claim(who, i, when) && sure.of_items())
      shelf_claim(who, i, when);
  }
}

void Prover::presence_claim(Regions& who, std::size_t index) {
  const auto& sure = policy_.sures[index];
  auto& sets = who.sets();
  auto wrong = sets.box(sure_boxes_[index]);
  if (sure.kind == Sure::Kind::left_out) {
    wrong = sets.both(wrong, who.present());
  } else {
    wrong = sets.without(wrong, who.needed());
  }
  Finding finding;
  finding.kind = Finding::Kind::sure_broken;
  finding.sure = index;
  report(who, std::move(finding), wrong);
}

bool Prover::bound_claim(Regions& who, std::size_t index, Set when) {
  const auto& sure = policy_.sures[index];
  auto& sets = who.sets();
  auto wrong = sets.nobody();
  if (sure.kind == Sure::Kind::one_of) {
    for (std::int64_t member = 0; member < std::int64_t{proof_.tables.answers[sure.target].steps}; ++member)
      if (!sure.allows(member)) wrong = sets.either(wrong, sets.both(when, who.gets(member)));
  } else {
    if (sure.kind != Sure::Kind::at_most) wrong = sets.either(wrong, sets.without(when, who.at_least(sure.low, false)));
    if (sure.kind != Sure::Kind::at_least)
      wrong = sets.either(wrong, sets.both(when, who.at_least(sure.high + 1, true)));
  }
  Finding finding;
  finding.kind = Finding::Kind::sure_broken;
  finding.sure = index;
  return report(who, std::move(finding), wrong);
}

// As the detail rises: its own column upwards, and with it every column that is worked out from it.
Prover::Set Prover::closure_along(Regions& who, Set set, std::uint16_t detail, Diagrams::Towards where) {
  using Towards = Diagrams::Towards;
  const auto opposite = where == Towards::up ? Towards::down : where == Towards::down ? Towards::up : Towards::anywhere;
  auto closed = who.sets().closure(set, detail, where);
  const auto asked = proof_.tables.asked.size();
  for (std::size_t i = 0; i < trends_.size(); ++i) {
    const auto column = static_cast<ColumnId>(asked + i);
    const auto trend = trends_[i][detail];
    if (trend == Trend::level) continue;
    closed = who.sets().closure(closed, column,
                                trend == Trend::rising    ? where
                                : trend == Trend::falling ? opposite
                                                          : Towards::anywhere);
  }
  return closed;
}

void Prover::moving_claim(Regions& who, std::size_t index, Set when) {
  const auto& sure = policy_.sures[index];
  auto& sets = who.sets();
  const bool band = proof_.tables.answers[who.table().target].band;
  const bool falls = sure.kind == Sure::Kind::never_falls;
  const auto free = free_in(who, index);
  std::optional<Finding> unsettled;
  for (const bool upper_end : {false, true}) {
    if (upper_end && !band) continue;
    for (const auto step : who.turns()) {
      const auto high = sets.both(when, who.at_least(step, upper_end));
      const auto low = sets.without(when, high);
      // Compared with all lower values of the detail, not only the neighbouring place: `earlier` is spread upwards.
      const auto earlier = falls ? high : low, later = falls ? low : high;
      auto could_be = closure_along(who, earlier, sure.detail, Diagrams::Towards::up);
      for (const auto detail : free) could_be = closure_along(who, could_be, detail, Diagrams::Towards::anywhere);
      const auto wrong = sets.both(could_be, later);
      if (wrong != sets.nobody() && report_pair(who, index, earlier, wrong, free, unsettled)) return;
    }
  }
  if (unsettled) return add(std::move(*unsettled));
  if (!no_pair_left(who, when, index, free)) return;
  Finding finding;
  finding.kind = Finding::Kind::no_pair;
  finding.sure = index;
  add(std::move(finding));
}

std::vector<std::uint16_t> Prover::free_in(const Regions& who, std::size_t index) const {
  const auto& tables = proof_.tables;
  const auto& sure = policy_.sures[index];
  auto held = tables.asked_under(who.table());
  if (const auto piece = tables.piece_of[who.table().target]; tables.presence[piece] != Presence::always) {
    const auto has_it = tables.asked_under(tables.tables[tables.piece_table(piece)]);
    for (std::size_t i = 0; i < held.size(); ++i) held[i] = held[i] || has_it[i];
  }
  auto matters = tables.asked_under(sure_boxes_[index]);
  for (const auto& each : tables.shut_out) {
    const auto under = tables.asked_under(each.box);
    for (std::size_t i = 0; i < matters.size(); ++i) matters[i] = matters[i] || under[i];
  }
  std::vector<std::uint16_t> free;
  for (std::uint16_t i = 0; i < matters.size(); ++i)
    if (matters[i] && !held[i] && i != sure.detail) free.push_back(i);
  return free;
}

bool Prover::no_pair_left(Regions& who, Set when, std::size_t index, const std::vector<std::uint16_t>& free) {
  if (proof_.tables.shut_out.empty()) return false;
  // True where it is certain that there are no two.
  const auto none = [&](Witnesses& witnesses) {
    bool certain = true;
    std::size_t tried = 0;
    who.sets().each_box(when, [&](const Box& after) {
      who.sets().each_box(when, [&](const Box& before) {
        const auto search = witnesses.find_pair(before, after, policy_.sures[index].detail, free);
        certain = search.kind == Search::Kind::none && ++tried < budget_.boxes;
        return certain;
      });
      return certain;
    });
    return certain;
  };
  if (!none(witnesses_)) return false;
  Witnesses unreduced(policy_, proof_.tables, budget_.parts, {});
  return !none(unreduced);
}

// For each of the later players an earlier one is sought among lower values of the detail. True once a pair is told;
// `unsettled` is set where there may be one.
bool Prover::report_pair(Regions& who, std::size_t index, Set earlier, Set later,
                         const std::vector<std::uint16_t>& free, std::optional<Finding>& unsettled) {
  const auto detail = policy_.sures[index].detail;
  const auto grain = proof_.tables.asked[detail].grain;
  Finding finding;
  finding.sure = index;
  std::size_t tried = 0;
  const auto leave = [&](const Box& box) {
    if (unsettled) return;
    unsettled = finding;
    unsettled->kind = Finding::Kind::not_settled;
    unsettled->region = box;
  };
  const auto pair = [&](const Box& box, Readings before, Readings after) {
    finding.kind = Finding::Kind::sure_broken;
    finding.region = box;
    finding.share = share_of(proof_.tables, box);
    finding.players = {std::move(before), std::move(after)};
  };
  // Most often a later player's own lower values will do.
  bool all_alone = true;
  who.sets().each_box(later, [&](const Box& box) {
    if (++tried > budget_.boxes) return all_alone = false;
    const auto search = witnesses_.find(box);
    if (search.kind == Search::Kind::none) return true;
    all_alone = false;
    if (search.kind == Search::Kind::not_settled) return true;
    for (std::uint32_t place = 0; place < proof_.tables.columns[detail].places; ++place) {
      auto values = values_in(proof_.tables, detail, {place, place});
      values.high = std::min(values.high, search.player[detail] - grain);
      if (values.low > values.high) break;
      auto player = search.player;
      for (const auto value : {witnesses_.round_value(detail, values), values.low, values.high}) {
        player[detail] = value;
        const auto places = reach_.at(player);
        auto at = earlier;
        while (!who.sets().is_terminal(at)) at = who.sets().next(at, places[who.sets().column(at)].first);
        if (at == who.sets().everybody() && !witnesses_.who_shuts_out(player))
          return pair(box, player, search.player), false;
      }
    }
    return true;
  });
  // Else the two are sought together, box by box. Only worked-out details lead here.
  tried = 0;
  if (finding.players.empty() && !all_alone)
    who.sets().each_box(later, [&](const Box& after) {
      who.sets().each_box(earlier, [&](const Box& before) {
        if (++tried > budget_.boxes) return leave(after), false;
        auto search = witnesses_.find_pair(before, after, detail, free);
        if (search.kind == Search::Kind::not_settled) leave(after);
        if (search.kind == Search::Kind::found) pair(after, std::move(search.earlier), std::move(search.player));
        return finding.players.empty();
      });
      return finding.players.empty() && tried <= budget_.boxes;
    });
  if (finding.players.empty()) return false;
  add(std::move(finding));
  return true;
}

}  // namespace lacestay::compiler
