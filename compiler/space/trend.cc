#include "compiler/space/trend.hpp"

#include <algorithm>

namespace lacestay::compiler {
namespace {

using Kind = FormulaStep::Kind;

struct Moving {
  Interval bounds;
  Trend trend = Trend::level;
  bool bounded = true;
};

Trend turned(Trend trend) {
  return trend == Trend::rising ? Trend::falling : trend == Trend::falling ? Trend::rising : trend;
}

Trend together(Trend a, Trend b) {
  if (a == Trend::level) return b;
  if (b == Trend::level || a == b) return a;
  return Trend::unknown;
}

// The trend of a multiplied by something of b's sign.
Trend scaled(Trend trend, const Moving& by) {
  if (trend == Trend::level) return trend;
  if (!by.bounded) return Trend::unknown;
  if (by.bounds.lowest.numerator >= 0) return trend;
  return by.bounds.highest.numerator <= 0 ? turned(trend) : Trend::unknown;
}

Moving combined(const FormulaStep& step, const Moving& a, const Moving& b) {
  Moving made;
  switch (step.kind) {
    case Kind::add:
    case Kind::larger:
    case Kind::smaller: made.trend = together(a.trend, b.trend); break;
    case Kind::subtract: made.trend = together(a.trend, turned(b.trend)); break;
    case Kind::multiply: made.trend = together(scaled(a.trend, b), scaled(b.trend, a)); break;
    // a / b: as a moves, scaled by 1/b's sign; as b moves, the other way, scaled by a's sign. b never changes sign.
    case Kind::divide: made.trend = together(scaled(a.trend, b), turned(scaled(b.trend, a))); break;
    case Kind::whole_years: made.trend = together(turned(a.trend), b.trend); break;
    default: made.trend = a.trend;  // rounding
  }
  const auto bounds = a.bounded && b.bounded ? bound(step, a.bounds, b.bounds) : std::nullopt;
  made.bounded = bounds.has_value();
  if (bounds) made.bounds = *bounds;
  return made;
}

// Every two rows of a larger chart are not compared: its work would grow with the square.
constexpr std::size_t most_rows = 1'000;

// Whether some player's other details lie in both rows, whatever he has of the column.
bool meet_beside(const Row& a, const Row& b, ColumnId column) {
  return std::all_of(a.box.begin(), a.box.end(), [&](const Cell& cell) {
    if (cell.column == column) return true;
    const auto* other = places_in(b.box, cell.column);
    return !other || first_shared(cell.places, *other).has_value();
  });
}

// How a chart's value moves along one of its columns, its others held.
Trend of_chart(const Table& chart, ColumnId column) {
  if (chart.rows.size() > most_rows) return Trend::unknown;
  auto trend = Trend::level;
  for (const auto& below : chart.rows) {
    const auto* low = places_in(below.box, column);
    if (!low) continue;  // it holds all along
    for (const auto& above : chart.rows) {
      const auto* high = places_in(above.box, column);
      if (!high || below.low == above.low) continue;
      // Some place of the one lies below some place of the other.
      if (low->front().first < high->back().last && meet_beside(below, above, column))
        trend = together(trend, below.low < above.low ? Trend::rising : Trend::falling);
    }
  }
  return trend;
}

// How it moves as asked details rise, by asked detail: along each of its columns that moves then.
std::vector<Trend> of_chart(const Table& chart, std::size_t asked, const std::vector<std::vector<Trend>>& worked_out) {
  std::vector<Trend> all(asked, Trend::level);
  for (const auto column : chart.columns) {
    const auto trend = of_chart(chart, column);
    for (std::size_t input = 0; input < asked; ++input) {
      const auto moves = column >= asked   ? worked_out[column - asked][input]
                         : column == input ? Trend::rising
                                           : Trend::level;
      if (moves == Trend::level || trend == Trend::level) continue;
      all[input] = together(all[input], moves == Trend::unknown   ? Trend::unknown
                                        : moves == Trend::falling ? turned(trend)
                                                                  : trend);
    }
  }
  return all;
}

}  // namespace

std::vector<std::vector<Trend>> trends(const Tables& tables) {
  const auto asked = tables.asked.size();
  std::vector<std::vector<Trend>> all;
  for (const auto& detail : tables.worked_out) {
    if (detail.formula.empty()) {
      all.push_back(of_chart(tables.tables[detail.chart], asked, all));
      continue;
    }
    std::vector<Trend> of_detail(asked, Trend::level);
    for (const auto input : detail.inputs) {
      std::vector<Moving> stack;
      for (const auto& step : detail.formula) {
        if (step.kind == Kind::shrink) continue;  // the same value
        if (step.kind == Kind::constant) {
          const Rational value{step.numerator, step.denominator};
          stack.push_back({{value, value}, Trend::level, true});
        } else if (step.kind == Kind::detail && step.index < asked) {
          const auto& domain = tables.asked[step.index];
          const auto low = as_fraction(domain, domain.lowest), high = as_fraction(domain, domain.highest);
          stack.push_back({{reduced(low.numerator, low.denominator), reduced(high.numerator, high.denominator)},
                           step.index == input ? Trend::rising : Trend::level,
                           true});
        } else if (step.kind == Kind::detail) {
          const auto& other = tables.worked_out[step.index - asked];
          const Int128 per = other.plain_number ? ticks_per_one : 1;
          stack.push_back({{reduced(other.lowest.numerator, other.lowest.denominator * per),
                            reduced(other.highest.numerator, other.highest.denominator * per)},
                           all[step.index - asked][input],
                           true});
        } else if (step.kind == Kind::round_up || step.kind == Kind::round_down || step.kind == Kind::round_nearest) {
          stack.back() = combined(step, stack.back(), stack.back());
        } else {
          const auto second = stack.back();
          stack.pop_back();
          stack.back() = combined(step, stack.back(), second);
        }
      }
      of_detail[input] = stack.back().trend;
    }
    all.push_back(std::move(of_detail));
  }
  return all;
}

}  // namespace lacestay::compiler
