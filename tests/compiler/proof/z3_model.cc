#include "tests/compiler/proof/z3_model.hpp"

#include <algorithm>

namespace lacestay::judges {

using grammar::Action;
using grammar::MakeSure;

// ---- who speaks

const z3::expr& Model::applies(std::size_t index) {
  const auto known = applies_.find(index);
  if (known != applies_.end()) return known->second;
  const auto& voice = terms_.policy().voices[index];
  auto all = terms_.meets(voice.clauses->when);
  if (voice.pack_when) all = all && terms_.meets(*voice.pack_when);
  if (voice.sized) {
    // Past either end of the range it does not speak at all.
    const auto step = sized(voice);
    all = all && step >= 0 && step <= terms_.context().int_val(voice.sized->last());
  }
  return applies_.emplace(index, all).first->second;
}

z3::expr Model::speaks(std::size_t voice, const std::vector<std::size_t>& concerned) {
  auto out = applies(voice);
  for (const auto other : concerned)
    if (terms_.policy().voices[other].outranks[voice]) out = out && !applies(other);
  return out;
}

z3::expr Model::sized(const naive::Voice& voice) {
  const auto& property = *voice.sized;
  const auto detail = terms_.detail_named(*voice.rule->action->from);
  auto step = terms_.context().int_val(-1);
  for (std::int64_t k = 0; k <= property.last() + 1; ++k)
    step = z3::ite(terms_.over(detail, property.first + property.step * (k - 1)), terms_.context().int_val(k), step);
  return step;
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
  if (piece.tree->presence == grammar::Piece::Presence::conditional) {
    const auto when = terms_.meets(piece.tree->when);
    return {when, when, never, never};
  }
  std::vector<z3::expr> needs, suggests, omits;
  for (const auto voice : piece.voices) {
    const auto kind = terms_.policy().voices[voice].rule->action->kind;
    auto& of_kind = kind == Action::Kind::need ? needs : kind == Action::Kind::omit ? omits : suggests;
    of_kind.push_back(speaks(voice, piece.voices));
  }
  const auto need = terms_.any(needs), suggest = terms_.any(suggests), omit = terms_.any(omits);
  return {(need || suggest) && !omit, need && !omit, need && omit, omit && !need};
}

OfProperty Model::make(const naive::Property& property, const z3::expr& present) {
  const auto& policy = terms_.policy();
  const auto step = [&](std::int64_t at) { return terms_.context().int_val(at); };
  struct Base {
    z3::expr speaks, low, high;
  };
  struct Limit {
    z3::expr speaks;
    naive::Reach reach;
    bool safety = false;
  };
  std::vector<Base> bases;
  std::vector<Limit> keeps, floors, caps;
  std::vector<z3::expr> refers;
  for (const auto index : property.voices) {
    const auto& voice = policy.voices[index];
    const auto speaking = speaks(index, property.voices);
    if (voice.chart) {
      const auto where = terms_.cells(*voice.chart);
      Base base{speaking, step(0), step(0)};
      std::size_t cell = 0;
      for (const auto& row : voice.chart->rows) {
        for (const auto& said : row.cells) {
          const auto& reach = policy.reach_of.at(&said);
          base.low = z3::ite(where[cell], step(reach.low), base.low);
          base.high = z3::ite(where[cell], step(reach.high), base.high);
          ++cell;
        }
      }
      bases.push_back(std::move(base));
      continue;
    }
    const auto& action = *voice.rule->action;
    const auto reach = [&] { return policy.reach_of.at(&*action.answer); };
    switch (action.kind) {
      case Action::Kind::set: bases.push_back({speaking, step(reach().low), step(reach().high)}); break;
      case Action::Kind::size: bases.push_back({speaking, sized(voice), sized(voice)}); break;
      case Action::Kind::keep: keeps.push_back({speaking, reach()}); break;
      case Action::Kind::floor: floors.push_back({speaking, reach(), voice.clauses->safety.has_value()}); break;
      case Action::Kind::cap: caps.push_back({speaking, reach()}); break;
      case Action::Kind::refer: refers.push_back(speaking); break;
      default: break;
    }
  }
  const auto owed = present && !terms_.any(refers), referred = present && terms_.any(refers);
  std::vector<z3::expr> base_speaks, two, crossed, emptied;
  for (std::size_t i = 0; i < bases.size(); ++i) {
    base_speaks.push_back(bases[i].speaks);
    for (std::size_t k = 0; k < i; ++k) two.push_back(bases[i].speaks && bases[k].speaks);
  }
  for (const auto& floor : floors)
    for (const auto& cap : caps)
      if (floor.reach.low > cap.reach.low) crossed.push_back(floor.speaks && cap.speaks);
  const auto raise = [&](z3::expr& to, const z3::expr& when, std::int64_t at) {
    to = z3::ite(when && to < step(at), step(at), to);
  };
  const auto lower = [&](z3::expr& to, const z3::expr& when, std::int64_t at) {
    to = z3::ite(when && to > step(at), step(at), to);
  };
  auto low = step(0), high = step(0);
  for (const auto& base : bases) {
    auto from = base.low, to = base.high;
    for (const auto& keep : keeps) raise(from, keep.speaks, keep.reach.low), lower(to, keep.speaks, keep.reach.high);
    if (!keeps.empty()) emptied.push_back(base.speaks && from > to);
    low = z3::ite(base.speaks, from, low);
    high = z3::ite(base.speaks, to, high);
  }
  for (const auto& floor : floors)
    raise(low, floor.speaks, floor.reach.low), raise(high, floor.speaks, floor.reach.low);
  auto safety_floor = step(-1);
  for (const auto& floor : floors)
    if (floor.safety) raise(safety_floor, floor.speaks, floor.reach.low);
  for (const auto& cap : caps) lower(low, cap.speaks, cap.reach.low), lower(high, cap.speaks, cap.reach.low);
  // Where a floor lies above a cap that is the clash, base or no base.
  const auto gap = owed && !terms_.any(base_speaks) && !terms_.any(crossed), two_answers = owed && terms_.any(two),
             floor_over_cap = owed && terms_.any(crossed), band_emptied = owed && terms_.any(emptied);
  const auto answered = owed && !gap && !two_answers && !floor_over_cap && !band_emptied;
  return {owed, gap, two_answers, floor_over_cap, band_emptied, answered, low, high, referred, safety_floor};
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

std::optional<std::size_t> moves_along(const naive::Policy& policy, const std::vector<AskedRange>& asked,
                                       const MakeSure& sure) {
  if (!sure.detail) return std::nullopt;
  for (std::size_t i = 0; i < asked.size(); ++i)
    if (policy.details[asked[i].detail].name == sure.detail->joined()) return i;
  throw NotEncoded("no asked detail " + sure.detail->joined());
}

namespace {

std::int64_t step_of(const naive::Property& property, const grammar::Value& value) {
  if (const auto* phrase = std::get_if<grammar::Phrase>(&value)) {
    const auto found = std::find(property.answers.begin(), property.answers.end(), phrase->joined());
    return found - property.answers.begin();
  }
  return ((naive::number_of(value) - property.first) / property.step).floor();
}

}  // namespace

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
  const auto* interval = std::get_if<grammar::Interval>(&*sure.bound);
  const auto& lower = interval ? interval->from : std::get<grammar::Value>(*sure.bound);
  const auto& upper = interval ? interval->to : std::get<grammar::Value>(*sure.bound);
  const auto below = says.low < terms.context().int_val(step_of(property, lower));
  const auto above = says.high > terms.context().int_val(step_of(property, upper));
  const auto wrong = sure.kind == MakeSure::Kind::at_least  ? below
                     : sure.kind == MakeSure::Kind::at_most ? above
                                                            : below || above;
  return when && says.answered && wrong;
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
