#include "tests/reference/evaluator.hpp"

#include <algorithm>
#include <limits>

#include "grammar/read/reader.hpp"

namespace lacestay::naive {

using namespace grammar;

namespace {

Rational rounded(const Rational& number, const Rational& step, Expression::Kind kind) {
  const Rational steps = number / step;
  if (kind == Expression::Kind::round_up) return step * steps.ceiling();
  if (kind == Expression::Kind::round_down) return step * steps.floor();
  return step * (steps + Rational::of(1, 2)).floor();  // halves go up
}

// One player before one policy.
class Visit {
 public:
  Visit(const Policy& policy, const Player& player)
      : policy_(policy), player_(player), numbers_(policy.details.size()) {}

  Outcome outcome() {
    for (const auto& voice : policy_.voices) applies_.push_back(applies(voice));
    Outcome outcome;
    for (const auto& piece : policy_.pieces) {
      auto& told = outcome.pieces[piece.name];
      told.standing = standing(piece);
      if (told.standing != Standing::needed && told.standing != Standing::suggested) continue;
      for (const auto& property : piece.properties) told.properties.emplace(property.name, decide(property));
    }
    for (std::size_t i = 0; i < policy_.voices.size(); ++i) {
      const auto& voice = policy_.voices[i];
      if (applies_[i] && voice.rule && voice.rule->action->kind == Action::Kind::caution)
        outcome.cautions.insert(voice.name);
    }
    return outcome;
  }

  std::map<const Property*, std::vector<Saying>> sayings() {
    for (const auto& voice : policy_.voices) applies_.push_back(applies(voice));
    std::map<const Property*, std::vector<Saying>> all;
    for (const auto& piece : policy_.pieces)
      for (const auto& property : piece.properties) all[&property] = sayings(property);
    return all;
  }

  bool holds(const std::vector<Condition>& conditions) {
    return std::all_of(conditions.begin(), conditions.end(), [&](const auto& condition) { return holds(condition); });
  }

  Rational number(std::size_t index) {
    auto& number = numbers_[index];
    if (!number) number = found(policy_.details[index]);
    return *number;
  }

 private:
  // ---- details

  Rational found(const Detail& detail) {
    if (detail.ask) return read(detail);
    if (detail.formula) return worked_out(*detail.formula);
    if (!holds(detail.chart->clauses.when)) throw Unready("the chart of " + detail.name + " leaves a player out");
    return detail.given(cell_of(*detail.chart));
  }

  Rational read(const Detail& detail) const {
    const auto place = player_.find(detail.name);
    if (place == player_.end()) throw Unready("the player has no " + detail.name);
    if (const auto* number = std::get_if<Rational>(&place->second)) return *number;
    if (const auto* day = std::get_if<Day>(&place->second)) return number_of(*day);
    const auto& members = detail.ask->domain.members;
    for (std::size_t i = 0; i < members.size(); ++i)
      if (members[i].text == std::get<std::string>(place->second)) return static_cast<std::int64_t>(i);
    throw Unready(detail.name + " can't be " + std::get<std::string>(place->second));
  }

  Rational worked_out(const Expression& expression) {
    using Kind = Expression::Kind;
    const auto operand = [&](std::size_t i) { return worked_out(expression.operands[i]); };
    switch (expression.kind) {
      case Kind::quantity: return worth(expression.quantity);
      case Kind::date: return number_of(day_of(expression.date));
      case Kind::name: return number(policy_.detail_of.at(&expression.name));
      case Kind::add: return operand(0) + operand(1);
      case Kind::subtract: return operand(0) - operand(1);
      case Kind::multiply: return operand(0) * operand(1);
      case Kind::divide: return operand(0) / operand(1);
      case Kind::larger: return std::max(operand(0), operand(1));
      case Kind::smaller: return std::min(operand(0), operand(1));
      case Kind::whole_years: return whole_years(day_at(operand(0)), day_at(operand(1)));
      case Kind::round_up:
      case Kind::round_down:
      case Kind::round_nearest: return rounded(operand(0), worth(expression.quantity), expression.kind);
    }
    throw std::logic_error("a formula of no known kind");
  }

  // ---- conditions and charts

