#include "tests/compiler/compare/shared_players.hpp"

#include <algorithm>
#include <numeric>
#include <set>
#include <stdexcept>

namespace lacestay::judges {

using compiler::both_sides;
using compiler::Standing;
using compiler::Table;

SharedPlayers::SharedPlayers(const naive::Policy& earlier, const naive::Policy& later)
    : policies_{&earlier, &later}, asked_{asked_ranges(earlier), asked_ranges(later)} {
  std::vector<bool> matched(asked_.later.size());
  for (std::size_t i = 0; i < asked_.earlier.size(); ++i) {
    const auto& own = asked_.earlier[i];
    std::optional<std::size_t> other;
    for (std::size_t k = 0; k < asked_.later.size(); ++k) {
      const auto& one = asked_.later[k];
      const bool alike = own.members.empty() == one.members.empty() && own.day == one.day &&
                         (!own.members.empty() || own.compiled == one.compiled);
      if (one.name == own.name && alike) other = k, matched[k] = true;
    }
    share(i, other);
  }
  for (std::size_t k = 0; k < matched.size(); ++k)
    if (!matched[k]) share(std::nullopt, k);
}

void SharedPlayers::share(std::optional<std::size_t> earlier, std::optional<std::size_t> later) {
  SharedDetail made{later ? asked_.later[*later] : asked_.earlier[*earlier], {earlier, later}};
  if (earlier && later) {
    auto& range = made.range;
    const auto& other = asked_.earlier[*earlier];
    if (!range.members.empty()) {
      std::erase_if(range.members, [&](const auto& name) {
        return std::count(other.members.begin(), other.members.end(), name) == 0;
      });
      range.last = static_cast<std::int64_t>(range.members.size()) - 1;
    } else {
      // From one value of the coarser edition to the next, until one is the other's too.
      const auto a = range.tick < other.tick ? other : range, b = range.tick < other.tick ? range : other;
      const auto one = Rational(1) / range.compiled;  // each tick is so many of these
      range.tick = one * std::lcm((a.tick / one).floor(), (b.tick / one).floor());
      const auto lowest = std::max(a.low, b.low), highest = std::min(a.value(a.last), b.value(b.last));
      range.low = a.low + a.tick * std::max<std::int64_t>(((lowest - a.low) / a.tick).ceiling(), 0);
      for (Rational tried = 0; tried < range.tick && !((range.low - b.low) / b.tick).is_whole(); tried = tried + a.tick)
        range.low = range.low + a.tick;
      const bool any = ((range.low - b.low) / b.tick).is_whole() && range.low <= highest;
      range.last = any ? ((highest - range.low) / range.tick).floor() : -1;
    }
  }
  details_.push_back(std::move(made));
}

bool SharedPlayers::apart() const {
  return std::any_of(details_.begin(), details_.end(), [](const auto& each) { return each.range.last < 0; });
}

std::optional<std::size_t> SharedPlayers::count(std::size_t most) const {
  std::size_t count = 1;
  for (const auto& each : details_) {
    const auto values = static_cast<std::size_t>(each.range.last + 1);
    if (values != 0 && count > most / values) return std::nullopt;
    count *= values;
  }
  return count;
}

SharedPlayers::Steps SharedPlayers::at(std::size_t number) const {
  Steps steps;
  for (const auto& each : details_) {
    const auto values = static_cast<std::size_t>(each.range.last + 1);
    steps.push_back(static_cast<std::int64_t>(number % values));
    number /= values;
  }
  return steps;
}

std::int64_t SharedPlayers::own_step(Side side, std::size_t detail, std::int64_t step) const {
  const auto& shared = details_[detail].range;
  const auto& own = asked_[side][details_[detail].in[side].value()];
  if (!shared.members.empty()) {
    const auto& name = shared.members[static_cast<std::size_t>(step)];
    return std::find(own.members.begin(), own.members.end(), name) - own.members.begin();
  }
  return ((shared.value(step) - own.low) / own.tick).floor();
}

naive::Player SharedPlayers::player(Side side, const Steps& steps) const {
  Steps own(asked_[side].size());
  for (std::size_t i = 0; i < details_.size(); ++i)
    if (details_[i].in[side]) own[*details_[i].in[side]] = own_step(side, i, steps[i]);
  return player_of(asked_[side], own);
}

std::vector<std::size_t> SharedPlayers::places(const compiler::Difference& difference) const {
  const auto& known = difference.space.details;
  const auto& editions = *difference.editions;
  std::vector<std::size_t> places;
  for (const auto& each : details_) {
    std::size_t i = 0;
    while (i < known.size() && (known[i].name != each.range.name ||
                                editions.detail_in(Side::earlier)[i].has_value() != each.in.earlier.has_value() ||
                                editions.detail_in(Side::later)[i].has_value() != each.in.later.has_value()))
      ++i;
    if (i == known.size()) throw std::logic_error("the difference lost the detail " + each.range.name);
    places.push_back(i);
  }
  return places;
}

compiler::Readings SharedPlayers::readings(const compiler::Difference& difference, const Steps& steps) const {
  compiler::Readings readings(details_.size());
  const auto at = places(difference);
  for (std::size_t i = 0; i < details_.size(); ++i) {
    const auto& range = details_[i].range;
    const auto& members = difference.space.details[at[i]].scale.members;
    if (range.members.empty())
      readings[at[i]] = (range.value(steps[i]) * range.compiled).floor();
    else
      readings[at[i]] = std::find(members.begin(), members.end(), range.members[static_cast<std::size_t>(steps[i])]) -
                        members.begin();
  }
  return readings;
}

SharedPlayers::Steps SharedPlayers::steps(const compiler::Difference& difference,
                                          const compiler::Readings& readings) const {
  Steps steps;
  const auto at = places(difference);
  for (std::size_t i = 0; i < details_.size(); ++i) {
    const auto& range = details_[i].range;
    const auto reading = readings.at(at[i]);
    if (range.members.empty()) {
      const auto step = (Rational(reading) / range.compiled - range.low) / range.tick;
      if (!step.is_whole() || step < 0 || step > range.last)
        throw std::logic_error("no shared player has this " + range.name + ": " + std::to_string(reading));
      steps.push_back(step.floor());
    } else {
      const auto& name = difference.space.details[at[i]].scale.members.at(static_cast<std::size_t>(reading));
      steps.push_back(std::find(range.members.begin(), range.members.end(), name) - range.members.begin());
    }
  }
  return steps;
}

// ---- answers

namespace {

std::optional<std::size_t> place_of(const auto& all, const std::string& name) {
  for (std::size_t i = 0; i < all.size(); ++i)
    if (all[i].name == name) return i;
  return std::nullopt;
}

// Names of members mean the same wherever they stand in the list; numbers do where they are of one kind.
void give_meanings(SharedAnswer& answer, const naive::Property& earlier, const naive::Property& later) {
  using Kind = grammar::Domain::Kind;
  const auto amount = [](const naive::Property& property) { return property.tree->domain.kind == Kind::amount; };
  const auto dimension = [](const naive::Property& property) { return naive::dimension_of(property.last_written()); };
  bool alike = amount(earlier) == amount(later);
  if (alike && amount(earlier))
    alike = dimension(earlier) == dimension(later) && earlier.tree->domain.band == later.tree->domain.band;
  for (const auto side : both_sides) {
    const auto& property = side == Side::earlier ? earlier : later;
    for (std::int64_t i = 0; i <= property.last(); ++i) {
      const auto text =
          amount(property) ? naive::plain(property.amount_at(i)) : property.answers[static_cast<std::size_t>(i)];
      answer.meaning[side].push_back(alike ? text : (side == Side::earlier ? "earlier " : "later ") + text);
    }
  }
}

}  // namespace

std::map<std::string, SharedAnswer> shared_answers(const naive::Policy& earlier, const naive::Policy& later) {
  const OfSides<const naive::Policy*> policies{&earlier, &later};
  std::map<std::string, SharedAnswer> all;
  for (const auto side : both_sides) {
    const auto& policy = *policies[side];
    for (std::size_t i = 0; i < policy.pieces.size(); ++i) {
      auto& answer = all[policy.pieces[i].name];
      answer.kind = SharedAnswer::Kind::piece;
      answer.piece[side] = i;
    }
    for (std::size_t i = 0; i < policy.voices.size(); ++i) {
      const auto* rule = policy.voices[i].rule;
      if (!rule || rule->action->kind != grammar::Action::Kind::caution) continue;
      auto& answer = all["caution " + policy.voices[i].name];
      answer.kind = SharedAnswer::Kind::caution;
      answer.voice[side] = i;
    }
  }
  for (std::size_t i = 0; i < earlier.pieces.size(); ++i) {
    const auto k = place_of(later.pieces, earlier.pieces[i].name);
    if (!k) continue;
    for (std::size_t a = 0; a < earlier.pieces[i].properties.size(); ++a) {
      const auto& property = earlier.pieces[i].properties[a];
      const auto b = place_of(later.pieces[*k].properties, property.name);
      if (!b) continue;
      auto& answer = all[earlier.pieces[i].name + " " + property.name];
      answer.piece = {i, k};
      answer.property = {a, *b};
      give_meanings(answer, property, later.pieces[*k].properties[*b]);
    }
  }
  return all;
}

std::string name_of(const compiler::Difference& difference, const compiler::MatchedAnswer& answer) {
  const auto side = answer.target.later ? Side::later : Side::earlier;
  const auto& policy = difference.editions->edition(side);
  const auto target = answer.target[side].value();
  if (answer.kind == Table::Kind::caution) return "caution " + policy.rules[policy.cautions[target]].name;
  if (answer.kind == Table::Kind::piece) return policy.pieces[target].name;
  const auto& property = policy.properties[target];
  return policy.pieces[property.piece].name + " " + property.name;
}

std::string SharedAnswer::said(Side side, const std::string& standing, std::int64_t low, std::int64_t high) const {
  if (kind != Kind::property || (low < 0 && high < 0)) return standing;
  if (naive::is_open(low)) {
    std::set<std::string> members;
    for (std::size_t i = 0; i < meaning[side].size(); ++i)
      if (naive::is_one_of(low, static_cast<std::int64_t>(i))) members.insert(meaning[side][i]);
    return std::accumulate(members.begin(), members.end(), standing,
                           [](const auto& all, const auto& one) { return all + " or " + one; });
  }
  // Beside a refer one of the two ends may be open.
  const auto means = [&](std::int64_t step) {
    return step < 0 ? "any" : meaning[side].at(static_cast<std::size_t>(step));
  };
  return standing + " " + means(low) + " to " + means(high);
}

std::string said(const SharedAnswer& answer, Side side, const compiler::Outcome& outcome) {
  switch (outcome.standing) {
    case Standing::answered: return answer.said(side, "answer", outcome.low, outcome.high);
    case Standing::referred: return answer.said(side, "refer", outcome.low, outcome.high);
    case Standing::gap: return "gap";
    case Standing::clash: return "clash";
    case Standing::needed: return "needed";
    case Standing::suggested: return "suggested";
    case Standing::left_out: return "left out";
    case Standing::not_in_kit: return "not in kit";
    case Standing::spoken: return "spoken";
    case Standing::silent: return "silent";
  }
  throw std::logic_error("an outcome of no known kind");
}

std::optional<std::string> said(const SharedAnswer& answer, Side side, const naive::Policy& policy,
                                const naive::Outcome& outcome) {
  using Told = naive::PropertyOutcome::Kind;
  if (answer.kind == SharedAnswer::Kind::caution) {
    if (!answer.voice[side]) return "silent";
    return outcome.cautions.count(policy.voices[*answer.voice[side]].name) != 0 ? "spoken" : "silent";
  }
  if (!answer.piece[side]) return "not in kit";
  const auto& tree = policy.pieces[*answer.piece[side]];
  const auto& piece = outcome.pieces.at(tree.name);
  if (answer.kind == SharedAnswer::Kind::piece) {
    static const std::map<naive::Standing, std::string> words = {{naive::Standing::needed, "needed"},
                                                                 {naive::Standing::suggested, "suggested"},
                                                                 {naive::Standing::left_out, "left out"},
                                                                 {naive::Standing::not_in_kit, "not in kit"},
                                                                 {naive::Standing::clash, "clash"}};
    return words.at(piece.standing);
  }
  const auto found = piece.properties.find(tree.properties[answer.property[side]].name);
  if (found == piece.properties.end()) return std::nullopt;
  const auto& told = found->second;
  if (told.kind == Told::gap) return "gap";
  if (told.kind == Told::clash) return "clash";
  if (told.kind == Told::answer) return answer.said(side, "answer", told.answer->low, told.answer->high);
  return answer.said(side, "refer", told.least ? told.least->low : -1, told.most ? told.most->low : -1);
}

}  // namespace lacestay::judges
