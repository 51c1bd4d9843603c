#include "runtime/player/player.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "compiler/space/witness.hpp"
#include "compiler/values/days.hpp"
#include "compiler/values/names.hpp"
#include "grammar/read/reader.hpp"
#include "grammar/text/letters.hpp"
#include "grammar/text/plain_text.hpp"

namespace lacestay::runtime {

using compiler::Scale;
using grammar::Span;

std::string folded(std::string_view name) {
  const auto first = name.find_first_not_of(" \t"), last = name.find_last_not_of(" \t");
  name = first == name.npos ? std::string_view() : name.substr(first, last - first + 1);
  std::string out;
  for (char c : name) out += c == ' ' || c == '.' ? '_' : grammar::lower(c);
  return out;
}

bool Player::complete() const {
  return std::all_of(readings.begin(), readings.end(), [](const auto& reading) { return reading.has_value(); });
}

Player player_of(const std::vector<std::int64_t>& readings) {
  Player player;
  player.readings.assign(readings.begin(), readings.end());
  return player;
}

namespace {

std::string in_told_units(const Scale& scale, const std::vector<compiler::ShownUnit>& units, std::int64_t value) {
  return units.empty() ? scale.write(value) : compiler::show(value, scale.dimension, units, scale.money_digits);
}

}  // namespace

std::string as_told(const compiler::Policy& policy, const Player& player, std::size_t detail) {
  const bool is_known = detail < player.told_in.size();
  return in_told_units(policy.details[detail].scale,
                       is_known ? player.told_in[detail] : std::vector<compiler::ShownUnit>(),
                       *player.readings[detail]);
}

bool told_in_another_system(const compiler::Policy& policy, const Player& player, std::size_t detail) {
  using compiler::Dimension;
  const auto& scale = policy.details[detail].scale;
  const bool has_systems = scale.kind == Scale::Kind::amount &&
                           (scale.dimension == Dimension::length || scale.dimension == Dimension::weight);
  if (!has_systems || detail >= player.told_in.size() || player.told_in[detail].empty()) return false;
  return grammar::is_metric(*player.told_in[detail].front().unit) != grammar::is_metric(*scale.shown.front().unit);
}

std::vector<std::int64_t> readings_of(const Player& complete) {
  std::vector<std::int64_t> readings;
  for (const auto& reading : complete.readings) readings.push_back(*reading);
  return readings;
}

std::vector<compiler::ValueRange> ranges_of(const compiler::Tables& tables, const Player& player) {
  std::vector<compiler::ValueRange> ranges;
  for (std::size_t i = 0; i < tables.asked.size(); ++i) {
    const auto& reading = player.readings[i];
    const auto& domain = tables.asked[i];
    ranges.push_back(reading ? compiler::ValueRange{*reading, *reading}
                             : compiler::ValueRange{domain.lowest, domain.highest});
  }
  return ranges;
}

PlayerReader::PlayerReader(const compiler::Policy& policy, grammar::Diagnostics& problems)
    : policy_(policy), problems_(problems) {
  player_.readings.resize(policy.details.size());
  player_.told_in.resize(policy.details.size());
}

std::string PlayerReader::accepts(std::size_t detail) const {
  const auto& text = policy_.details[detail];
  const auto& domain = policy_.tables.asked[detail];
  if (text.scale.has_members()) return "one of " + compiler::listed(text.scale.shown_members(), "or");
  return fmt::format("{} to {}", text.scale.write_edge(domain.lowest), text.scale.write_edge(domain.highest));
}

bool PlayerReader::passed_over(const std::string& name) const {
  return std::find(passed_over_.begin(), passed_over_.end(), name) != passed_over_.end();
}

std::optional<std::size_t> PlayerReader::detail_named(const std::string& name, const Span& span) {
  std::vector<std::string> names;
  for (std::size_t i = 0; i < policy_.details.size(); ++i) {
    if (policy_.details[i].name == name) return i;
    names.push_back(policy_.details[i].name);
  }
  if (passed_over(name)) return std::nullopt;
  const auto near = compiler::nearest_name(name, names);
  problems_.add(
      "player-1", span, fmt::format("The policy asks nothing called '{}'.", name),
      near.empty() ? fmt::format("the details are {}", compiler::listed(names)) : fmt::format("write {}", near));
  return std::nullopt;
}

void PlayerReader::put(std::size_t detail, std::int64_t value, const Span& span) {
  const auto& text = policy_.details[detail];
  const auto& domain = policy_.tables.asked[detail];
  if (player_.readings[detail]) {
    problems_.add("player-6", span, fmt::format("{} is given twice.", text.name), "keep one of the two");
    return;
  }
  if (value < domain.lowest || value > domain.highest) {
    // 180.001 kg is shown as "180 kg", which would read as inside.
    const bool below = value < domain.lowest;
    const auto shown = in_told_units(text.scale, player_.told_in[detail], value);
    const auto end = text.scale.write_edge(below ? domain.lowest : domain.highest);
    const auto told = shown != end ? shown : (below ? "just under " : "just over ") + end;
    problems_.add("player-2", span,
                  fmt::format("{} is {}, but the policy accepts {}.", text.name, told, accepts(detail)),
                  "measure again and check the unit; a fitter decides about players outside the range");
    return;
  }
  if (value % domain.grain != 0) {
    const auto unit = text.scale.shown.back().unit;
    problems_.add("player-3", span,
                  fmt::format("{} is asked in whole {}.", text.name, unit ? grammar::spelling(*unit) : "numbers"),
                  "give it as a whole number");
    return;
  }
  player_.readings[detail] = value;
}

void PlayerReader::set_member(std::size_t detail, const std::string& name, std::string_view written, const Span& span) {
  const auto& text = policy_.details[detail];
  const auto& members = text.scale.members;
  if (const auto member = text.scale.member_called(name, written)) return put(detail, *member, span);
  const auto near = compiler::nearest_name(name, members);
  problems_.add("player-4", span, fmt::format("{} is {}, not '{}'.", text.name, accepts(detail), written),
                near.empty() ? "write one of them" : fmt::format("write {}", near));
}

void PlayerReader::set_value(std::size_t detail, const grammar::Value& value, const Span& span) {
  const auto& text = policy_.details[detail];
  const auto refuse = [&](std::string message, std::string hint) {
    problems_.add("player-5", span, std::move(message), std::move(hint));
  };
  const auto& domain = policy_.tables.asked[detail];
  const auto such_as =
      text.scale.has_members()
          ? text.scale.shown_member(0)
          : compiler::show(domain.lowest + (domain.highest - domain.lowest) / 2 / domain.grain * domain.grain,
                           text.scale.dimension, text.scale.units_of_edge(domain.lowest), text.scale.money_digits);
  if (const auto* date = std::get_if<grammar::Date>(&value)) {
    if (text.scale.kind == Scale::Kind::day) return put(detail, compiler::day_number(*date), span);
    return refuse(fmt::format("{} is no day; the policy accepts {}.", text.name, accepts(detail)),
                  fmt::format("write it as in: {}", such_as));
  }
  const auto* quantity = std::get_if<grammar::Quantity>(&value);
  if (text.scale.kind == Scale::Kind::day)
    return refuse(fmt::format("{} is a day; the policy accepts {}.", text.name, accepts(detail)),
                  fmt::format("write it as in: {}", such_as));
  if (!quantity || text.scale.kind != Scale::Kind::amount)
    return refuse(fmt::format("{} is {}.", text.name, accepts(detail)), fmt::format("write it as in: {}", such_as));
  const auto ticks = compiler::ticks_of(*quantity, {text.scale.dimension, policy_.currency, text.scale.bare_unit});
  if (const auto* found = std::get_if<std::int64_t>(&ticks)) {
    const auto bare = [](const grammar::Amount& part) { return part.bare(); };
    if (std::none_of(quantity->parts.begin(), quantity->parts.end(), bare) && !player_.readings[detail])
      player_.told_in[detail] = compiler::units_of(*quantity);
    return put(detail, *found, span);
  }
  using Kind = compiler::QuantityError::Kind;
  switch (const auto& error = std::get<compiler::QuantityError>(ticks); error.kind) {
    case Kind::unit_missing:
      return refuse(fmt::format("{} needs its unit; the policy accepts {}.", text.name, accepts(detail)),
                    fmt::format("write it as in: {}", such_as));
    case Kind::wrong_dimension:
    case Kind::unit_unwanted:
    case Kind::other_currency:
      return refuse(
          fmt::format("{} is {}; it can't be {}.", text.name, compiler::a_dimension(text.scale.dimension),
                      error.kind == Kind::other_currency ? "in another currency" : compiler::a_dimension(error.found)),
          fmt::format("write it as in: {}", such_as));
    case Kind::not_whole:
      return refuse(fmt::format("{} is finer than the language measures.", text.name),
                    "round it to what can be measured");
    case Kind::too_large:
      return refuse(fmt::format("{} is past the largest quantity the language keeps; the policy accepts {}.", text.name,
                                accepts(detail)),
                    "check the digits and the unit");
  }
}

void PlayerReader::set(std::string_view name, std::string_view text) {
  if (const auto detail = detail_named(folded(name), {})) set_words(*detail, text, {});
}

void PlayerReader::set_words(std::size_t detail, std::string_view text, const Span& span) {
  if (text.empty()) return;
  if (policy_.details[detail].scale.has_members()) return set_member(detail, folded(text), text, span);
  const grammar::Source source{policy_.details[detail].name, std::string(text)};
  const auto value = grammar::refuse_text(text) ? std::nullopt : grammar::read_value(source);
  if (value) return set_value(detail, *value, span);
  problems_.add("player-5", span,
                fmt::format("{} is '{}', which is neither a quantity nor a day the language reads.",
                            policy_.details[detail].name, text),
                fmt::format("the policy accepts {}", accepts(detail)));
}

void PlayerReader::set_number(std::string_view name, std::string_view digits) {
  const auto detail = detail_named(folded(name), {});
  if (!detail) return;
  const auto& text = policy_.details[*detail];
  const bool plain = !digits.empty() && std::all_of(digits.begin(), digits.end(),
                                                    [](char c) { return (c >= '0' && c <= '9') || c == '.'; });
  const auto amount = plain ? grammar::read_decimal(digits) : std::nullopt;
  if (amount) return set_value(*detail, grammar::Quantity{{*amount}, {}}, {});
  problems_.add("player-5", {},
                fmt::format("{} is {}, which is not a plain decimal of at most 17 digits.", text.name, digits),
                fmt::format("the policy accepts {}", accepts(*detail)));
}

void PlayerReader::refuse_truth(std::string_view name, bool held) {
  const auto detail = detail_named(folded(name), {});
  if (!detail) return;
  problems_.add(
      "player-5", {},
      fmt::format("{} is {}, but the policy accepts {}.", policy_.details[*detail].name, held, accepts(*detail)),
      "write it as a text, in quotes");
}

void PlayerReader::own(const std::string& piece, const Span& span) {
  std::vector<std::string> names;
  for (std::uint32_t i = 0; i < policy_.pieces.size(); ++i) {
    names.push_back(policy_.pieces[i].name);
    if (names.back() != piece) continue;
    const auto at = std::lower_bound(player_.owns.begin(), player_.owns.end(), i);
    if (at == player_.owns.end() || *at != i) player_.owns.insert(at, i);
    return;
  }
  const auto near = compiler::nearest_name(piece, names);
  problems_.add(
      "player-7", span, fmt::format("The kit holds no piece called '{}'.", piece),
      near.empty() ? fmt::format("the pieces are {}", compiler::listed(names)) : fmt::format("write {}", near));
}

void PlayerReader::set_owned(std::string_view piece) { own(folded(piece), {}); }

void PlayerReader::set_reading(const grammar::Reading& reading) {
  const auto joined = reading.phrase.joined();
  if (reading.value || reading.blank || reading.words) {
    const auto detail = detail_named(joined, reading.phrase.span);
    if (detail && reading.words) return set_words(*detail, reading.words->text, reading.span);
    if (detail && reading.value) set_value(*detail, *reading.value, reading.span);
    return;
  }
  // `skill new`: the longest detail's name that begins the phrase.
  for (std::size_t at = joined.rfind('_'); at != std::string::npos && at > 0; at = joined.rfind('_', at - 1)) {
    for (std::size_t i = 0; i < policy_.details.size(); ++i)
      if (policy_.details[i].name == joined.substr(0, at)) {
        if (policy_.details[i].scale.has_members())
          set_member(i, joined.substr(at + 1), joined.substr(at + 1), reading.span);
        else
          problems_.add("player-5", reading.span, fmt::format("{} is {}.", policy_.details[i].name, accepts(i)),
                        "write it with its number and unit");
        return;
      }
  }
  if (const auto detail = detail_named(joined.substr(0, joined.find('_')), reading.phrase.span))
    problems_.add("player-5", reading.span,
                  fmt::format("What is {}? The policy accepts {}.", policy_.details[*detail].name, accepts(*detail)),
                  "write it after the detail's name, or write blank");
}

void PlayerReader::set(const grammar::Player& player) {
  span_ = player.name.span;
  for (const auto& reading : player.readings) set_reading(reading);
  for (const auto& piece : player.owns) own(piece.joined(), piece.span);
}

namespace {

constexpr std::size_t most_parts = 40'000;  // of one search for a player

}  // namespace

std::optional<Player> PlayerReader::take(grammar::Diagnostics& refusals) {
  const auto& tables = policy_.tables;
  if (tables.shut_out.empty()) return std::move(player_);
  const auto nobody = [&](const std::vector<compiler::ShutOut>& shut_out) {
    compiler::Witnesses witnesses(policy_, tables, most_parts, shut_out);
    return witnesses.find(ranges_of(tables, player_)).kind == compiler::Search::Kind::none;
  };
  if (!nobody(tables.shut_out)) return std::move(player_);
  // Each line that does so by itself; else some that do so together, none of which could be spared.
  std::vector<compiler::ShutOut> by;
  for (const auto& each : tables.shut_out)
    if (nobody({each})) by.push_back(each);
  if (by.empty()) {
    by = tables.shut_out;
    for (auto i = by.size(); i-- > 0;) {
      auto others = by;
      others.erase(others.begin() + static_cast<std::ptrdiff_t>(i));
      if (nobody(others)) by = std::move(others);
    }
  }
  refuse(by, refusals);
  return std::nullopt;
}

void PlayerReader::refuse(const std::vector<compiler::ShutOut>& by, grammar::Diagnostics& refusals) const {
  for (const auto& each : by) {
    const auto& line = policy_.nobody[each.line];
    const auto under = policy_.tables.asked_under(each.box);
    std::vector<std::string> names;
    for (std::size_t i = 0; i < under.size(); ++i)
      if (under[i] && player_.readings[i]) names.push_back(policy_.details[i].name);
    refusals
        .add("player-9", span_, line.sentence,
             fmt::format("look at {} once more; a fitter decides about players who are like that all the same, and "
                         "advise --by-hand keeps it on record",
                         compiler::listed(names)))
        .notes.push_back({"the policy says so here", line.span});
  }
}

}  // namespace lacestay::runtime