  bool holds(const Condition& condition) {
    if (condition.relation == Relation::is || (condition.relation == Relation::from_to && !condition.first)) {
      const auto& named = policy_.membership_of.at(&condition);
      return is_one_of(number(named.detail), named.members);
    }
    const Rational has = number(policy_.detail_of.at(&condition.subject));
    if (condition.first) return has >= number_of(*condition.first) && has < past_last(condition);
    const auto member = policy_.member_of.find(&condition);
    const Rational edge = member != policy_.member_of.end() ? Rational(static_cast<std::int64_t>(member->second))
                                                            : number_of(*condition.value);
    switch (condition.relation) {
      case Relation::under:
      case Relation::before: return has < edge;
      case Relation::at_least:
      case Relation::since: return has >= edge;
      case Relation::over: return has > edge;
      case Relation::at_most: return has <= edge;
      case Relation::is:
      case Relation::from_to: break;
    }
    throw std::logic_error("a condition of no known kind");
  }

  static bool is_one_of(const Rational& place, const std::vector<std::size_t>& members) {
    return std::any_of(members.begin(), members.end(),
                       [&](std::size_t member) { return place == static_cast<std::int64_t>(member); });
  }

  // Edges rise, so the first head that takes the number in is the one whose row runs from the edge above.
  bool takes_in(const Head& head, const Rational& has) const {
    switch (head.kind) {
      case Head::Kind::under:
      case Head::Kind::before: return has < number_of(*head.edge);
      case Head::Kind::at_most: return has <= number_of(*head.edge);
      case Head::Kind::members: return is_one_of(has, policy_.members_of.at(&head));
      case Head::Kind::rest: return true;
    }
    throw std::logic_error("a head of no known kind");
  }

  const Cell& cell_of(const Chart& chart) {
    const Row* row = chart.down ? nullptr : &chart.rows.front();
    for (std::size_t i = 0; !row && i < chart.rows.size(); ++i)
      if (takes_in(chart.rows[i].head, number(policy_.detail_of.at(&*chart.down)))) row = &chart.rows[i];
    if (!row) throw Unready("no row for this player in " + chart.name.text);
    if (!chart.across) return row->cells.front();
    for (std::size_t i = 0; i < chart.across->heads.size(); ++i)
      if (takes_in(chart.across->heads[i], number(policy_.detail_of.at(&chart.across->detail))))
        return row->cells.at(i);
    throw Unready("no column for this player in " + chart.name.text);
  }

  // ---- who speaks

  bool applies(const Voice& voice) {
    if (voice.pack_when && !holds(*voice.pack_when)) return false;
    if (!holds(voice.clauses->when)) return false;
    // Past either end of the range a `size … from` answers nothing and silences no one.
    return !voice.sized || sized(voice).has_value();
  }

  // The smallest step that is not below the detail, and no further off than the rule's own ends. Of a band with a
  // second end, from that one to the largest step that is not above the other detail.
  std::optional<Reach> sized(const Voice& voice) {
    const auto& property = *voice.sized;
    const auto& action = *voice.rule->action;
    const auto held = [&](std::int64_t step) {
      if (voice.smallest) step = std::max(step, *voice.smallest);
      return voice.largest ? std::min(step, *voice.largest) : step;
    };
    Reach reach;
    reach.low = reach.high = held(property.steps_of(number(policy_.detail_of.at(&*action.from))).ceiling());
    if (action.to) reach.high = held(property.steps_of(number(policy_.detail_of.at(&*action.to))).floor());
    const bool within = 0 <= reach.low && reach.low <= reach.high && reach.high <= property.last();
    return within ? std::optional(reach) : std::nullopt;
  }

  // Those of one answer's rules and charts that apply and are not outranked by another of them that applies. That
  // the outranker may itself be outranked makes no difference: nobody is reinstated.
  std::vector<const Voice*> speaking(const std::vector<std::size_t>& concerned) const {
    std::vector<const Voice*> out;
    for (const std::size_t one : concerned) {
      const bool silenced = std::any_of(concerned.begin(), concerned.end(), [&](std::size_t other) {
        return applies_[other] && policy_.voices[other].outranks[one];
      });
      if (applies_[one] && !silenced) out.push_back(&policy_.voices[one]);
    }
    return out;
  }

  // ---- what they say

  Standing standing(const Piece& piece) {
    if (piece.tree->presence == grammar::Piece::Presence::always) return Standing::needed;
    bool need = piece.tree->presence == grammar::Piece::Presence::conditional && holds(piece.tree->when);
    bool suggest = false, omit = false;
    for (const Voice* voice : speaking(piece.voices)) {
      const auto kind = voice->rule->action->kind;
      need |= kind == Action::Kind::need;
      suggest |= kind == Action::Kind::suggest;
      omit |= kind == Action::Kind::omit;
    }
    if (need && omit) return Standing::clash;
    if (need) return Standing::needed;
    if (omit) return Standing::left_out;
    return suggest ? Standing::suggested : Standing::not_in_kit;
  }

