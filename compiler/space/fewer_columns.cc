#include "compiler/space/fewer_columns.hpp"

#include <algorithm>
#include <optional>
#include <set>

#include "compiler/space/reach.hpp"
#include "compiler/space/trend.hpp"

namespace lacestay::compiler {
namespace {

// An edge of a worked-out detail as values of the asked one it rests on: reached from `at` on (rising), or below
// `at` (falling). `at` may lie past the domain's ends.
using Preimage = std::int64_t;

class ColumnElimination {
 public:
  explicit ColumnElimination(const Tables& tables)
      : from_(tables), to_(tables), trends_(trends(tables)), uses_(uses()), values_(tables.columns.size()) {}

  Tables run() {
    share_columns();
    const auto asked = from_.asked.size();
    for (std::size_t column = asked; column < to_.columns.size(); ++column) move_cuts(static_cast<ColumnId>(column));
    for (std::size_t i = 0; i < from_.worked_out.size(); ++i) {
      std::optional<std::uint16_t> input;
      const auto& detail = from_.worked_out[i];
      const bool one = detail.inputs.size() == 1 && !to_.columns[asked + i].cuts.empty();
      if (one) {
        const auto trend = trends_[i][detail.inputs.front()];
        if (trend == Trend::rising || trend == Trend::falling) input = detail.inputs.front();
      }
      input_of_.push_back(input);
      preimages_.emplace_back();
      if (input) find_preimages(i, *input);
    }
    for (std::size_t column = 0; column < asked; ++column) {
      auto& cuts = to_.columns[column].cuts;
      std::sort(cuts.begin(), cuts.end());
      cuts.erase(std::unique(cuts.begin(), cuts.end()), cuts.end());
      if (!to_.asked[column].members) to_.columns[column].places = static_cast<std::uint32_t>(cuts.size()) + 1;
    }
    for (auto& table : to_.tables) translate(table);
    for (auto& each : to_.shut_out) each.box = translated(each.box);
    return std::move(to_);
  }

 private:
  // Details with one formula: their edges are gathered in the first one's column.
  void share_columns() {
    const auto asked = from_.asked.size();
    shares_.resize(from_.columns.size());
    for (std::size_t i = 0; i < shares_.size(); ++i) shares_[i] = static_cast<ColumnId>(i);
    for (std::size_t i = 0; i < from_.worked_out.size(); ++i) {
      const auto& formula = from_.worked_out[i].formula;
      for (std::size_t k = 0; k < i && !formula.empty(); ++k) {
        if (formula != from_.worked_out[k].formula) continue;
        shares_[asked + i] = shares_[asked + k];
        break;
      }
      const auto owner = shares_[asked + i];
      if (owner == asked + i) continue;
      auto& cuts = to_.columns[owner].cuts;
      cuts.insert(cuts.end(), from_.columns[asked + i].cuts.begin(), from_.columns[asked + i].cuts.end());
      std::sort(cuts.begin(), cuts.end());
      cuts.erase(std::unique(cuts.begin(), cuts.end()), cuts.end());
      to_.columns[owner].places = static_cast<std::uint32_t>(cuts.size()) + 1;
      to_.columns[asked + i].cuts.clear();
      to_.columns[asked + i].places = 1;
    }
  }

  // A rounding or a chart gives only some values. All edges between two neighbouring ones are made one edge, so that no
  // place is left without a value: branch and prune over several details could not tell that such a place is empty,
  // since the bounds of every part that crosses it contain it.
  void move_cuts(ColumnId column) {
    auto& cuts = to_.columns[column].cuts;
    for (auto& cut : cuts) cut = moved(column, cut);
    std::sort(cuts.begin(), cuts.end());
    cuts.erase(std::unique(cuts.begin(), cuts.end()), cuts.end());
    to_.columns[column].places = static_cast<std::uint32_t>(cuts.size()) + 1;
  }

