#include "compiler/compare/editions.hpp"

#include <algorithm>
#include <map>
#include <numeric>

namespace lacestay::compiler {
namespace {

bool comparable(const Scale& a, const Scale& b) {
  return a.has_members() ? b.has_members() : a.kind == b.kind && a.dimension == b.dimension;
}

// The values that both domains hold, or nothing where there is none.
std::optional<AskedDomain> shared_domain(const AskedDomain& a, const AskedDomain& b) {
  AskedDomain shared = a;
  // The least common multiple of both steps; of whole kilograms and whole pounds it may not fit 64 bits.
  const auto grain = Int128{a.grain / std::gcd(a.grain, b.grain)} * b.grain;
  const auto above = std::max(a.lowest, b.lowest), below = std::min(a.highest, b.highest);
  // The first value of both: steps of `a` repeat modulo b's step after grain / a.grain of them, so no more are tried.
  auto first = a.lowest + ceil_divide(std::max<std::int64_t>(above - a.lowest, 0), a.grain) * a.grain;
  for (auto tries = grain / a.grain; tries > 0 && first <= below && (first - b.lowest) % b.grain != 0; --tries)
    first += a.grain;
  if (first > below || (first - b.lowest) % b.grain != 0) return std::nullopt;
  shared.lowest = first;
  shared.highest = first + static_cast<std::int64_t>((below - first) / grain * grain);
  // With one value alone the step does not matter, and the common one may not fit.
  shared.grain = shared.highest > first ? static_cast<std::int64_t>(grain) : a.grain;
  return shared;
}

}  // namespace

Editions::Editions(const Policy& earlier, const Policy& later) : editions_{&earlier, &later} {
  share_details();
  for (const auto side : both_sides) share_worked_out(side);
  share_edges();
  show_edges_as_written();
  note_what_stays();
  share_charts();
}

void Editions::share_details() {
  for (const auto side : both_sides)
    column_[side].resize(edition(side).tables.columns.size()), places_[side].resize(column_[side].size());
  const auto& earlier = edition(Side::earlier).details;
  const auto& later = edition(Side::later).details;
  std::vector<bool> matched(earlier.size());
  for (std::uint16_t i = 0; i < later.size(); ++i) {
    OfSides<std::optional<std::uint16_t>> from{{}, i};
    for (std::uint16_t k = 0; k < earlier.size(); ++k)
      if (earlier[k].name == later[i].name && comparable(earlier[k].scale, later[i].scale))
        from.earlier = k, matched[k] = true;
    add_detail(from);
  }
  for (std::uint16_t k = 0; k < earlier.size(); ++k)
    if (!matched[k]) add_detail({k, {}});
}

void Editions::add_detail(OfSides<std::optional<std::uint16_t>> from) {
  const auto owner = from.later ? Side::later : Side::earlier;
  const auto shared = static_cast<std::uint16_t>(space_.details.size());
  auto text = edition(owner).details[*from[owner]];
  auto domain = edition(owner).tables.asked[*from[owner]];
  for (const auto side : both_sides) own_member_[side].emplace_back(), details_[side].push_back(from[side]);
  const bool both = from.earlier && from.later;
  if (text.scale.has_members()) {
    const auto place_in = [&](Side side, const std::string& name) -> std::optional<std::uint32_t> {
      const auto& members = edition(side).details[*from[side]].scale.members;
      const auto found = std::find(members.begin(), members.end(), name);
      return found == members.end() ? std::nullopt : std::optional(static_cast<std::uint32_t>(found - members.begin()));
    };
    if (both) {
      const auto all = text.scale;
      text.scale.members.clear(), text.scale.shown_as.clear();
      for (std::size_t i = 0; i < all.members.size(); ++i) {
        if (!place_in(Side::earlier, all.members[i])) continue;
        text.scale.members.push_back(all.members[i]);
        text.scale.shown_as.push_back(all.shown_as.empty() ? "" : all.shown_as[i]);
      }
    }
    for (const auto side : both_sides) {
      if (!from[side]) continue;
      auto& places = places_[side][*from[side]];
      places.assign(edition(side).details[*from[side]].scale.members.size(), PlaceRange{1, 0});
      for (std::uint32_t i = 0; i < text.scale.members.size(); ++i) {
        const auto own = *place_in(side, text.scale.members[i]);
        places[own] = {i, i};
        own_member_[side].back().push_back(own);
      }
    }
    apart_ = apart_ || text.scale.members.empty();
    domain.highest = static_cast<std::int64_t>(text.scale.members.size()) - 1;
  } else if (both) {
    const auto narrowed = shared_domain(edition(Side::earlier).tables.asked[*from.earlier], domain);
    apart_ = apart_ || !narrowed;
    if (narrowed) domain = *narrowed;
  }
  for (const auto side : both_sides)
    if (from[side]) column_[side][*from[side]] = shared;
  space_.tables.asked.push_back(domain);
  Column column;
  column.detail = shared;
  if (domain.members) column.places = static_cast<std::uint32_t>(text.scale.members.size());
  space_.tables.columns.push_back(std::move(column));
  space_.details.push_back(std::move(text));
}

// A chart's rows as numbers that do not depend on how an edition numbers its places, so that two charts can be
// compared. Two charts that mean the same may still differ here (rows split otherwise); then each keeps its column,
// which is correct and only makes more boxes.
std::vector<std::int64_t> Editions::meaning_of_chart(Side side, const WorkedOut& detail) const {
  if (!detail.formula.empty()) return {};
  const auto& tables = edition(side).tables;
  std::vector<std::vector<std::int64_t>> rows;
  for (const auto& row : tables.tables[detail.chart].rows) {
    std::vector<std::int64_t> one{row.low};
    for (const auto& cell : row.box) {
      const auto& column = tables.columns[cell.column];
      one.push_back(column_[side][cell.column]);
      for (const auto& range : cell.places) {
        const bool members = tables.has_members(cell.column);
        for (auto member = range.first; members && member <= range.last; ++member)
          one.push_back(places_[side][cell.column][member].first);
        if (members) continue;
        for (const auto cut : {range.first > 0 ? range.first - 1 : column.cuts.size(), std::size_t{range.last}}) {
          one.push_back(cut < column.cuts.size());
          if (cut < column.cuts.size()) one.push_back(column.cuts[cut].at), one.push_back(column.cuts[cut].after);
        }
      }
    }
    rows.push_back(std::move(one));
  }
  std::sort(rows.begin(), rows.end());
  std::vector<std::int64_t> all{detail.plain_number};
  for (const auto& row : rows) {
    all.push_back(static_cast<std::int64_t>(row.size()));
    all.insert(all.end(), row.begin(), row.end());
  }
  return all;
}

// An edition's formula over the shared columns. The divisors of its `shrink` steps were computed for the denominators
// of the edition's own details. A plain number that has fractions there but is whole in the shared space would arrive
// with another denominator; multiplying it by one, as ticks_per_one / ticks_per_one, restores it.
std::vector<FormulaStep> Editions::share_formula(Side side, const std::vector<FormulaStep>& formula) const {
  using Kind = FormulaStep::Kind;
  const auto& own = edition(side).tables;
  const auto denominator = [](const AskedDomain& domain) { return as_fraction(domain, domain.lowest).denominator; };
  const bool shrinks =
      std::any_of(formula.begin(), formula.end(), [](const auto& step) { return step.kind == Kind::shrink; });
  std::vector<FormulaStep> shared;
  for (auto step : formula) {
    const auto detail = step.index;
    if (step.kind == Kind::detail) step.index = column_[side][detail];
    shared.push_back(step);
    if (!shrinks || step.kind != Kind::detail || detail >= own.asked.size()) continue;
    if (denominator(own.asked[detail]) == denominator(space_.tables.asked[step.index])) continue;
    shared.push_back({Kind::constant, 0, ticks_per_one, ticks_per_one});
    shared.push_back({Kind::multiply});
  }
  return shared;
}

void Editions::share_worked_out(Side side) {
  const auto& tables = edition(side).tables;
  const auto asked = space_.tables.asked.size();
  for (std::size_t i = 0; i < tables.worked_out.size(); ++i) {
    auto detail = tables.worked_out[i];
    detail.formula = share_formula(side, detail.formula);
    auto meaning = meaning_of_chart(side, tables.worked_out[i]);
    auto& known = space_.tables.worked_out;
    const auto equal = [&](std::size_t k) {
      return meaning == meanings_[k] && detail.plain_number == known[k].plain_number &&
             detail.formula == known[k].formula &&
             edition(side).worked_out[i].scale.members == space_.worked_out[k].scale.members;
    };
    std::size_t k = 0;
    while (k < known.size() && !equal(k)) ++k;
    column_[side][tables.asked.size() + i] = static_cast<ColumnId>(asked + k);
    if (k < known.size()) continue;
    for (auto& input : detail.inputs) input = column_[side][input];
    std::sort(detail.inputs.begin(), detail.inputs.end());
    auto text = edition(side).worked_out[i];
    for (auto& other : space_.worked_out) {
      if (other.name != text.name) continue;
      other.name += " (before)";
      text.name += " (now)";
      break;
    }
    known.push_back(std::move(detail));
    meanings_.push_back(std::move(meaning));
    charts_of_.emplace_back(side, i);
    space_.worked_out.push_back(std::move(text));
    Column column;
    column.worked_out = true;
    column.detail = static_cast<std::uint16_t>(k);
    space_.tables.columns.push_back(std::move(column));
  }
}

void Editions::share_edges() {
  auto& columns = space_.tables.columns;
  // On a shared domain of coarser steps an edge stands at the next value there is.
  const auto shared_edge = [&](ColumnId id, Cut cut) {
    if (columns[id].worked_out) return cut;
    const auto& domain = space_.tables.asked[columns[id].detail];
    return Cut{domain.lowest + ceil_divide(cut.at - domain.lowest, domain.grain) * domain.grain, false};
  };
  for (const auto side : both_sides) {
    for (std::size_t i = 0; i < column_[side].size(); ++i) {
      const auto shared = column_[side][i];
      for (const auto& cut : edition(side).tables.columns[i].cuts)
        columns[shared].cuts.push_back(shared_edge(shared, cut));
    }
  }
  for (ColumnId id = 0; id < columns.size(); ++id) {
    if (space_.tables.has_members(id)) continue;
    auto& cuts = columns[id].cuts;
    std::sort(cuts.begin(), cuts.end());
    cuts.erase(std::unique(cuts.begin(), cuts.end()), cuts.end());
    if (!columns[id].worked_out) {
      const auto& domain = space_.tables.asked[columns[id].detail];
      std::erase_if(cuts, [&](const Cut& cut) { return cut.at <= domain.lowest || cut.at > domain.highest; });
    }
    columns[id].places = static_cast<std::uint32_t>(cuts.size()) + 1;
  }
  for (const auto side : both_sides) {
    for (std::size_t i = 0; i < column_[side].size(); ++i) {
      const auto shared = column_[side][i];
      if (space_.tables.has_members(shared)) continue;
      const auto& own = edition(side).tables.columns[i].cuts;
      const auto& cuts = columns[shared].cuts;
      // `end`: the first shared place at or past this edge, or the number of places where the edge lies past the
      // domain.
      std::uint32_t begin = 0;
      for (std::size_t place = 0; place <= own.size(); ++place) {
        auto end = static_cast<std::uint32_t>(cuts.size()) + 1;
        if (place < own.size()) {
          const auto cut = shared_edge(shared, own[place]);
          const bool below =
              !columns[shared].worked_out && cut.at <= space_.tables.asked[columns[shared].detail].lowest;
          const auto at = std::lower_bound(cuts.begin(), cuts.end(), cut);
          end = below ? 0 : at == cuts.end() ? end : static_cast<std::uint32_t>(at - cuts.begin()) + 1;
        }
        places_[side][i].push_back(begin < end ? PlaceRange{begin, end - 1} : PlaceRange{1, 0});
        begin = std::max(begin, end);
      }
    }
  }
}

// As the edition shows them that has them; where both have one, as the later does.
void Editions::show_edges_as_written() {
  std::map<std::pair<ColumnId, std::int64_t>, std::vector<ShownUnit>> written;
  for (const auto side : {Side::later, Side::earlier}) {
    const auto& policy = edition(side);
    for (std::size_t i = 0; i < column_[side].size(); ++i) {
      const auto own = static_cast<ColumnId>(i);
      const auto& scale = policy.scale_of(own);
      if (scale.kind != Scale::Kind::amount) continue;
      for (const auto& cut : policy.tables.columns[own].cuts) {
        const auto at = policy.edge_as_meant(own, cut).at;
        written.try_emplace({column_[side][i], at}, scale.units_of_edge(at));
      }
    }
  }
  for (ColumnId column = 0; column < space_.tables.columns.size(); ++column) space_.scale_of(column).edges.clear();
  for (auto& [edge, units] : written)
    if (auto& scale = space_.scale_of(edge.first); units != scale.shown)
      scale.edges.push_back({edge.second, std::move(units)});
}

void Editions::note_what_stays() {
  for (const auto side : both_sides) {
    in_order_[side] = std::is_sorted(column_[side].begin(), column_[side].end());
    for (std::size_t i = 0; i < column_[side].size(); ++i) {
      const auto& places = places_[side][i];
      bool kept = places.size() == columns()[column_[side][i]].places;
      for (std::uint32_t place = 0; kept && place < places.size(); ++place)
        kept = places[place] == PlaceRange{place, place};
      kept_[side].push_back(kept);
    }
  }
}

void Editions::share_charts() {
  auto& tables = space_.tables;
  for (std::size_t k = 0; k < tables.worked_out.size(); ++k) {
    auto& detail = tables.worked_out[k];
    if (!detail.formula.empty()) continue;
    const auto [side, own] = charts_of_[k];
    const auto& from = edition(side).tables;
    const auto& chart = from.tables[from.worked_out[own].chart];
    Table table;
    table.kind = Table::Kind::detail;
    table.target = static_cast<std::uint32_t>(k);
    for (const auto column : chart.columns) table.columns.push_back(column_[side][column]);
    std::sort(table.columns.begin(), table.columns.end());
    for (auto row : chart.rows) {
      Box box;
      for (const auto& cell : row.box) {
        box.emplace_back();
        share(side, cell, box.back());
      }
      if (is_empty(box)) continue;
      std::sort(box.begin(), box.end(), [](const Cell& a, const Cell& b) { return a.column < b.column; });
      row.box = std::move(box);
      table.rows.push_back(std::move(row));
    }
    detail.chart = static_cast<TableId>(tables.tables.size());
    tables.tables.push_back(std::move(table));
  }
}

void Editions::share(Side side, const Cell& cell, Cell& out) const {
  out.column = column_[side][cell.column];
  out.places.clear();
  const auto& places = places_[side][cell.column];
  if (!space_.tables.has_members(out.column)) {
    for (auto range : cell.places) {
      while (range.first < range.last && places[range.first].last < places[range.first].first) ++range.first;
      while (range.last > range.first && places[range.last].last < places[range.last].first) --range.last;
      if (places[range.first].first <= places[range.first].last)
        append(out.places, {places[range.first].first, places[range.last].last});
    }
    return;
  }
  // Editions may list members in another order.
  Places members;
  for (const auto& range : cell.places)
    for (auto member = range.first; member <= range.last; ++member)
      if (places[member].first <= places[member].last) members.push_back(places[member]);
  std::sort(members.begin(), members.end());
  for (const auto& member : members) append(out.places, member);
}

bool Editions::add_shared(Side side, const Box& box, std::vector<std::uint32_t>& out) const {
  const auto add = [&](ColumnId column, const Places& places) {
    if (places.empty()) return false;
    if (places.size() == 1 && places.front() == PlaceRange{0, columns()[column].places - 1}) return true;
    out.push_back(column);
    out.push_back(static_cast<std::uint32_t>(places.size()));
    for (const auto& range : places) out.push_back(range.first), out.push_back(range.last);
    return true;
  };
  bool met = true;
  if (in_order_[side]) {
    Cell shared;
    for (const auto& cell : box) {
      if (kept_[side][cell.column]) {
        met = add(column_[side][cell.column], cell.places) && met;
        continue;
      }
      share(side, cell, shared);
      met = add(shared.column, shared.places) && met;
    }
    return met;
  }
  Box cells(box.size());
  for (std::size_t i = 0; i < box.size(); ++i) share(side, box[i], cells[i]);
  std::sort(cells.begin(), cells.end(), [](const Cell& a, const Cell& b) { return a.column < b.column; });
  for (const auto& cell : cells) met = add(cell.column, cell.places) && met;
  return met;
}

Readings Editions::readings_in(Side side, const Readings& shared) const {
  Readings own(edition(side).details.size());
  for (std::size_t i = 0; i < shared.size(); ++i) {
    const auto& detail = details_[side][i];
    if (!detail) continue;
    own[*detail] =
        space_.tables.asked[i].members ? own_member_[side][i][static_cast<std::size_t>(shared[i])] : shared[i];
  }
  return own;
}

}  // namespace lacestay::compiler