  // What some of the voices that speak of a property say.
  struct Said {
    std::vector<Reach> bases, keeps;
    std::int64_t moved = 0;  // by all steps together
    std::optional<std::int64_t> floor, cap;

    // Two of them can't both hold.
    [[nodiscard]] bool clashes() const {
      const auto reach = kept(bases.empty() ? Reach{0, std::numeric_limits<std::int64_t>::max()} : bases.front());
      return bases.size() > 1 || (floor && cap && *floor > *cap) || reach.low > reach.high;
    }
    [[nodiscard]] Reach kept(Reach reach) const {
      for (const Reach& keep : keeps) reach = shared(reach, keep);
      return reach;
    }
    // The one base stays within the range where it is moved to.
    [[nodiscard]] bool lands(const Property& property) const {
      if (is_open(bases.front().low)) return true;  // which has no steps
      return bases.front().low + moved >= 0 && bases.front().high + moved <= property.last();
    }
    // The one base, moved, lifted and narrowed.
    [[nodiscard]] Reach answer() const {
      auto reach = kept(bases.front());
      reach = {reach.low + moved, reach.high + moved};
      if (floor) reach = {std::max(reach.low, *floor), std::max(reach.high, *floor)};
      if (cap) reach = {std::min(reach.low, *cap), std::min(reach.high, *cap)};
      return reach;
    }
  };

  Saying saying(const Voice& voice) {
    if (voice.chart) return {Saying::Kind::base, policy_.reach_of.at(&cell_of(*voice.chart)), &voice};
    const Action& action = *voice.rule->action;
    const auto reach = [&] { return policy_.reach_of.at(&*action.answer); };
    switch (action.kind) {
      case Action::Kind::set: return {Saying::Kind::base, reach(), &voice};
      case Action::Kind::size: return {Saying::Kind::base, *sized(voice), &voice};
      case Action::Kind::keep: return {Saying::Kind::keep, reach(), &voice};
      case Action::Kind::step: return {Saying::Kind::step, {action.steps, action.steps}, &voice};
      case Action::Kind::floor: return {Saying::Kind::floor, reach(), &voice};
      case Action::Kind::cap: return {Saying::Kind::cap, reach(), &voice};
      case Action::Kind::refer: return {Saying::Kind::refer, {}, &voice};
      case Action::Kind::need:
      case Action::Kind::suggest:
      case Action::Kind::omit:
      case Action::Kind::caution: break;
    }
    throw std::logic_error("a rule of no property");
  }
  std::vector<Saying> sayings(const Property& property) {
    std::vector<Saying> all;
    for (const Voice* voice : speaking(property.voices)) all.push_back(saying(*voice));
    return all;
  }

  static void add(const Saying& saying, Said& to) {
    const auto& reach = saying.reach;
    switch (saying.kind) {
      case Saying::Kind::base: return to.bases.push_back(reach);
      case Saying::Kind::step: to.moved += reach.low; return;
      case Saying::Kind::keep: return to.keeps.push_back(reach);
      case Saying::Kind::floor: to.floor = std::max(to.floor.value_or(0), reach.low); return;
      case Saying::Kind::cap: to.cap = std::min(to.cap.value_or(reach.low), reach.low); return;
      case Saying::Kind::refer: return;
    }
  }

  PropertyOutcome decide(const Property& property) {
    using Kind = PropertyOutcome::Kind;
    Said all, safety;
    bool refer = false, ordinary_step = false;
    for (const auto& saying : sayings(property)) {
      refer |= saying.kind == Saying::Kind::refer;
      ordinary_step |= saying.kind == Saying::Kind::step && !saying.of_safety();
      add(saying, all);
      if (saying.of_safety()) add(saying, safety);
    }
    if (refer) return beside_refer(property, safety);
    // Without a base there is no band for keeps to empty.
    if (all.bases.empty() && !(all.floor && all.cap && *all.floor > *all.cap)) return {Kind::gap};
    if (all.clashes()) return {Kind::clash};
    // What a safety rule gives is not moved by an ordinary one.
    if (ordinary_step && !safety.bases.empty()) return {Kind::clash};
    if (!all.bases.empty() && !all.lands(property)) return {Kind::gap};
    return {Kind::answer, answer(property, all.answer())};
  }

