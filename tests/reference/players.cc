#include "tests/reference/players.hpp"

#include <algorithm>

namespace lacestay::naive {

using grammar::Domain;

namespace {

// The smallest difference between two players, where a detail is not whole: small enough to tell `under` from
// `at most`, and a tick in which inches and pounds are whole.
Rational smallest_step(Dimension dimension) {
  switch (dimension) {
    case Dimension::length: return Rational::of(1, 10);
    case Dimension::weight: return Rational::of(1, 100000);
    case Dimension::age: return Rational::of(1, 12);
    case Dimension::number:
    case Dimension::flex:
    case Dimension::money: return Rational::of(1, 1000);
  }
  return 1;
}

}  // namespace

std::string DrawnPlayer::line() const {
  std::string out;
  for (const auto& [name, text] : texts) out += (out.empty() ? "" : " ") + name + "=\"" + text + "\"";
  return out;
}

PlayerSource::PlayerSource(const Policy& policy, std::uint64_t seed) : policy_(policy), draw_(seed) {
  for (std::size_t i = 0; i < policy.details.size(); ++i)
    if (policy.details[i].ask) asked_.push_back(asked_of(policy, i));
  for (const auto& edge : policy.edges)
    if (!policy.details[edge.detail].ask) worked_out_edges_.push_back(edge);
}

PlayerSource::Asked PlayerSource::asked_of(const Policy& policy, std::size_t detail) {
  Asked asked;
  asked.detail = detail;
  asked.name = policy.details[detail].name;
  const Domain& domain = policy.details[detail].ask->domain;
  if (domain.kind != Domain::Kind::amount) {
    for (const auto& member : domain.members) asked.members.push_back(member.text);
    asked.high = static_cast<std::int64_t>(asked.members.size()) - 1;
    asked.tick = 1;
    return asked;
  }
  asked.low = number_of(domain.interval->from), asked.high = number_of(domain.interval->to);
  if (const auto* quantity = std::get_if<grammar::Quantity>(&domain.interval->to)) {
    asked.whole = domain.whole;
    asked.dimension = dimension_of(*quantity);
    const auto& unit = quantity->parts.back().unit;
    asked.tick = !asked.whole ? smallest_step(asked.dimension) : unit ? worth(*unit) : Rational(1);
  } else {
    asked.day = true;
    asked.tick = 1;
  }
  asked.edges = {asked.low, asked.high};
  for (const auto& edge : policy.edges)
    if (edge.detail == detail && edge.at >= asked.low && edge.at <= asked.high) asked.edges.push_back(edge.at);
  return asked;
}

// The value itself where it could be a player's, else the next below it that could be.
Rational PlayerSource::on_tick(const Asked& asked, const Rational& near) const {
  const bool steps_only = asked.whole || asked.day;
  const Rational value = steps_only ? asked.low + asked.tick * ((near - asked.low) / asked.tick).floor() : near;
  return std::clamp(value, asked.low, asked.high);
}

Rational PlayerSource::value(const Asked& asked) {
  if (!asked.members.empty()) return draw_.between(0, static_cast<std::int64_t>(asked.members.size()) - 1);
  if (draw_.chance(55)) {
    const Rational edge = draw_.pick(asked.edges);
    return on_tick(asked, edge + asked.tick * draw_.between(-1, 1));
  }
  if (asked.day && draw_.chance(20)) {  // the days around the end of February
    const Day any = day_at(asked.low + draw_.between(0, (asked.high - asked.low).floor()));
    const Day february(std::chrono::year_month_day(any).year() / 2 / 28);
    return on_tick(asked, number_of(february) + draw_.between(0, 2));
  }
  // Nobody weighs finer than 10 g; the smallest step is for edges.
  const bool fine = asked.dimension == Dimension::weight && !asked.whole;
  const Rational apart = fine ? Rational(10) : asked.tick;
  return asked.low + apart * draw_.between(0, ((asked.high - asked.low) / apart).floor());
}

// Moves one asked detail to where a worked-out detail passes one of its edges, or one step short of it, if moving it
// can do that.
void PlayerSource::move_to_edge(Player& player) {
  const Edge edge = draw_.pick(worked_out_edges_);
  const bool closed = draw_.chance(50);
  std::vector<const Asked*> numbers;
  for (const auto& asked : asked_)
    if (asked.members.empty()) numbers.push_back(&asked);
  draw_.shuffle(numbers);
  for (const Asked* asked : numbers) {
    const Exact before = player.at(asked->name);
    const auto is_below = [&](std::int64_t step) {
      player[asked->name] = exact(*asked, asked->low + asked->tick * step);
      const Rational number = detail_number(policy_, player, edge.detail);
      return closed ? number <= edge.at : number < edge.at;
    };
    std::int64_t low = 0, high = ((asked->high - asked->low) / asked->tick).floor();
    const bool below_first = is_below(low);
    if (below_first == is_below(high)) {
      player[asked->name] = before;
      continue;
    }
    while (high - low > 1) {
      const std::int64_t middle = low + (high - low) / 2;
      (is_below(middle) == below_first ? low : high) = middle;
    }
    player[asked->name] = exact(*asked, asked->low + asked->tick * (draw_.chance(50) ? low : high));
    return;
  }
}

Exact PlayerSource::exact(const Asked& asked, const Rational& value) {
  if (!asked.members.empty()) return asked.members[static_cast<std::size_t>(value.floor())];
  if (asked.day) return day_at(value);
  return value;
}

DrawnPlayer PlayerSource::draw() {
  constexpr int most_tries = 1'000;  // a policy may leave hardly anybody, or nobody
  Player player;
  for (int tries = 0; tries == 0 || (tries < most_tries && !can_be(policy_, player)); ++tries) {
    for (const auto& asked : asked_) player[asked.name] = exact(asked, value(asked));
    if (!worked_out_edges_.empty() && draw_.chance(50)) move_to_edge(player);
  }
  return written(std::move(player));
}

std::string PlayerSource::text(const Asked& asked, const Exact& value) {
  if (!asked.members.empty()) return std::get<std::string>(value);
  if (asked.day) return draw_.pick(spellings(std::get<Day>(value)));
  auto ways = spellings(std::get<Rational>(value), asked.dimension);
  if (ways.empty()) throw Unready("no way to write a value of " + asked.name);
  if (asked.dimension == Dimension::age && asked.whole) ways.push_back(plain(std::get<Rational>(value)));
  return draw_.pick(ways);
}

DrawnPlayer PlayerSource::written(Player player) {
  DrawnPlayer drawn;
  for (const auto& asked : asked_) drawn.texts[asked.name] = text(asked, player.at(asked.name));
  drawn.exact = std::move(player);
  return drawn;
}

std::optional<std::uint64_t> PlayerSource::all() const {
  std::uint64_t count = 1;
  for (const auto& asked : asked_) {
    if (asked.members.empty() && !asked.whole && !asked.day) return std::nullopt;
    const auto values = static_cast<std::uint64_t>(((asked.high - asked.low) / asked.tick).floor()) + 1;
    if (__builtin_mul_overflow(count, values, &count)) return std::nullopt;
  }
  return count;
}

DrawnPlayer PlayerSource::at(std::uint64_t number) {
  Player player;
  for (const auto& asked : asked_) {
    const auto values = static_cast<std::uint64_t>(((asked.high - asked.low) / asked.tick).floor()) + 1;
    player[asked.name] = exact(asked, asked.low + asked.tick * static_cast<std::int64_t>(number % values));
    number /= values;
  }
  return written(std::move(player));
}

}  // namespace lacestay::naive
