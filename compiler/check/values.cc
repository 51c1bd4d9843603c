// Quantities, days, members and answers where the policy says what is due.
#include <fmt/format.h>

#include <algorithm>

#include "compiler/check/names.hpp"
#include "compiler/values/days.hpp"
#include "grammar/read/not_said.hpp"

namespace lacestay::compiler {

namespace {

std::string example_of(Dimension dimension) {
  switch (dimension) {
    case Dimension::length: return "175 cm or 5 ft 9 in";
    case Dimension::weight: return "75 kg or 11 st 11 lb";
    case Dimension::age: return "9 years or 114 months";
    case Dimension::flex: return "40 flex";
    case Dimension::money: return "45 and the policy's currency";
    case Dimension::number: return "12, or 12%";
    case Dimension::day: return "1 September 2026";
  }
  return "";
}

}  // namespace

Due Checker::due_for(const Scale& scale) const { return {scale.dimension, policy.currency, scale.bare_unit}; }

std::optional<std::int64_t> Checker::ticks(const grammar::Quantity& quantity, const Due& due) {
  const auto result = ticks_of(quantity, due);
  if (const auto* found = std::get_if<std::int64_t>(&result)) return *found;
  const auto& error = std::get<QuantityError>(result);
  const auto say = [&](const char* code, std::string message, std::string hint) {
    diagnostics.add(code, quantity.span, std::move(message), std::move(hint));
  };
  using Kind = QuantityError::Kind;
  const auto example = fmt::format("write it as in: {}", example_of(due.dimension));
  switch (error.kind) {
    case Kind::wrong_dimension:
      say("units-2",
          fmt::format("This is {}, but {} is due here.", a_dimension(error.found), a_dimension(due.dimension)),
          example);
      break;
    case Kind::unit_missing:
      say("units-3", fmt::format("This number has no unit; {} is due here.", a_dimension(due.dimension)), example);
      break;
    case Kind::unit_unwanted:
      say("units-4", "This number carries a unit, but a plain number is due here.",
          "leave the unit out; or give the unit where the detail or the property is declared");
      break;
    case Kind::other_currency:
      // A missing or wrong currency is reported once: from then on the currency first written counts as the policy's.
      if (due.currency.empty()) say("units-8", "The policy names no currency.", "add a line such as: money GBP");
      if (due.currency.empty() || !grammar::currency_digits(due.currency))
        policy.currency = quantity.parts.front().currency;
      else
        say("units-8", fmt::format("The policy's money is {}.", due.currency),
            fmt::format("write the sum in {}", due.currency));
      break;
    case Kind::not_whole:
      say("units-6", "This is finer than the language measures.",
          due.dimension == Dimension::money ? "round it to the currency's smallest coin"
          : due.dimension == Dimension::age ? "write ages in whole months or years"
                                            : "round it to what can be measured");
      break;
    case Kind::too_large:
      say("units-7", "This is past the largest quantity the language keeps.", "look for a digit or a unit too many");
      break;
  }
  return std::nullopt;
}

std::optional<std::int64_t> Checker::amount(const grammar::Value& value, const Scale& scale) {
  if (const auto* quantity = std::get_if<grammar::Quantity>(&value)) {
    if (scale.kind == Scale::Kind::amount) return ticks(*quantity, due_for(scale));
  } else if (const auto* date = std::get_if<grammar::Date>(&value)) {
    if (scale.kind == Scale::Kind::day) return day_number(*date);
  }
  const auto due = scale.kind == Scale::Kind::day ? Dimension::day : scale.dimension;
  const auto* phrase = std::get_if<grammar::Phrase>(&value);
  if (phrase && due == Dimension::day && phrase->joined() == "today") {
    diagnostics.add("units-2", phrase->span, grammar::no_day_today,
                    "write a day, as in: 1 September 2026; or ask how long ago it was, as in: ask since_blow 0 to 240 "
                    "months, whole");
    return std::nullopt;
  }
  diagnostics.add("units-2", span_of(value), fmt::format("Here {} is due.", a_dimension(due)),
                  fmt::format("write it as in: {}", example_of(due)));
  return std::nullopt;
}

std::optional<std::uint32_t> Checker::member(const grammar::Phrase& phrase, const Scale& scale, const std::string& of) {
  const auto name = phrase.joined();
  for (std::size_t i = 0; i < scale.members.size(); ++i)
    if (scale.members[i] == name) return static_cast<std::uint32_t>(i);
  const auto shown = scale.member_shown_as(name);
  const auto near = shown ? scale.members[*shown] : meant_by(*this, name, scale.members);
  auto hint = near.empty() ? std::string("write one of them") : fmt::format("write {}", near);
  // `role other than defence`: to name that member would say the opposite.
  for (const std::string_view but : {"other_than_", "not_", "except_", "all_but_", "anything_but_"}) {
    const auto excluded = name.substr(std::min(but.size(), name.size()));
    const auto at = std::find(scale.members.begin(), scale.members.end(), excluded);
    if (name.rfind(but, 0) != 0 || at == scale.members.end()) continue;
    auto others = scale.members;
    others.erase(others.begin() + (at - scale.members.begin()));
    hint = fmt::format("name all the others: {}", listed(others, "or"));
  }
  diagnostics.add("names-4", phrase.span,
                  fmt::format("'{}' is not one of {}'s own: {}.", phrase.as_written(), of, some_of(scale.members)),
                  std::move(hint));
  return std::nullopt;
}

// `cap gloves tier at boots tier`, or at `one above boots tier`.
bool Checker::names_another_answer(const grammar::Cell& cell, const Scale& scale) const {
  const auto* value = std::get_if<grammar::Value>(&cell);
  const auto* phrase = value ? std::get_if<grammar::Phrase>(value) : nullptr;
  if (!phrase || std::count(scale.members.begin(), scale.members.end(), phrase->joined()) != 0) return false;
  std::string name;
  for (auto word = phrase->words.rbegin(); word != phrase->words.rend(); ++word) {
    name = word->text + (name.empty() ? "" : "_" + name);
    const auto target = targets.find(name);
    if (target != targets.end() && !target->second.piece) return true;
  }
  return false;
}

std::optional<std::pair<std::int64_t, std::int64_t>> Checker::answer(const grammar::Cell& cell,
                                                                     std::uint32_t property) {
  const auto& text = policy.properties[property];
  const auto full_name = policy.pieces[text.piece].name + " " + text.name;
  const auto& space = policy.tables.answers[property];
  const auto* interval = std::get_if<grammar::Interval>(&cell);
  if (names_another_answer(cell, text.scale)) {
    diagnostics.add("answers-1", span_of(cell), grammar::held_to_another, grammar::let_both_follow);
    return std::nullopt;
  }
  const auto step_of = [&](const grammar::Value& value) -> std::optional<std::int64_t> {
    const auto found = amount(value, text.scale);
    if (!found) return std::nullopt;
    const auto last = static_cast<std::int64_t>(space.steps) - 1;
    if (*found < text.at(0) || *found > text.at(last)) {
      diagnostics.add("answers-2", span_of(value),
                      fmt::format("{} runs from {} to {}.", full_name, text.write(0, 0), text.write(last, last)),
                      "write a value inside its range, or widen the range");
      return std::nullopt;
    }
    const auto below = text.step_within(*found);
    if (text.at(below) != *found) {
      diagnostics.add("answers-3", span_of(value),
                      fmt::format("{} goes in steps: nothing lies between {} and {}.", full_name,
                                  text.write(below, below), text.write(below + 1, below + 1)),
                      "write one of the two");
      return std::nullopt;
    }
    return below;
  };
  if (const auto* open = std::get_if<grammar::LeftOpen>(&cell)) return left_open(*open, property);
  if (text.scale.has_members()) {
    const auto* value = interval ? nullptr : &std::get<grammar::Value>(cell);
    const auto* phrase = value ? std::get_if<grammar::Phrase>(value) : nullptr;
    if (!phrase) {
      diagnostics.add("answers-1", span_of(cell),
                      fmt::format("{} is one of {}.", full_name, some_of(text.scale.members)), "write one of them");
      return std::nullopt;
    }
    const auto found = member(*phrase, text.scale, full_name);
    return found ? std::optional(std::pair<std::int64_t, std::int64_t>(*found, *found)) : std::nullopt;
  }
  if (space.band != (interval != nullptr)) {
    diagnostics.add("answers-1", span_of(cell),
                    space.band ? fmt::format("{} is a band, with two ends.", full_name)
                               : fmt::format("{} is one size, not two.", full_name),
                    space.band ? "write both ends, as in: 20 to 30 flex" : "write one of the two");
    return std::nullopt;
  }
  // The second end first: a unit that is wrong stands there, and the first end shares it.
  const auto high = step_of(interval ? interval->to : std::get<grammar::Value>(cell));
  const auto low = interval && high ? step_of(interval->from) : high;
  if (!low || !high) return std::nullopt;
  if (*low > *high) {
    diagnostics.add("answers-4", interval->span, larger_first(text.write(*low, *low), text.write(*high, *high)),
                    fmt::format("write the smaller first, if both are right: {}; or mend the end that is wrong",
                                text.write(*high, *low)));
    return std::nullopt;
  }
  return std::pair(*low, *high);
}

// Several members of a choice, any of which will do.
std::optional<std::pair<std::int64_t, std::int64_t>> Checker::left_open(const grammar::LeftOpen& open,
                                                                        std::uint32_t property) {
  const auto& text = policy.properties[property];
  const auto name = policy.pieces[text.piece].name + " " + text.name;
  const auto& space = policy.tables.answers[property];
  const auto refuse = [&](const grammar::Span& at, std::string message, std::string hint) {
    diagnostics.add("answers-1", at, std::move(message), std::move(hint));
    return std::nullopt;
  };
  const auto else_accepted =
      fmt::format("what else may be handed over is said in the accept line, as in: {} at least advised", text.name);
  if (text.scale.kind == Scale::Kind::grades)
    return refuse(open.span, fmt::format("{} goes up in grades, and only a choice is left open.", name),
                  "write one grade; " + else_accepted);
  if (!text.scale.has_members())
    return refuse(open.span,
                  fmt::format("{} is {}, and only a choice is left open.", name, a_dimension(text.scale.dimension)),
                  space.band ? fmt::format("write its two ends, as in: {}", text.write(0, space.steps - 1))
                             : "write one size; " + else_accepted);
  if (space.steps > most_left_open)
    return refuse(
        open.span,
        fmt::format("{} is one of {}; a choice of more than {} is not left open.", name, space.steps, most_left_open),
        "write one of them");
  MemberSet members = open.members.empty() ? all_members(space.steps) : 0;
  for (const auto& phrase : open.members) {
    const auto found = member(phrase, text.scale, name);
    if (!found) return std::nullopt;
    const auto bit = MemberSet{1} << *found;
    if ((members & bit) != 0) {
      diagnostics.add("names-2", phrase.span, fmt::format("'{}' stands here twice.", phrase.joined()),
                      "keep one of the two");
      return std::nullopt;
    }
    members |= bit;
  }
  return std::pair(answer_of(members), answer_of(members));
}

bool Checker::on_grain(std::int64_t value, ColumnId column, const grammar::Span& span) {
  const auto& known = policy.tables.columns[column];
  if (known.worked_out || value % policy.tables.asked[known.detail].grain == 0) return true;
  // The unit it is counted in is the one of that many ticks; plain numbers and money have none of the table's.
  const auto& text = policy.details[known.detail];
  const auto& units = grammar::unit_spellings();
  const auto unit = std::find_if(units.begin(), units.end(), [&](const auto& each) {
    return dimension_of(each.unit) == text.scale.dimension &&
           ticks_per({each.unit, ""}) == policy.tables.asked[known.detail].grain;
  });
  const auto counted = unit == units.end() ? "numbers" : grammar::spelling(unit->unit);
  diagnostics.add("units-6", span, fmt::format("{} is asked in whole {}.", text.name, counted),
                  fmt::format("write whole {}", counted));
  return false;
}

}  // namespace lacestay::compiler
