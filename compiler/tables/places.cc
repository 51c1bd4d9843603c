#include "compiler/tables/places.hpp"

#include <algorithm>

namespace lacestay::compiler {

bool reaches(const Rational& value, const Cut& cut, Int128 ticks_in_one) {
  const auto sign = compare(value, reduced(cut.at, ticks_in_one));
  return sign > 0 || (sign == 0 && !cut.after);
}

std::uint32_t place_of(const Tables& tables, std::size_t asked, std::int64_t value) {
  if (tables.asked[asked].members) return static_cast<std::uint32_t>(value);
  const auto& cuts = tables.columns[asked].cuts;
  const auto reached = [&](const Cut& cut) { return cut.at <= value; };
  return static_cast<std::uint32_t>(std::partition_point(cuts.begin(), cuts.end(), reached) - cuts.begin());
}

ValueRange values_in(const Tables& tables, std::size_t asked, const PlaceRange& places) {
  const auto& domain = tables.asked[asked];
  if (domain.members) return {places.first, places.last};
  const auto& cuts = tables.columns[asked].cuts;
  return {places.first == 0 ? domain.lowest : cuts[places.first - 1].at,
          places.last >= cuts.size() ? domain.highest : cuts[places.last].at - domain.grain};
}

}  // namespace lacestay::compiler