  // Safety rules alone: they need no base, and combine as they would without the refer.
  static PropertyOutcome beside_refer(const Property& property, const Said& safety) {
    using Kind = PropertyOutcome::Kind;
    if (safety.clashes()) return {Kind::clash};
    if (!safety.bases.empty() && !safety.lands(property)) return {Kind::gap};
    auto least = safety.floor, most = safety.cap;
    if (!safety.keeps.empty() || !safety.bases.empty()) {
      const auto reach = safety.bases.empty() ? safety.kept(safety.keeps.front()) : safety.answer();
      least = reach.low, most = reach.high;
    }
    const auto told = [&](const auto& step) {
      return step ? std::optional(answer(property, {*step, *step})) : std::nullopt;
    };
    return {Kind::refer, std::nullopt, told(least), told(most)};
  }

  static Answer answer(const Property& property, Reach reach) {
    if (is_open(reach.low)) {
      std::vector<std::string> words;
      for (std::int64_t member = 0; member <= property.last(); ++member)
        if (naive::takes_in(reach, member)) words.push_back(property.shown[static_cast<std::size_t>(member)]);
      std::string text;
      for (std::size_t i = 0; i < words.size(); ++i)
        text += (i == 0 ? "" : i + 1 < words.size() ? ", " : " or ") + words[i];
      return {reach.low, reach.high, text};
    }
    const auto& low = property.shown[static_cast<std::size_t>(reach.low)];
    const auto& high = property.shown[static_cast<std::size_t>(reach.high)];
    return {reach.low, reach.high, (reach.low < reach.high ? low + " to " + high : low) + property.unit};
  }

  const Policy& policy_;
  const Player& player_;
  std::vector<std::optional<Rational>> numbers_;  // by detail, once looked at
  std::vector<bool> applies_;                     // by voice
};

}  // namespace

Outcome evaluate(const Policy& policy, const Player& player) { return Visit(policy, player).outcome(); }

std::map<const Property*, std::vector<Saying>> sayings(const Policy& policy, const Player& player) {
  return Visit(policy, player).sayings();
}

bool can_be(const Policy& policy, const Player& player) {
  return std::none_of(policy.nobody.begin(), policy.nobody.end(),
                      [&](const auto* line) { return holds(policy, player, line->has); });
}

bool holds(const Policy& policy, const Player& player, const std::vector<Condition>& conditions) {
  return Visit(policy, player).holds(conditions);
}

Rational detail_number(const Policy& policy, const Player& player, std::size_t detail) {
  return Visit(policy, player).number(detail);
}

std::string describe(const Outcome& outcome) {
  const auto word = [](Standing standing) {
    switch (standing) {
      case Standing::needed: return "needed";
      case Standing::suggested: return "suggested";
      case Standing::left_out: return "left out";
      case Standing::not_in_kit: return "not in kit";
      case Standing::clash: return "clash";
    }
    return "";
  };
  std::string out;
  for (const auto& [name, piece] : outcome.pieces) {
    out += name + ": " + word(piece.standing) + "\n";
    for (const auto& [of, told] : piece.properties) {
      using Kind = PropertyOutcome::Kind;
      out += "  " + of + ": ";
      out += told.kind == Kind::gap     ? "gap"
             : told.kind == Kind::clash ? "clash"
             : told.kind == Kind::refer ? "refer"
                                        : "";
      if (told.least) out += ", at least " + told.least->text;
      if (told.most) out += ", at most " + told.most->text;
      out += (told.answer ? told.answer->text : "") + "\n";
    }
  }
  for (const auto& name : outcome.cautions) out += "caution " + name + "\n";
  return out;
}

Player read_player(const Policy& policy, const std::map<std::string, std::string>& texts) {
  Player player;
  for (const auto& [name, text] : texts) {
    const Detail& detail = policy.detail(name);
    if (!detail.ask) throw Unready(name + " is not asked");
    if (detail.ask->domain.kind != Domain::Kind::amount) {
      player[name] = text;
      continue;
    }
    const Source source("a reading", text);
    const auto value = read_value(source);
    if (!value) throw Unready("neither a quantity nor a day: " + text);
    if (const auto* date = std::get_if<Date>(&*value))
      player[name] = day_of(*date);
    else
      player[name] = worth(std::get<Quantity>(*value));
  }
  return player;
}

}  // namespace lacestay::naive
