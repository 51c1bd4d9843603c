#include "tests/compiler/proof/z3_model.hpp"

#include <algorithm>

namespace lacestay::judges {

using grammar::Action;
using grammar::MakeSure;

z3::expr Model::can_be() {
  auto all = terms_.inside();
  for (const auto* line : terms_.policy().nobody) all = all && !terms_.meets(line->has);
  return all;
}

// ---- who speaks

const z3::expr& Model::applies(std::size_t index) {
  const auto known = applies_.find(index);
  if (known != applies_.end()) return known->second;
  const auto& voice = terms_.policy().voices[index];
  auto all = terms_.meets(voice.clauses->when);
  if (voice.pack_when) all = all && terms_.meets(*voice.pack_when);
  if (voice.sized) {
    // Past either end of the range it does not speak at all.
    const auto [low, high] = sized(voice);
    all = all && low >= 0 && low <= high && high <= terms_.context().int_val(voice.sized->last());
  }
  return applies_.emplace(index, all).first->second;
}

z3::expr Model::speaks(std::size_t voice, const std::vector<std::size_t>& concerned) {
  auto out = applies(voice);
  for (const auto other : concerned)
    if (terms_.policy().voices[other].outranks[voice]) out = out && !applies(other);
  return out;
}

std::pair<z3::expr, z3::expr> Model::sized(const naive::Voice& voice) {
  const auto& property = *voice.sized;
  auto& context = terms_.context();
  // The last k, up from `before`, of which `reached(k)` holds.
  const auto last_of = [&](std::int64_t before, const auto& reached) {
    auto step = context.int_val(before);
    for (auto k = before + 1; k <= property.last() + 1; ++k) step = z3::ite(reached(k), context.int_val(k), step);
    if (voice.smallest) step = z3::ite(step < context.int_val(*voice.smallest), context.int_val(*voice.smallest), step);
    if (voice.largest) step = z3::ite(step > context.int_val(*voice.largest), context.int_val(*voice.largest), step);
    return step;
  };
  const auto detail = terms_.detail_named(*voice.rule->action->from);
  const auto low = last_of(-1, [&](std::int64_t k) { return terms_.over(detail, property.amount_at(k - 1)); });
  if (!voice.rule->action->to) return {low, low};
  const auto other = terms_.detail_named(*voice.rule->action->to);
  return {low, last_of(-1, [&](std::int64_t k) { return terms_.at_least(other, property.amount_at(k)); })};
}

// ---- what they say

const OfPiece& Model::piece(std::size_t index) {
  const auto known = pieces_.find(index);
  if (known != pieces_.end()) return known->second;
  return pieces_.emplace(index, make(terms_.policy().pieces[index])).first->second;
}

const OfProperty& Model::property(std::size_t of, std::size_t index) {
  const auto known = properties_.find({of, index});
  if (known != properties_.end()) return known->second;
  auto made = make(terms_.policy().pieces[of].properties[index], piece(of).present);
  return properties_.emplace(std::pair(of, index), std::move(made)).first->second;
}

OfPiece Model::make(const naive::Piece& piece) {
  const auto never = terms_.yes(false);
  if (piece.tree->presence == grammar::Piece::Presence::always)
    return {terms_.yes(true), terms_.yes(true), never, never};
  std::vector<z3::expr> needs, suggests, omits;
  if (piece.tree->presence == grammar::Piece::Presence::conditional) needs.push_back(terms_.meets(piece.tree->when));
  for (const auto voice : piece.voices) {
    const auto kind = terms_.policy().voices[voice].rule->action->kind;
    auto& of_kind = kind == Action::Kind::need ? needs : kind == Action::Kind::omit ? omits : suggests;
    of_kind.push_back(speaks(voice, piece.voices));
  }
  const auto need = terms_.any(needs), suggest = terms_.any(suggests), omit = terms_.any(omits);
  return {(need || suggest) && !omit, need && !omit, need && omit, omit && !need};
}

namespace {

struct Base {
  z3::expr speaks, low, high;
  bool safety;
  std::vector<z3::expr> members = {};  // of a choice: it gives this one, or leaves it open
};
struct Held {
  Limit limit;
  bool safety, binds;
};
struct Step {
  z3::expr speaks;
  std::int64_t by;
  bool safety;
};
// Rules of one property, all of them or those of safety.
struct Rules {
  std::vector<Base> bases;
  std::vector<Step> steps;
  std::vector<Held> keeps, floors, caps;
};

// What some rules come to together.
struct Together {
  z3::expr based, past;                  // past: steps lead a base that speaks past the range
  z3::expr two_bases, crossed, emptied;  // emptied: no step of the band is left, where a base speaks
  z3::expr keeps_apart;
  z3::expr low, high;                  // where one base speaks
  z3::expr least, most;                // by floors, caps and keeps alone; -1 for no such end
  std::vector<z3::expr> members = {};  // of a choice: what is left of it, where a base speaks
};

Rules of_safety(Rules rules) {
  const auto other = [](const auto& rule) { return !rule.safety; };
  std::erase_if(rules.bases, other);
  std::erase_if(rules.steps, other);
  for (auto* held : {&rules.keeps, &rules.floors, &rules.caps}) std::erase_if(*held, other);
  return rules;
}

Together together(const Terms& terms, const Rules& rules, std::int64_t last) {
  const auto step = [&](std::int64_t at) { return terms.context().int_val(at); };
  const auto raise = [&](z3::expr& to, const z3::expr& when, std::int64_t at) {
    to = z3::ite(when && to < step(at), step(at), to);
  };
  const auto lower = [&](z3::expr& to, const z3::expr& when, std::int64_t at) {
    to = z3::ite(when && to > step(at), step(at), to);
  };
  std::vector<z3::expr> speak, past, two, crossed, emptied, apart;
  auto low = step(0), high = step(0), least = step(-1), most = step(last + 1);
  auto moved = step(0);
  for (const auto& each : rules.steps) moved = moved + z3::ite(each.speaks, step(each.by), step(0));
  for (std::size_t i = 0; i < rules.bases.size(); ++i) {
    const auto& base = rules.bases[i];
    speak.push_back(base.speaks);
    for (std::size_t k = 0; k < i; ++k) two.push_back(base.speaks && rules.bases[k].speaks);
    auto from = base.low, to = base.high;
    if (!rules.steps.empty()) {
      from = from + moved, to = to + moved;
      past.push_back(base.speaks && (from < step(0) || to > step(last)));
    }
    for (const auto& [keep, safety, binds] : rules.keeps)
      raise(from, keep.speaks, keep.allows.low), lower(to, keep.speaks, keep.allows.high);
    if (!rules.keeps.empty()) emptied.push_back(base.speaks && from > to);
    low = z3::ite(base.speaks, from, low);
    high = z3::ite(base.speaks, to, high);
  }
  for (std::size_t i = 0; i < rules.keeps.size(); ++i)
    for (std::size_t k = 0; k < i; ++k) {
      const auto &a = rules.keeps[i].limit, &b = rules.keeps[k].limit;
      if (a.allows.high < b.allows.low || b.allows.high < a.allows.low) apart.push_back(a.speaks && b.speaks);
    }
  for (const auto& [keep, safety, binds] : rules.keeps)
    raise(least, keep.speaks, keep.allows.low), lower(most, keep.speaks, keep.allows.high);
  for (const auto& floor : rules.floors) {
    const auto& [speaks, allows] = floor.limit;
    for (const auto& cap : rules.caps)
      if (allows.low > cap.limit.allows.high) crossed.push_back(speaks && cap.limit.speaks);
    for (auto* end : {&low, &high, &least}) raise(*end, speaks, allows.low);
  }
  for (const auto& cap : rules.caps)
    for (auto* end : {&low, &high, &most}) lower(*end, cap.limit.speaks, cap.limit.allows.high);
  most = z3::ite(most > step(last), step(-1), most);
  return {terms.any(speak),
          terms.any(past),
          terms.any(two),
          terms.any(crossed),
          terms.any(emptied),
          terms.any(apart),
          low,
          high,
          least,
          most};
}

// Of a choice. Who speaks shuts members out, one by one; what nobody shuts out is left. Two that share no member are a
// clash of the two whatever else is said; where only three leave nothing, one base at most is among them.
Together together_of_choice(const Terms& terms, const Rules& rules, std::int64_t last) {
  const auto number = [&](std::int64_t at) { return terms.context().int_val(at); };
  std::vector<z3::expr> speak, two, narrow, based_left, kept_left, all_out, kept_out, apart, unmet;
  const auto members = static_cast<std::size_t>(last + 1);
  const auto takes_in = [](const Held& keep, std::size_t member) {
    return naive::takes_in(keep.limit.allows, static_cast<std::int64_t>(member));
  };
  for (std::size_t i = 0; i < rules.bases.size(); ++i) {
    const auto& base = rules.bases[i];
    speak.push_back(base.speaks);
    for (std::size_t k = 0; k < i; ++k) two.push_back(base.speaks && rules.bases[k].speaks);
    for (const auto& keep : rules.keeps) {
      std::vector<z3::expr> shared;
      for (std::size_t member = 0; member < members; ++member)
        if (takes_in(keep, member)) shared.push_back(base.members[member]);
      unmet.push_back(base.speaks && keep.limit.speaks && !terms.any(shared));
    }
  }
  for (std::size_t i = 0; i < rules.keeps.size(); ++i) {
    narrow.push_back(rules.keeps[i].limit.speaks);
    for (std::size_t k = 0; k < i; ++k) {
      bool share = false;
      for (std::size_t member = 0; member < members; ++member)
        share = share || (takes_in(rules.keeps[i], member) && takes_in(rules.keeps[k], member));
      if (!share) apart.push_back(narrow[i] && narrow[k]);
    }
  }
  for (std::size_t member = 0; member < members; ++member) {
    std::vector<z3::expr> by_keeps, by_any;
    for (const auto& keep : rules.keeps)
      if (!takes_in(keep, member)) by_keeps.push_back(keep.limit.speaks);
    by_any = by_keeps;
    for (const auto& base : rules.bases) by_any.push_back(base.speaks && !base.members[member]);
    kept_out.push_back(terms.any(by_keeps)), kept_left.push_back(!terms.any(by_keeps));
    all_out.push_back(terms.any(by_any)), based_left.push_back(!terms.any(by_any));
  }
  const auto based = terms.any(speak), one_base = !terms.any(two), pairs = terms.any(apart);
  // As the naive evaluator numbers them.
  const auto numbered = [&](const std::vector<z3::expr>& left) {
    auto bits = number(0);
    for (std::size_t i = 0; i < left.size(); ++i)
      bits = bits + z3::ite(left[i], number(std::int64_t{1} << i), number(0));
    auto answer = bits + number(naive::open_from);
    for (std::size_t i = 0; i < left.size(); ++i)
      answer = z3::ite(bits == number(std::int64_t{1} << i), number(static_cast<std::int64_t>(i)), answer);
    return answer;
  };
  const auto answer = numbered(based_left), beside = z3::ite(terms.any(narrow), numbered(kept_left), number(-1));
  return {based,
          terms.yes(false),
          terms.any(two),
          terms.yes(false),
          based && (pairs || terms.any(unmet) || (one_base && terms.all(all_out))),
          pairs || (one_base && terms.any(narrow) && terms.all(kept_out)),
          answer,
          answer,
          beside,
          beside,
          based_left};
}

}  // namespace

OfProperty Model::make(const naive::Property& property, const z3::expr& present) {
  const auto& policy = terms_.policy();
  const auto step = [&](std::int64_t at) { return terms_.context().int_val(at); };
  Rules rules;
  std::vector<z3::expr> refers;
  const bool choice = property.tree->domain.kind == grammar::Domain::Kind::choice;
  // By member, what the cells that may be met say of it.
  const auto members = [&](const std::vector<std::pair<z3::expr, naive::Reach>>& cells) {
    std::vector<z3::expr> all;
    for (std::int64_t member = 0; choice && member <= property.last(); ++member) {
      std::vector<z3::expr> gives;
      for (const auto& [met, reach] : cells)
        if (naive::takes_in(reach, member)) gives.push_back(met);
      all.push_back(terms_.any(gives));
    }
    return all;
  };
  for (const auto index : property.voices) {
    const auto& voice = policy.voices[index];
    const auto speaking = speaks(index, property.voices);
    const bool safety = voice.clauses->safety.has_value();
    if (voice.chart) {
      const auto where = terms_.cells(*voice.chart);
      Base base{speaking, step(0), step(0), safety};
      std::size_t cell = 0;
      std::vector<std::pair<z3::expr, naive::Reach>> cells;
      for (const auto& row : voice.chart->rows) {
        for (const auto& said : row.cells) {
          const auto& reach = policy.reach_of.at(&said);
          cells.emplace_back(where[cell], reach);
          base.low = z3::ite(where[cell], step(reach.low), base.low);
          base.high = z3::ite(where[cell], step(reach.high), base.high);
          ++cell;
        }
      }
      base.members = members(cells);
      rules.bases.push_back(std::move(base));
      continue;
    }
    const auto& action = *voice.rule->action;
    const auto reach = [&] { return policy.reach_of.at(&*action.answer); };
    const auto held = [&](std::int64_t low, std::int64_t high) {
      return Held{{speaking, {low, high}}, safety, safety || voice.pack_when != nullptr};
    };
    switch (action.kind) {
      case Action::Kind::set:
        rules.bases.push_back(
            {speaking, step(reach().low), step(reach().high), safety, members({{terms_.yes(true), reach()}})});
        break;
      case Action::Kind::size: {
        const auto [low, high] = sized(voice);
        rules.bases.push_back({speaking, low, high, safety});
        break;
      }
      case Action::Kind::step: rules.steps.push_back({speaking, action.steps, safety}); break;
      case Action::Kind::keep: rules.keeps.push_back(held(reach().low, reach().high)); break;
      case Action::Kind::floor: rules.floors.push_back(held(reach().low, property.last())); break;
      case Action::Kind::cap: rules.caps.push_back(held(0, reach().high)); break;
      case Action::Kind::refer: refers.push_back(speaking); break;
      default: break;
    }
  }
  const auto to_fitter = present && terms_.any(refers), owed = present && !terms_.any(refers);
  const auto safe = of_safety(rules);
  const auto come_to = choice ? together_of_choice : together;
  const auto all = come_to(terms_, rules, property.last()), beside = come_to(terms_, safe, property.last());
  const auto two_answers = (owed && all.two_bases) || (to_fitter && beside.two_bases);
  const auto floor_over_cap = (owed && all.crossed) || (to_fitter && beside.crossed);
  const auto band_emptied = (owed && all.emptied) || (to_fitter && (beside.emptied || beside.keeps_apart));
  std::vector<z3::expr> ordinary, safe_steps;
  for (const auto& each : rules.steps) (each.safety ? safe_steps : ordinary).push_back(each.speaks);
  const auto safety_moved = owed && beside.based && terms_.any(ordinary);
  const auto clash = two_answers || floor_over_cap || band_emptied || safety_moved;
  const auto past_range = ((owed && all.past) || (to_fitter && beside.past)) && !clash;
  // Where a floor lies above a cap that is the clash, base or no base.
  const auto gap = owed && !all.based && !all.crossed;
  std::vector<Limit> binding;
  for (const auto* held : {&rules.floors, &rules.caps, &rules.keeps})
    for (const auto& each : *held)
      if (each.binds) binding.push_back(each.limit);
  return {to_fitter,
          owed,
          gap,
          past_range,
          two_answers,
          floor_over_cap,
          safety_moved,
          band_emptied,
          owed && !gap && !past_range && !clash,
          all.low,
          all.high,
          to_fitter && !clash && !past_range,
          z3::ite(beside.based, beside.low, beside.least),
          z3::ite(beside.based, beside.high, beside.most),
          std::move(binding),
          beside.based || terms_.any(safe_steps),
          all.members};
}

// ---- make sure

Subject subject_of(const naive::Policy& policy, const MakeSure& sure) {
  const auto name = sure.subject.joined();
  for (std::size_t i = 0; i < policy.pieces.size(); ++i) {
    if (policy.pieces[i].name == name) return {i, std::nullopt};
    for (std::size_t k = 0; k < policy.pieces[i].properties.size(); ++k)
      if (policy.pieces[i].name + "_" + policy.pieces[i].properties[k].name == name) return {i, k};
  }
  throw NotEncoded("no piece or property " + name);
}

std::optional<std::vector<std::size_t>> moves_along(const naive::Policy& policy, const std::vector<AskedRange>& asked,
                                                    const MakeSure& sure) {
  if (!sure.detail) return std::nullopt;
  const auto subject = subject_of(policy, sure);
  const auto held = naive::rests_on(policy, policy.pieces[subject.piece], *subject.property);
  std::set<std::size_t> matters;
  for (const auto& condition : sure.when) matters.merge(naive::asked_under(policy, condition));
  for (const auto* line : policy.nobody)
    for (const auto& condition : line->has) matters.merge(naive::asked_under(policy, condition));
  std::vector<std::size_t> apart;
  for (std::size_t i = 0; i < asked.size(); ++i)
    if (policy.details[asked[i].detail].name == sure.detail->joined()) apart.push_back(i);
  if (apart.empty()) throw NotEncoded("no asked detail " + sure.detail->joined());
  for (std::size_t i = 0; i < asked.size(); ++i)
    if (i != apart.front() && held.count(asked[i].detail) == 0 && matters.count(asked[i].detail) != 0)
      apart.push_back(i);
  return apart;
}

namespace {

std::int64_t step_of(const naive::Property& property, const grammar::Value& value) {
  if (const auto* phrase = std::get_if<grammar::Phrase>(&value)) {
    const auto found = std::find(property.answers.begin(), property.answers.end(), phrase->joined());
    return found - property.answers.begin();
  }
  return property.steps_of(naive::number_of(value)).floor();
}

}  // namespace

bool allows(const MakeSure& sure, const naive::Property& property, std::int64_t step) {
  if (sure.kind == MakeSure::Kind::one_of) {
    const auto& word = property.answers[static_cast<std::size_t>(step)];
    return std::any_of(sure.members.begin(), sure.members.end(), [&](const auto& each) { return each.text == word; });
  }
  const auto* interval = std::get_if<grammar::Interval>(&*sure.bound);
  const auto& lower = interval ? interval->from : std::get<grammar::Value>(*sure.bound);
  const auto& upper = interval ? interval->to : std::get<grammar::Value>(*sure.bound);
  return (sure.kind == MakeSure::Kind::at_most || step_of(property, lower) <= step) &&
         (sure.kind == MakeSure::Kind::at_least || step <= step_of(property, upper));
}

z3::expr broken(const MakeSure& sure, Model& player) {
  auto& terms = player.terms();
  const auto subject = subject_of(terms.policy(), sure);
  const auto when = terms.meets(sure.when);
  if (!subject.property) {
    const auto& piece = player.piece(subject.piece);
    return when && (sure.kind == MakeSure::Kind::needed ? !piece.needed : piece.present);
  }
  const auto& property = terms.policy().pieces[subject.piece].properties[*subject.property];
  const auto& says = player.property(subject.piece, *subject.property);
  std::vector<z3::expr> wrong;
  for (std::int64_t step = 0; step <= property.last(); ++step)
    if (const auto at = terms.context().int_val(step); !allows(sure, property, step))
      wrong.push_back(says.members.empty() ? says.low == at || says.high == at
                                           : says.members[static_cast<std::size_t>(step)]);
  return when && says.answered && terms.any(wrong);
}

z3::expr broken(const MakeSure& sure, Model& earlier, Model& later) {
  const auto subject = subject_of(earlier.terms().policy(), sure);
  const auto when = earlier.terms().meets(sure.when) && later.terms().meets(sure.when);
  const auto& first = earlier.property(subject.piece, *subject.property);
  const auto& second = later.property(subject.piece, *subject.property);
  const auto moved = sure.kind == MakeSure::Kind::never_falls ? first.low > second.low || first.high > second.high
                                                              : first.low < second.low || first.high < second.high;
  return when && first.answered && second.answered && moved;
}

}  // namespace lacestay::judges
