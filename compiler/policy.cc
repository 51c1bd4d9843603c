#include "compiler/policy.hpp"

namespace lacestay::compiler {

std::string Scale::write(std::int64_t value) const {
  if (has_members()) return members[static_cast<std::size_t>(value)];
  return show(value, dimension, shown, money_digits);
}

std::string PropertyText::write(std::int64_t low, std::int64_t high) const {
  if (scale.has_members()) return scale.members[static_cast<std::size_t>(low)];
  const auto from = first + low * step, to = first + high * step;
  if (low == high) return show(from, scale.dimension, scale.shown, scale.money_digits);
  return show_range(from, to, scale.dimension, scale.shown, scale.money_digits);
}

const Scale& Policy::scale_of(ColumnId column) const {
  const auto& known = tables.columns[column];
  return known.worked_out ? worked_out[known.detail].scale : details[known.detail].scale;
}

const std::string& Policy::name_of(ColumnId column) const {
  const auto& known = tables.columns[column];
  return known.worked_out ? worked_out[known.detail].name : details[known.detail].name;
}

}  // namespace lacestay::compiler