  // The edge at the first value past it; as it was where values don't come in steps.
  [[nodiscard]] Cut moved(ColumnId column, const Cut& cut) const {
    const auto& known = from_.columns[column];
    if (!known.worked_out) return cut;
    const auto& detail = from_.worked_out[known.detail];
    if (detail.formula.empty()) {
      std::optional<std::int64_t> next;
      for (const auto& row : from_.tables[detail.chart].rows)
        if ((cut.after ? row.low > cut.at : row.low >= cut.at) && (!next || row.low < *next)) next = row.low;
      return next ? Cut{*next, false} : cut;
    }
    if (!detail.rounded()) return cut;
    const auto& rounding = detail.formula.back();
    const Int128 step = rounding.numerator * (detail.plain_number ? ticks_per_one : 1);
    if (step % rounding.denominator != 0) return cut;
    const Int128 ticks = step / rounding.denominator;
    const Int128 at =
        (cut.after ? floor_divide(Int128{cut.at}, ticks) + 1 : ceil_divide(Int128{cut.at}, ticks)) * ticks;
    const auto small = static_cast<std::int64_t>(at);
    return small == at ? Cut{small, false} : cut;
  }

  // Whether a worked-out value lies at or past an edge of its column.
  [[nodiscard]] bool reached(const Fraction& value, std::size_t detail, const Cut& cut) const {
    const Int128 ticks = value.numerator * (from_.worked_out[detail].plain_number ? ticks_per_one : 1);
    const Int128 edge = Int128{cut.at} * value.denominator;
    return cut.after ? ticks > edge : ticks >= edge;
  }

  // A worked-out detail that rests on one asked detail alone, at one value of it: what it uses is worked out once each,
  // in order.
  Fraction value_at(std::size_t detail, std::uint16_t input, std::int64_t at) {
    const auto asked = from_.asked.size();
    const auto known = as_fraction(from_.asked[input], at);
    values_[input] = {known.numerator, known.denominator};
    for (const auto used : uses_[detail]) {
      const auto& form = from_.worked_out[used];
      values_[asked + used] = form.formula.empty()
                                  ? Fraction{of_chart(form, input, at), form.plain_number ? ticks_per_one : 1}
                                  : compiler::run(form.formula, values_);
    }
    return values_[asked + detail];
  }

  // By worked-out detail: it and those its formula uses, each after those it rests on.
  [[nodiscard]] std::vector<std::vector<std::size_t>> uses() const {
    std::vector<std::vector<std::size_t>> all;
    const auto asked = from_.asked.size();
    for (std::size_t i = 0; i < from_.worked_out.size(); ++i) {
      std::set<std::size_t> used{i};
      for (const auto& step : from_.worked_out[i].formula)
        if (step.kind == FormulaStep::Kind::detail && step.index >= asked)
          used.insert(all[step.index - asked].begin(), all[step.index - asked].end());
      all.emplace_back(used.begin(), used.end());
    }
    return all;
  }

  std::int64_t of_chart(const WorkedOut& form, std::uint16_t input, std::int64_t at) {
    const auto place = [&](ColumnId column) {
      const auto& known = from_.columns[column];
      if (!known.worked_out) return place_of(from_, input, at);
      const auto value = value_at(known.detail, input, at);
      const auto is_reached = [&](const Cut& cut) { return reached(value, known.detail, cut); };
      return static_cast<std::uint32_t>(std::partition_point(known.cuts.begin(), known.cuts.end(), is_reached) -
                                        known.cuts.begin());
    };
    for (const auto& row : from_.tables[form.chart].rows) {
      const bool applies = std::all_of(row.box.begin(), row.box.end(), [&](const Cell& cell) {
        const auto held = place(cell.column);
        return contains(cell.places, held);
      });
      if (applies) return row.low;
    }
    return 0;  // a chart of a detail answers every player
  }

  void find_preimages(std::size_t detail, std::uint16_t input) {
    const auto column = from_.asked.size() + detail;
    const auto& domain = from_.asked[input];
    const bool rising = trends_[detail][input] == Trend::rising;
    const auto past = [&](std::int64_t step, const Cut& cut) {
      return reached(value_at(detail, input, domain.lowest + step * domain.grain), detail, cut);
    };
    const auto steps = (domain.highest - domain.lowest) / domain.grain;
    std::vector<Cut> found;
    for (const auto& cut : to_.columns[column].cuts) {
      std::int64_t low = 0,
                   high = steps + 1;  // the first step whose being past the edge differs from the lowest's side
      while (low < high) {
        const auto middle = low + (high - low) / 2;
        if (past(middle, cut) == rising)
          high = middle;
        else
          low = middle + 1;
      }
      const auto at = domain.lowest + low * domain.grain;
      preimages_[detail].push_back(at);
      if (low > 0 && low <= steps) found.push_back({at, false});
    }
    auto& cuts = to_.columns[input].cuts;
    if (!domain.members) cuts.insert(cuts.end(), found.begin(), found.end());
  }

