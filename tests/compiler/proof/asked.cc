#include "tests/compiler/proof/asked.hpp"

#include <stdexcept>

namespace lacestay::judges {

using naive::Dimension;

std::int64_t ticks_to_one(Dimension dimension) {
  switch (dimension) {
    case Dimension::number: return 1'000'000'000;
    case Dimension::length: return 1'000'000;
    case Dimension::weight: return 10'000'000'000;
    case Dimension::age: return 12;
    case Dimension::flex: return 1'000'000;
    case Dimension::money: return 100;
  }
  throw std::logic_error("a dimension without a tick");
}

namespace {

std::size_t compiled_place(const compiler::Policy& policy, const std::string& name) {
  for (std::size_t i = 0; i < policy.details.size(); ++i)
    if (policy.details[i].name == name) return i;
  throw std::logic_error("the compiler lost the detail " + name);
}

}  // namespace

std::vector<AskedRange> asked_ranges(const naive::Policy& policy) {
  std::vector<AskedRange> all;
  for (std::size_t i = 0; i < policy.details.size(); ++i) {
    if (!policy.details[i].ask) continue;
    const auto& domain = policy.details[i].ask->domain;
    AskedRange made;
    made.detail = i;
    made.name = policy.details[i].name;
    made.tick = made.compiled = 1;
    if (domain.kind != grammar::Domain::Kind::amount) {
      for (const auto& member : domain.members) made.members.push_back(member.text);
      made.last = static_cast<std::int64_t>(made.members.size()) - 1;
      all.push_back(std::move(made));
      continue;
    }
    made.low = naive::number_of(domain.interval->from);
    if (const auto* quantity = std::get_if<grammar::Quantity>(&domain.interval->to)) {
      const auto dimension = naive::dimension_of(*quantity);
      made.compiled = ticks_to_one(dimension);
      const auto& unit = quantity->parts.back().unit;
      made.tick = domain.whole ? (unit ? naive::worth(*unit) : Rational(1)) : Rational(1) / made.compiled;
    } else {
      made.day = true;
    }
    made.last = ((naive::number_of(domain.interval->to) - made.low) / made.tick).floor();
    all.push_back(std::move(made));
  }
  return all;
}

std::vector<std::int64_t> steps_of(const std::vector<AskedRange>& asked, const compiler::Policy& policy,
                                   const compiler::Readings& readings) {
  std::vector<std::int64_t> steps;
  for (const auto& range : asked) {
    const auto reading = readings.at(compiled_place(policy, range.name));
    const auto step = (Rational(reading) / range.compiled - range.low) / range.tick;
    if (!step.is_whole() || step < 0 || step > range.last)
      throw std::logic_error("no player can have this " + range.name + ": " + std::to_string(reading) + " ticks");
    steps.push_back(step.floor());
  }
  return steps;
}

compiler::Readings readings_of(const std::vector<AskedRange>& asked, const compiler::Policy& policy,
                               const std::vector<std::int64_t>& steps) {
  compiler::Readings readings(asked.size());
  for (std::size_t i = 0; i < asked.size(); ++i)
    readings[compiled_place(policy, asked[i].name)] = (asked[i].value(steps[i]) * asked[i].compiled).floor();
  return readings;
}

naive::Player player_of(const std::vector<AskedRange>& asked, const std::vector<std::int64_t>& steps) {
  naive::Player player;
  for (std::size_t i = 0; i < asked.size(); ++i) {
    const auto& range = asked[i];
    if (!range.members.empty())
      player[range.name] = range.members[static_cast<std::size_t>(steps[i])];
    else if (range.day)
      player[range.name] = naive::day_at(range.value(steps[i]));
    else
      player[range.name] = range.value(steps[i]);
  }
  return player;
}

std::string written(const compiler::Policy& policy, const compiler::Readings& readings) {
  std::string out;
  for (std::size_t i = 0; i < readings.size(); ++i)
    out += (i ? ", " : "") + policy.details[i].name + " " + policy.details[i].scale.write(readings[i]) + " (" +
           std::to_string(readings[i]) + ")";
  return out;
}

}  // namespace lacestay::judges
