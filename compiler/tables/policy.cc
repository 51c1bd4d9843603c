#include "compiler/tables/policy.hpp"

#include <fmt/format.h>

#include "compiler/values/names.hpp"
#include "grammar/text/letters.hpp"

namespace lacestay::compiler {

std::string Scale::write(std::int64_t value) const { return write(Rational{value, 1}); }

std::string Scale::write(const Rational& value) const {
  if (has_members()) return shown_member(static_cast<std::size_t>(value.numerator));
  return show(value, dimension, shown, money_digits);
}

const std::vector<ShownUnit>& Scale::units_of_edge(std::int64_t value) const {
  const auto known = std::lower_bound(edges.begin(), edges.end(), value,
                                      [](const WrittenAmount& edge, std::int64_t sought) { return edge.at < sought; });
  return known != edges.end() && known->at == value ? known->units : shown;
}

std::string Scale::write_edge(std::int64_t value) const {
  return has_members() ? write(value) : show(value, dimension, units_of_edge(value), money_digits);
}

std::string Scale::write_exactly(std::int64_t value) const {
  using grammar::Unit;
  constexpr int most_digits = 16;
  if (kind != Kind::amount || dimension == Dimension::money || is_shown_exactly(value, shown)) return write(value);
  if (shown.size() > 1) {  // "5 st 13.9 lb"
    constexpr int digits_to_read = 3;
    const auto large = ticks_per(shown.front());
    const auto rest = decimal(value % large, ticks_per(shown.back()), digits_to_read);
    const auto small = rest ? *rest + " " + std::string(grammar::spelling(*shown.back().unit, *rest == "1")) : "";
    if (rest && value < large) return small;
    if (rest) return write(value - value % large) + (*rest == "0" ? "" : " " + small);
  }
  const auto decimal_unit = dimension == Dimension::weight   ? std::optional(Unit::kilogram)
                            : dimension == Dimension::length ? std::optional(Unit::millimetre)
                                                             : std::nullopt;
  for (const auto& unit : {shown.front().unit, decimal_unit}) {
    const auto number = decimal(value, ticks_per({unit, ""}), most_digits);
    if (number) return unit ? *number + " " + std::string(grammar::spelling(*unit)) : *number;
  }
  return write(value);
}

std::string Scale::write_for_policy(std::int64_t value) const {
  return has_members() ? members[static_cast<std::size_t>(value)] : write_exactly(value);
}

const std::string& Scale::shown_member(std::size_t place) const {
  return shown_as.empty() || shown_as[place].empty() ? members[place] : shown_as[place];
}

std::vector<std::string> Scale::shown_members() const {
  std::vector<std::string> all;
  for (std::size_t place = 0; place < members.size(); ++place) all.push_back(shown_member(place));
  return all;
}

std::optional<std::uint32_t> Scale::member_shown_as(std::string_view words) const {
  if (shown_as.empty()) return std::nullopt;
  const auto sought = grammar::plain_name(words);
  for (std::uint32_t place = 0; place < shown_as.size(); ++place)
    if (!shown_as[place].empty() && grammar::plain_name(shown_as[place]) == sought) return place;
  return std::nullopt;
}

std::optional<std::uint32_t> Scale::member_called(std::string_view name, std::string_view words) const {
  const auto named = std::find(members.begin(), members.end(), name);
  return named == members.end() ? member_shown_as(words)
                                : std::optional(static_cast<std::uint32_t>(named - members.begin()));
}

std::int64_t PropertyText::at(std::int64_t of_step) const {
  return sizes.empty() ? first + of_step * step : sizes[static_cast<std::size_t>(of_step)];
}

std::int64_t PropertyText::step_within(std::int64_t ticks) const {
  if (sizes.empty()) return static_cast<std::int64_t>(floor_divide(ticks - first, step));
  return std::upper_bound(sizes.begin(), sizes.end(), ticks) - sizes.begin() - 1;
}

namespace {

// The members of an answer, one or several, each as `written` has it.
template <typename Written>
std::vector<std::string> each_member(const Scale& scale, std::int64_t answer, Written written) {
  if (!leaves_open(answer)) return {written(answer)};
  std::vector<std::string> words;
  for (std::int64_t place = 0; place < static_cast<std::int64_t>(scale.members.size()); ++place)
    if (has_member(members_of(answer), place)) words.push_back(written(place));
  return words;
}

}  // namespace

std::string PropertyText::write(std::int64_t low, std::int64_t high) const {
  if (scale.has_members())
    return listed(
        each_member(scale, low, [&](auto place) { return scale.shown_member(static_cast<std::size_t>(place)); }), "or");
  const auto from = at(low), to = at(high);
  if (low == high) return show(from, scale.dimension, scale.shown, scale.money_digits);
  return show_range(from, to, scale.dimension, scale.shown, scale.money_digits);
}

std::string PropertyText::write_for_policy(std::int64_t low, std::int64_t high) const {
  if (!scale.has_members()) return write(low, high);
  // Policies have no comma between them: that would begin the next cell.
  return fmt::format("{}",
                     fmt::join(each_member(scale, low, [&](auto at) { return scale.write_for_policy(at); }), " or "));
}

std::string RuleText::name_as_written() const {
  auto text = name;
  if (const auto colon = text.find(": "); colon != std::string::npos) text.replace(colon, 2, "_");
  return text;
}

const Scale& Policy::scale_of(ColumnId column) const {
  const auto& known = tables.columns[column];
  return known.worked_out ? worked_out[known.detail].scale : details[known.detail].scale;
}

Scale& Policy::scale_of(ColumnId column) { return const_cast<Scale&>(std::as_const(*this).scale_of(column)); }

const std::string& Policy::name_of(ColumnId column) const {
  const auto& known = tables.columns[column];
  return known.worked_out ? worked_out[known.detail].name : details[known.detail].name;
}

std::string Policy::name_of(const Table& table) const {
  switch (table.kind) {
    case Table::Kind::property: {
      const auto& property = properties[table.target];
      return pieces[property.piece].name + " " + property.name;
    }
    case Table::Kind::piece: return pieces[table.target].name;
    case Table::Kind::caution: return rules[cautions[table.target]].name;
    case Table::Kind::detail: return worked_out[table.target].name;
    case Table::Kind::shop_line: return table.rows.empty() ? "" : rules[table.rows.front().rule].name;
  }
  return "";
}

Cut Policy::edge_as_meant(ColumnId column, const Cut& cut) const {
  constexpr std::int64_t no_literal_has = 1000;  // every measured unit is a multiple of this many ticks
  const auto& known = tables.columns[column];
  const bool in_ticks =
      !known.worked_out && scale_of(column).kind == Scale::Kind::amount && tables.asked[known.detail].grain == 1;
  return in_ticks && cut.at % no_literal_has == 1 ? Cut{cut.at - 1, true} : cut;
}

std::string Policy::write_places(ColumnId column, const std::vector<PlaceRange>& places) const {
  const auto& known = tables.columns[column];
  const auto& scale = scale_of(column);
  std::string out;
  const auto add = [&](const std::string& text) { out += out.empty() ? text : ", " + text; };
  if (scale.has_members()) {
    for (const auto member : known.members_in(places, scale.members.size())) add(scale.shown_member(member));
    return out;
  }
  for (const auto& range : places) {
    const bool open_below = range.first == 0, open_above = range.last + 1 >= known.places;
    const auto from = open_below ? Cut{} : edge_as_meant(column, known.cuts[range.first - 1]);
    const auto to = open_above ? Cut{} : edge_as_meant(column, known.cuts[range.last]);
    const auto from_text = scale.write_edge(from.at), to_text = scale.write_edge(to.at);
    const bool days = scale.kind == Scale::Kind::day;
    if (open_below && open_above)
      add("any");
    else if (open_below)
      add((to.after ? "up to and including " : days ? "before " : "under ") + to_text);
    else if (open_above)
      add(from.after ? "over " + from_text : days ? "since " + from_text : from_text + " or more");
    else if (from.at == to.at)  // at an edge that is taken in on both sides
      add(from_text);
    else
      add(fmt::format("{}{} {} {}", from.after ? "over " : "", from_text, to.after ? "up to and including" : "up to",
                      to_text));
  }
  return out;
}

}  // namespace lacestay::compiler