  // Values [from, to) of an asked detail as places of its new column.
  [[nodiscard]] std::optional<PlaceRange> as_places(std::uint16_t input, std::int64_t from, std::int64_t to) const {
    const auto& domain = to_.asked[input];
    from = std::max(from, domain.lowest);
    to = std::min(to, domain.highest + domain.grain);
    if (from >= to) return std::nullopt;
    return PlaceRange{place_of(to_, input, from), place_of(to_, input, to - domain.grain)};
  }

  [[nodiscard]] std::vector<PlaceRange> from_preimages(std::size_t detail,
                                                       const std::vector<PlaceRange>& places) const {
    const auto input = *input_of_[detail];
    const auto& domain = to_.asked[input];
    const bool rising = trends_[detail][input] == Trend::rising;
    const auto& at = preimages_[detail];
    std::vector<PlaceRange> out;
    for (const auto& range : places) {
      auto from = domain.lowest, to = domain.highest + domain.grain;
      if (range.first > 0) (rising ? from : to) = at[range.first - 1];
      if (range.last < at.size()) (rising ? to : from) = at[range.last];
      if (const auto held = as_places(input, from, to)) out.push_back(*held);
    }
    std::sort(out.begin(), out.end());
    return out;
  }

  // The places of a cell whose column's edges were moved, and gathered with others'. None may be left.
  [[nodiscard]] std::vector<PlaceRange> renumbered(ColumnId old_column, ColumnId new_column,
                                                   const std::vector<PlaceRange>& places) const {
    const auto& old_cuts = from_.columns[old_column].cuts;
    const auto& new_cuts = to_.columns[new_column].cuts;
    if (old_cuts == new_cuts) return places;
    const auto index = [&](std::uint32_t cut) {
      const auto found = std::lower_bound(new_cuts.begin(), new_cuts.end(), moved(old_column, old_cuts[cut]));
      return static_cast<std::uint32_t>(found - new_cuts.begin());
    };
    std::vector<PlaceRange> out;
    for (const auto& range : places) {
      const auto first = range.first == 0 ? 0 : index(range.first - 1) + 1;
      const auto last = range.last >= old_cuts.size() ? static_cast<std::uint32_t>(new_cuts.size()) : index(range.last);
      if (first > last) continue;
      append(out, {first, last});
    }
    return out;
  }

  // Whether cells on the column stay as they are.
  [[nodiscard]] bool kept(ColumnId column) const {
    const auto asked = from_.asked.size();
    return shares_[column] == column && (column < asked || !input_of_[column - asked]) &&
           from_.columns[column].cuts.size() == to_.columns[column].cuts.size();
  }

  void translate(Table& table) const {
    if (std::all_of(table.columns.begin(), table.columns.end(), [&](ColumnId column) { return kept(column); })) return;
    std::set<ColumnId> columns;
    for (auto& row : table.rows) {
      row.box = translated(row.box);
      for (const auto& cell : row.box) columns.insert(cell.column);
    }
    table.columns.assign(columns.begin(), columns.end());
  }

  [[nodiscard]] Box translated(const Box& from) const {
    const auto asked = from_.asked.size();
    Box box;
    for (const auto& cell : from) {
      auto column = shares_[cell.column];
      auto places = renumbered(cell.column, column, cell.places);
      if (column >= asked && input_of_[column - asked]) {
        places = from_preimages(column - asked, places);
        column = *input_of_[column - asked];
      }
      const auto known = std::find_if(box.begin(), box.end(), [&](const Cell& held) { return held.column == column; });
      if (known == box.end())
        box.push_back({column, std::move(places)});
      else
        known->places = shared_places(known->places, places);
    }
    std::sort(box.begin(), box.end(), [](const Cell& a, const Cell& b) { return a.column < b.column; });
    return box;
  }

  const Tables& from_;
  Tables to_;
  std::vector<std::vector<Trend>> trends_;
  std::vector<std::vector<std::size_t>> uses_;
  std::vector<ColumnId> shares_;                        // by column
  std::vector<std::optional<std::uint16_t>> input_of_;  // by worked-out detail: the asked one whose edges it became
  std::vector<Fraction> values_;                        // by column, for running one formula
  std::vector<std::vector<Preimage>> preimages_;        // by worked-out detail, by edge
};

}  // namespace

Tables with_fewer_columns(const Tables& tables) { return ColumnElimination(tables).run(); }

}  // namespace lacestay::compiler
