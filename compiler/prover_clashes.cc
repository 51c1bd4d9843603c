// Clashes: who is in two guards at once, less who one of them yields to.
#include <algorithm>
#include <set>

#include "compiler/prover.hpp"

namespace lacestay::compiler {

void Prover::pair_of_rows(Regions& who, std::uint32_t first, std::uint32_t second, Set within, Finding::Kind kind) {
  const auto& rows = who.table().rows;
  if (rows[first].rule == rows[second].rule || who.related(rows[first].rule, rows[second].rule)) return;
  const auto box = shared_box(rows[first].box, rows[second].box);
  if (is_empty(box)) return;
  auto& sets = who.sets();
  auto both = sets.both(sets.box(box), within);
  both = sets.without(both, who.outrankers_of(rows[first].rule));
  both = sets.without(both, who.outrankers_of(rows[second].rule));
  Finding finding;
  finding.kind = kind;
  finding.rules = {rows[first].rule, rows[second].rule};
  finding.rows = {first, second};
  report(who, std::move(finding), both);
}

void Prover::clashing_bases(Regions& who) {
  const auto& rows = who.table().rows;
  const auto& columns = who.table().columns;
  std::vector<std::uint32_t> bases;
  for (std::uint32_t i = 0; i < rows.size(); ++i)
    if (rows[i].effect == Effect::base && !is_empty(rows[i].box)) bases.push_back(i);
  const bool one_rule =
      std::all_of(bases.begin(), bases.end(), [&](auto row) { return rows[row].rule == rows[bases.front()].rule; });
  if (one_rule) return;  // the rows of one chart, and the steps of one size, never meet
  // The span of each row in each column, and the column in which they overlap least.
  const auto width = columns.size();
  std::vector<PlaceRange> spans(bases.size() * width);
  std::vector<double> overlap(width, 0);
  for (std::size_t c = 0; c < width; ++c) {
    const auto places = proof_.tables.columns[columns[c]].places;
    for (std::size_t i = 0; i < bases.size(); ++i) {
      PlaceRange span{0, places - 1};
      for (const auto& cell : rows[bases[i]].box)
        if (cell.column == columns[c]) span = {cell.places.front().first, cell.places.back().last};
      spans[i * width + c] = span;
      overlap[c] += static_cast<double>(span.last - span.first + 1) / places;
    }
  }
  const auto best = static_cast<std::size_t>(std::min_element(overlap.begin(), overlap.end()) - overlap.begin());
  std::vector<std::size_t> order(bases.size());
  for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
  const auto first_of = [&](std::size_t i) { return width == 0 ? 0 : spans[i * width + best].first; };
  std::stable_sort(order.begin(), order.end(), [&](auto a, auto b) { return first_of(a) < first_of(b); });
  const auto meet = [&](std::size_t a, std::size_t b) {
    for (std::size_t c = 0; c < width; ++c) {
      const auto &x = spans[a * width + c], &y = spans[b * width + c];
      if (x.first > y.last || y.first > x.last) return false;
    }
    return true;
  };
  std::vector<std::pair<std::uint32_t, std::uint32_t>> pairs;
  for (std::size_t i = 0; i < order.size(); ++i) {
    for (std::size_t k = i + 1; k < order.size(); ++k) {
      if (width > 0 && first_of(order[k]) > spans[order[i] * width + best].last) break;
      if (!meet(order[i], order[k])) continue;
      const auto a = std::min(bases[order[i]], bases[order[k]]), b = std::max(bases[order[i]], bases[order[k]]);
      if (rows[a].rule != rows[b].rule && !who.related(rows[a].rule, rows[b].rule)) pairs.emplace_back(a, b);
    }
  }
  std::sort(pairs.begin(), pairs.end());
  // Largest first; of two rules one finding, for their largest common box.
  std::vector<std::pair<double, std::pair<std::uint32_t, std::uint32_t>>> ranked;
  for (const auto& pair : pairs) {
    const auto box = shared_box(rows[pair.first].box, rows[pair.second].box);
    if (!is_empty(box)) ranked.emplace_back(-share_of(box), pair);
  }
  std::stable_sort(ranked.begin(), ranked.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
  std::set<std::pair<RuleId, RuleId>> told;
  for (const auto& [share, pair] : ranked) {
    const std::pair rules{rows[pair.first].rule, rows[pair.second].rule};
    if (told.count(rules) != 0) continue;
    const auto before = proof_.findings.size() + proof_.left_out;
    // Past the findings that are shown, pairs are counted where it is plain that they meet.
    const bool enough = shown_[{now_, Finding::Kind::two_answers}] >= budget_.shown;
    const bool plain =
        enough && !who.yields(rules.first) && !who.yields(rules.second) && who.owed() == who.sets().everybody();
    if (plain && std::none_of(columns.begin(), columns.end(),
                              [&](auto column) { return proof_.tables.columns[column].worked_out; }))
      ++proof_.left_out;
    else
      pair_of_rows(who, pair.first, pair.second, who.owed(), Finding::Kind::two_answers);
    if (proof_.findings.size() + proof_.left_out != before) told.insert(rules);
  }
}

void Prover::clashing_limits(Regions& who) {
  const auto& rows = who.table().rows;
  const bool band = proof_.tables.answers[who.table().target].band;
  for (std::uint32_t i = 0; i < rows.size(); ++i) {
    for (std::uint32_t k = 0; k < rows.size(); ++k) {
      const auto &a = rows[i], &b = rows[k];
      const bool floor_over_cap = a.effect == Effect::floor && b.effect == Effect::cap && a.low > b.low;
      if (floor_over_cap) pair_of_rows(who, i, k, who.owed(), Finding::Kind::floor_over_cap);
      // Of bands, any two that share no step empty what they narrow; and where all pairs share one, all share one.
      const bool apart = band && (a.high < b.low || b.high < a.low);
      const bool narrows =
          b.effect == Effect::keep && (a.effect == Effect::base || (a.effect == Effect::keep && i < k));
      if (apart && narrows) pair_of_rows(who, i, k, who.answered(), Finding::Kind::band_emptied);
    }
  }
}

}  // namespace lacestay::compiler
