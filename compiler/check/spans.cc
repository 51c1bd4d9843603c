// Conditions from one value to another: `sessions 2 to 4`, `age 6 to 10`, `category u8 to u12`. Both ends belong to
// them. Of whole values that is plain: up to and with 4 is under 5. Of a measure it is not, since people differ on
// whether 40 kg itself is in 30 to 40 kg; there the two conditions are to be written.
#include <fmt/format.h>

#include "compiler/check/names.hpp"

namespace lacestay::compiler {

namespace {

// As it was written, but with a unit that serves both ends.
std::string written(const grammar::Value& value) {
  const auto* quantity = std::get_if<grammar::Quantity>(&value);
  if (!quantity || quantity->parts.size() != 1) return std::string(span_of(value).text());
  const auto& part = quantity->parts.front();
  constexpr int most_digits = 16;
  const auto number = decimal(part.numerator, part.denominator, most_digits);
  if (!number || part.bare()) return std::string(span_of(value).text());
  const auto unit = part.unit ? std::string(grammar::spelling(*part.unit, *number == "1")) : part.currency;
  return *number + (unit == "%" ? "" : " ") + unit;
}

}  // namespace

// How far apart a column's values are, in ticks, where they are counted in whole units; nothing of a measure.
std::optional<std::int64_t> Checker::whole_steps_of(ColumnId column) const {
  const auto& known = policy.tables.columns[column];
  if (!known.worked_out) {
    const bool whole = policy.details[known.detail].scale.whole;
    return whole ? std::optional(policy.tables.asked[known.detail].grain) : std::nullopt;
  }
  const auto& made = policy.tables.worked_out[known.detail];
  if (made.formula.empty()) return std::nullopt;
  const auto& last = made.formula.back();
  if (last.kind == FormulaStep::Kind::whole_years) return ticks_per({grammar::Unit::year, ""});
  if (!made.rounded()) return std::nullopt;
  const Int128 ticks = last.numerator * (made.plain_number ? ticks_per_one : 1);
  if (ticks % last.denominator != 0) return std::nullopt;
  return static_cast<std::int64_t>(ticks / last.denominator);
}

std::optional<DraftTest> Checker::span_of_grades(const grammar::Condition& condition) {
  const auto named = member_in(condition);
  if (!named) return std::nullopt;
  const auto& scale = policy.scale_of(named->first);
  const auto& name = policy.name_of(named->first);
  const auto refuse = [&](std::string message, std::string hint) {
    diagnostics.add("conditions-2", condition.span, std::move(message), std::move(hint));
    return std::nullopt;
  };
  if (scale.kind == Scale::Kind::choice)
    return refuse(fmt::format("{} is a choice without an order, so nothing lies from one to another.", name),
                  fmt::format("name each of them, with commas between: {} {}, …", name, scale.members.front()));
  const auto* phrase = std::get_if<grammar::Phrase>(&*condition.value);
  if (!phrase)
    return refuse(
        fmt::format("{} is one of {}.", name, some_of(scale.members)),
        fmt::format("write two of them, as in: {} {} to {}", name, scale.members.front(), scale.members.back()));
  const auto first = member(named->second, scale, name), last = member(*phrase, scale, name);
  if (!first || !last) return std::nullopt;
  if (*first > *last)
    return refuse(fmt::format("{} comes after {}, so nobody is from the one to the other.", scale.members[*first],
                              scale.members[*last]),
                  "write the lower grade first, if both are right");
  if (*first == 0 && *last + 1 == scale.members.size())
    return refuse(fmt::format("These are all the grades of {}, so everybody meets this condition.", name),
                  "leave the condition out");
  DraftTest test;
  test.column = named->first;
  for (auto i = *first; i <= *last; ++i) test.members.push_back(i);
  return test;
}

std::optional<DraftTest> Checker::span_of_values(const grammar::Condition& condition, bool pack) {
  const auto column = column_named(condition.subject);
  if (!column) return std::nullopt;
  const auto& scale = policy.scale_of(*column);
  const auto& name = policy.name_of(*column);
  const auto refuse = [&](const char* code, std::string message, std::string hint) {
    diagnostics.add(code, condition.span, std::move(message), std::move(hint));
    return std::nullopt;
  };
  if (scale.has_members())
    return refuse("conditions-1", fmt::format("{} is one of {}.", name, some_of(scale.members)),
                  fmt::format("name them, as in: {} {}", name, scale.members.front()));
  const auto& [first, last] = std::tie(*condition.first, *condition.value);
  // The last first: a unit that is wrong stands there, and the first one shares it.
  const auto high = amount(last, scale);
  const auto low = high ? amount(first, scale) : std::nullopt;
  if (!low || !high) return std::nullopt;
  const auto from_text = written(first), to_text = written(last);
  if (*low > *high)
    return refuse("conditions-4",
                  fmt::format("{} lies above {}, so nobody is from the one to the other.", from_text, to_text),
                  "write the smaller first, if both are right");
  const bool day = scale.kind == Scale::Kind::day;
  const auto whole = day ? std::optional<std::int64_t>(1) : whole_steps_of(*column);
  if (!day) {
    const auto unit_of = [&](const grammar::Value& value) {
      const auto& part = std::get<grammar::Quantity>(value).parts.back();
      return ticks_per({part.bare() ? scale.bare_unit : part.unit, part.currency}, scale.money_digits);
    };
    if (!whole || unit_of(first) != *whole || unit_of(last) != *whole) {
      const auto under = fmt::format("{} at least {}, {} under {}", name, from_text, name, to_text);
      const auto why = whole ? fmt::format("{} is counted in other steps than are written here", name)
                             : fmt::format("{} is measured", name);
      return refuse(
          "conditions-4",
          fmt::format("{}, so whether {} itself is in '{} to {}' is read in two ways.", why, to_text, from_text,
                      to_text),
          scale.dimension == Dimension::age
              ? fmt::format("write two conditions: {}; or a higher age after under, whichever is meant", under)
              : fmt::format("write two conditions: {}; or, where {} is in it, {} at least {}, {} at most {}", under,
                            to_text, name, from_text, name, to_text));
    }
  }
  if (!on_grain(*low, *column, span_of(first)) || !on_grain(*high, *column, span_of(last))) return std::nullopt;
  note_edge(*column, first, *low);
  DraftTest test;
  test.column = *column;
  test.from = cut_before(*column, *low);
  // Up to the next value there is.
  test.to = cut_before(*column, *high + *whole);
  const auto& known = policy.tables.columns[*column];
  if (known.worked_out || pack) return test;
  const auto& domain = policy.tables.asked[known.detail];
  const auto asked =
      fmt::format("{} is asked from {} to {}", name, scale.write(domain.lowest), scale.write(domain.highest));
  if (*low < domain.lowest || *high > domain.highest)
    return refuse("domain-5", asked + ", and this range reaches past that.", "write ends inside the range");
  if (*low == domain.lowest && *high == domain.highest)
    return refuse("domain-5", asked + ", so everybody meets this condition.", "leave the condition out");
  if (*low == domain.lowest) test.from.reset();
  if (*high == domain.highest) test.to.reset();
  return test;
}

}  // namespace lacestay::compiler
