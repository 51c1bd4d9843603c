// Pieces, their properties, and the rules and charts that speak of them.
#include <algorithm>
#include <utility>

#include "tests/reference/generate/generator_draft.hpp"

namespace lacestay::naive {

using grammar::Unit;
using Kind = DraftProperty::Kind;

// ---- pieces ----------------------------------------------------------------------------------------------

void Draft::add_pieces() {
  std::vector<std::string> names = {"skates", "stick", "helmet", "neck_guard", "body_pads", "kit_bag"};
  draw_.shuffle(names);
  names.resize(static_cast<std::size_t>(draw_.between(1, static_cast<std::int64_t>(settings_.most_pieces))));
  for (const auto& name : names) {
    DraftPiece piece{name, draw_.chance(40), {}};
    std::string presence = "always";
    if (piece.optional)
      presence = "optional";
    else if (draw_.chance(35))
      if (const auto when = conditions(2); !when.empty()) presence = "for " + when;
    count("piece " + presence.substr(0, presence.find(' ')));
    std::string text = "piece " + name + " " + presence;
    if (draw_.chance(20)) text += " \"One of these\"";
    std::set<std::string> taken;
    for (auto wanted = draw_.between(0, 3); wanted > 0; --wanted) {
      std::string line;
      const auto made = property(name, taken, line);
      if (!made) continue;
      piece.properties.push_back(*made);
      taken.insert(made->name);
      text += "\n  " + line;
    }
    pieces_.push_back(std::move(piece));
    items_.emplace_back(part_ && draw_.chance(25) ? Place::part : Place::policy, std::move(text));
  }
}

std::optional<DraftProperty> Draft::property(const std::string& piece, std::set<std::string>& taken,
                                             std::string& line) {
  static const std::vector<std::string> names = {"tier", "toe", "size", "size", "litres", "flex", "sum"};
  const auto name = draw_.pick(names);
  if (taken.contains(name)) return std::nullopt;
  DraftProperty made{piece, name, Kind::grades, {}, Dimension::number, "", 0, 1, 1, {}, 0, {}, {}};
  if (name == "size") {
    auto sized = sized_property(piece, line);
    if (sized) return sized;
  }
  if (name == "tier" || name == "toe" || name == "size") {
    made.kind = name == "toe" ? Kind::choice : Kind::grades;
    made.members = name == "toe" ? std::vector<std::string>{"round", "square", "left"}
                                 : std::vector<std::string>{"entry", "club", "performance", "elite"};
    made.members.resize(static_cast<std::size_t>(draw_.between(2, static_cast<std::int64_t>(made.members.size()))));
    made.last = static_cast<std::int64_t>(made.members.size()) - 1;
    line = name + (name == "toe" ? " choice " : " grades ");
    for (std::size_t i = 0; i < made.members.size(); ++i)
      line += (i ? ", " : "") + made.members[i] + words_shown(made.members[i]);
    count(name == "toe" ? "property choice" : "property grades");
    return made;
  }
  made.kind = name == "litres" ? Kind::range : Kind::band;
  made.unit = name == "flex" ? " flex" : name == "sum" ? " GBP" : "";
  made.dimension = name == "flex" ? Dimension::flex : name == "sum" ? Dimension::money : Dimension::number;
  made.step = draw_.pick(std::vector<Rational>{1, 5, 10});
  made.first = made.step * draw_.between(0, 6);
  made.last = draw_.between(2, 14);
  set_range(made, line, made.kind == Kind::band);
  return made;
}

// A range around a number detail, not always all around it: where it falls short is a gap to be found.
std::optional<DraftProperty> Draft::sized_property(const std::string& piece, std::string& line) {
  std::vector<std::size_t> from;
  for (std::size_t i = 0; i < details_.size(); ++i)
    if (details_[i].is_number() && !details_[i].age && details_[i].splits() && details_[i].high > 0) from.push_back(i);
  if (from.empty()) return std::nullopt;
  const std::size_t index = draw_.pick(from);
  const auto& detail = details_[index];
  DraftProperty made{piece, "size", Kind::range, {}, detail.dimension, "", 0, 1, 1, {}, 0, index, {}};
  struct Choice {
    const char* unit;
    Rational worth;
  };
  static const std::map<Dimension, std::vector<Choice>> units = {
      {Dimension::length, {{" mm", 1}, {" cm", 10}, {" in", worth(Unit::inch)}}},
      {Dimension::weight, {{" kg", 1000}, {" lb", worth(Unit::pound)}}},
      {Dimension::money, {{" GBP", 1}}},
      {Dimension::flex, {{" flex", 1}}},
      {Dimension::number, {{"", 1}, {" flex", 1}}}};
  const auto& unit = draw_.pick(units.at(detail.dimension));
  made.unit = unit.unit, made.one = unit.worth;
  if (made.unit == " flex") made.dimension = Dimension::flex;  // a plain number counts it
  std::erase_if(from, [&](std::size_t other) { return details_[other].dimension != detail.dimension; });
  if (draw_.chance(50)) made.kind = Kind::band, made.sized_to = draw_.pick(from);
  const Rational wanted = (detail.high - detail.low) / draw_.between(2, 8);
  made.step = made.one * std::max<std::int64_t>((wanted / made.one).floor(), 1);
  made.first = made.step * std::max<std::int64_t>((detail.low / made.step).floor() + draw_.between(-1, 1), 0);
  const auto needed = ((detail.high - made.first) / made.step).ceiling();
  made.last = std::clamp<std::int64_t>(needed + draw_.between(-1, 1), 1, 60);
  set_range(made, line, made.kind == Kind::band);
  return made;
}

void Draft::set_range(DraftProperty& property, std::string& line, bool band) {
  const auto in_unit = [&](const Rational& number) { return *decimal(number / property.one); };
  if (!band && draw_.chance(35)) {
    line = property.name + " one of ";
    for (auto at = property.first; std::cmp_less_equal(property.sizes.size(), property.last);
         at = at + property.step * draw_.between(1, 3)) {
      line += (property.sizes.empty() ? "" : ", ") + in_unit(at);
      property.sizes.push_back(at);
    }
    line += property.unit;
    return count("property of uneven sizes");
  }
  line = property.name + (band ? " band " : " ") + in_unit(property.first) + " to " +
         in_unit(property.first + property.step * property.last) + property.unit + " step " + in_unit(property.step) +
         property.unit;
  count(band ? "property band" : "property range");
}

// ---- answers and names -----------------------------------------------------------------------------------

std::string Draft::answer(const DraftProperty& property, std::int64_t at) {
  if (!property.members.empty()) return property.members[static_cast<std::size_t>(at)];
  const Rational value = property.at(at);
  if (draw_.chance(75) || property.unit.empty()) return *decimal(value / property.one) + property.unit;
  return written(value, property.dimension);
}

// What a `set` or a chart's cell may say: one answer, or the two ends of a band.
std::string Draft::any_answer(const DraftProperty& property) {
  if (property.kind != Kind::band) {
    const auto one = answer(property, draw_.between(0, property.last));
    if (property.kind != Kind::choice || !open_draw_.chance(30)) return one;
    return count("a choice left open"), some_of(property, open_draw_);
  }
  const auto low = draw_.between(0, property.last - 1);
  const auto high = draw_.between(low + 1, property.last);
  if (draw_.chance(20)) {
    const auto from = answer(property, low), to = answer(property, high);
    return from + " to " + to;
  }
  return in_unit(property, low) + " to " + in_unit(property, high) + property.unit;
}

// Two members at least, where there are as many.
std::string Draft::some_of(const DraftProperty& property, Draw& draw) {
  if (draw.chance(20)) return "any of them";
  auto members = property.members;
  draw.shuffle(members);
  members.resize(static_cast<std::size_t>(draw.between(2, std::max<std::int64_t>(2, property.last))));
  std::string text;
  for (const auto& member : members) text += (text.empty() ? "" : " or ") + member;
  return text;
}

std::string Draft::in_unit(const DraftProperty& property, std::int64_t at) {
  return *decimal(property.at(at) / property.one);
}

// In a chart's cell, the numbers alone.
std::string Draft::bare_answer(const DraftProperty& property) {
  if (property.kind != Kind::band) return in_unit(property, draw_.between(0, property.last));
  const auto low = draw_.between(0, property.last - 1);
  return in_unit(property, low) + " to " + in_unit(property, draw_.between(low + 1, property.last));
}

// `neck guard` for neck_guard, now and then; not where a number would be left to stand alone.
std::string Draft::reference(const std::string& declared) {
  auto name = declared;
  const auto gap = name.find('_');
  const bool words = gap != std::string::npos && name[gap + 1] >= 'a' && name[gap + 1] <= 'z';
  if (words && draw_.chance(15)) name[gap] = ' ', count("name with a blank");
  return name;
}

std::string Draft::reference(const DraftProperty& property) {
  if (draw_.chance(20)) return count("name with a dot"), property.piece + "." + property.name;
  return reference(property.piece) + " " + property.name;
}

// ---- rules and charts ------------------------------------------------------------------------------------

void Draft::add_clauses(DraftVoice& voice, int condition_chance) {
  if (draw_.chance(condition_chance)) {
    std::set<std::size_t> asked;
    const auto when = conditions(3, voice.place == Place::pack ? &asked : nullptr);
    relied_on_.insert(asked.begin(), asked.end());
    if (!when.empty()) voice.clauses.push_back("for " + when), count("rule or chart with for");
  }
  if (draw_.chance(60)) voice.clauses.emplace_back("because \"That is how it is done here.\"");
  if (draw_.chance(20)) voice.clauses.emplace_back("source \"common practice\"");
}

DraftVoice& Draft::add_rule(const std::string& stem, Place place, const std::string& action, int condition_chance) {
  DraftVoice voice;
  voice.name = stem + "_" + std::to_string(voices_.size());
  voice.head = "rule " + voice.name;
  voice.action = {action};
  voice.place = place == Place::policy && part_ && draw_.chance(30) ? Place::part : place;
  count("rule " + action.substr(0, action.find(' ')) + (place == Place::pack ? " of a pack" : ""));
  add_clauses(voice, condition_chance);
  voices_.push_back(std::move(voice));
  return voices_.back();
}

void Draft::add_base(const DraftProperty& property, bool everyone) {
  const int condition_chance = everyone ? 0 : 80;
  if (property.sized_from && draw_.chance(65)) {
    std::string action = "size " + reference(property) + " from " + details_[*property.sized_from].name;
    if (property.sized_to) action += " to " + details_[*property.sized_to].name, count("size of a band");
    if (property.last > 1 && draw_.chance(50)) {
      const auto smallest = draw_.between(0, property.last - 1), largest = draw_.between(smallest + 1, property.last);
      const bool under = draw_.chance(70), over = !under || draw_.chance(60);
      action += ", never " + std::string(under ? "under " + answer(property, smallest) : "") +
                (under && over ? " or " : "") + (over ? "over " + answer(property, largest) : "");
      count("size with ends");
    }
    auto& rule = add_rule("size", Place::policy, action, condition_chance);
    rule.base = true, rule.answers = {property.key()};
    return;
  }
  if (draw_.chance(60)) {
    const bool bare = !property.unit.empty() && draw_.chance(25);
    if (bare) count("chart of bare numbers");
    const auto lines = chart_lines([&] { return bare ? bare_answer(property) : any_answer(property); });
    if (lines) {
      DraftVoice chart;
      chart.name = "chart_" + std::to_string(voices_.size());
      chart.head = "chart " + chart.name + " gives " + reference(property);
      chart.action = *lines;
      chart.answers = {property.key()};
      chart.base = true;
      if (part_ && draw_.chance(30)) chart.place = Place::part;
      count("chart of a property");
      add_clauses(chart, condition_chance);
      voices_.push_back(std::move(chart));
      return;
    }
  }
  const auto named = reference(property), said = any_answer(property);
  auto& rule = add_rule("set", Place::policy, "set " + named + " to " + said, condition_chance);
  rule.base = true, rule.answers = {property.key()};
}

void Draft::add_bases(const DraftProperty& property) {
  add_base(property, draw_.chance(60));
  for (auto more = draw_.between(0, 5) - 3; more > 0; --more) add_base(property, false);
}

void Draft::add_restriction(const DraftProperty& property, Place place) {
  std::string action;
  if (property.kind == Kind::band) {
    const auto low = draw_.between(0, property.last - 1);
    const auto high = std::min(low + draw_.between(1, 6), property.last);
    action = "keep " + reference(property) + " within " + in_unit(property, low) + " to " + in_unit(property, high) +
             property.unit;
  } else if (property.kind != Kind::choice) {
    const bool floor = draw_.chance(50);
    const auto named = reference(property), at = answer(property, draw_.between(0, property.last));
    action = (floor ? "floor " : "cap ") + named + " at " + at;
  } else {
    return;
  }
  auto& rule = add_rule("limit", place, action, 75);
  rule.answers = {property.key()};
  rule.safety = draw_.chance(30);
}

// Nothing else that is drawn turns on them: what a seed gives stays as it was, but for steps here and there.
void Draft::add_steps() {
  const auto kept = std::exchange(draw_, Draw(kit_seed_ * 7 + 5));
  for (const auto& piece : pieces_)
    for (const auto& property : piece.properties)
      if (property.kind == Kind::grades || property.kind == Kind::range)
        for (auto more = draw_.between(0, 9) - 7; more > 0; --more) add_step(property);
  draw_ = kept;
}

// Up to four of a choice, of one member or two: three of them may leave nothing where each two leave something.
void Draft::add_keeps_of_choices() {
  const auto kept = std::exchange(draw_, Draw(kit_seed_ * 17 + 9));
  for (const auto& piece : pieces_)
    for (const auto& property : piece.properties) {
      if (property.kind != Kind::choice || !draw_.chance(60)) continue;
      for (auto more = draw_.between(1, 4); more > 0; --more) {
        const auto place = pack_ && draw_.chance(30) ? Place::pack : Place::policy;
        const auto some =
            draw_.chance(15) ? answer(property, draw_.between(0, property.last)) : some_of(property, draw_);
        auto& rule = add_rule("limit", place, "keep " + reference(property) + " within " + some, 80);
        rule.answers = {property.key()};
        rule.safety = draw_.chance(30);
        rank_last(property);
        count("a choice kept");
      }
    }
  draw_ = kept;
}

// Two or three pieces under one name, and now and then all of them; what is said of a property, where they have one
// alike.
void Draft::add_groups() {
  const auto kept = std::exchange(draw_, Draw(kit_seed_ * 11 + 3));
  std::vector<const DraftPiece*> all;
  for (const auto& piece : pieces_) all.push_back(&piece);
  if (all.size() > 1 && draw_.chance(25)) {
    auto some = all;
    draw_.shuffle(some);
    some.resize(
        static_cast<std::size_t>(draw_.between(2, std::min<std::int64_t>(3, static_cast<std::int64_t>(all.size())))));
    std::string text = "group padding is ";
    for (const auto* piece : some) text += (piece == some.front() ? "" : ", ") + reference(piece->name);
    items_.emplace_back(Place::policy, text);
    count("group");
    add_group_rules("padding", some);
  }
  if (draw_.chance(15)) add_group_rules("every piece", all);
  if (draw_.chance(15)) add_refer_of_several(all);
  draw_ = kept;
}

void Draft::add_group_rules(const std::string& group, const std::vector<const DraftPiece*>& pieces) {
  const auto alike = [](const DraftProperty& a, const DraftProperty& b) {
    return a.name == b.name && a.kind == b.kind && a.members == b.members && a.dimension == b.dimension &&
           a.first == b.first && a.step == b.step && a.last == b.last && a.sizes == b.sizes;
  };
  const bool named = group != "every piece";
  std::set<std::string> keys;
  for (const auto* piece : pieces) keys.insert(piece->name);
  if (named && draw_.chance(50))
    add_rule("group", Place::policy, (draw_.chance(60) ? "need " : "suggest ") + group, 80).answers = keys;
  for (const auto& property : pieces.front()->properties) {
    keys.clear();
    bool all = true;
    for (const auto* piece : pieces) {
      const auto own = std::find_if(piece->properties.begin(), piece->properties.end(),
                                    [&](const DraftProperty& each) { return each.name == property.name; });
      if (own == piece->properties.end())
        all &= !named;
      else if (alike(property, *own))
        keys.insert(own->key());
      else
        all = false;
    }
    if (!all) continue;
    const auto what = group + " " + property.name;
    const bool moves = property.kind == Kind::grades || property.kind == Kind::range;
    const auto at = answer(property, draw_.between(0, property.last));
    add_rule("group", Place::policy,
             !moves             ? "refer " + what
             : draw_.chance(30) ? "one step up in " + what
             : draw_.chance(50) ? "floor " + what + " at " + at
                                : "cap " + what + " at " + at,
             85)
        .answers = keys;
    count("rule of a group's property");
  }
}

// Two that have properties: of each all of them, or one.
void Draft::add_refer_of_several(std::vector<const DraftPiece*> pieces) {
  std::erase_if(pieces, [](const auto* piece) { return piece->properties.empty(); });
  if (pieces.size() < 2) return;
  draw_.shuffle(pieces);
  std::string text;
  std::set<std::string> keys;
  for (const auto* piece : {pieces[0], pieces[1]}) {
    const auto* one = draw_.chance(50) ? &piece->properties.front() : nullptr;
    text += (text.empty() ? "refer " : ", ") + (one ? reference(*one) : reference(piece->name));
    for (const auto& property : piece->properties)
      if (!one || one == &property) keys.insert(property.key());
  }
  add_rule("refer_several", Place::policy, text, 95).answers = keys;
  count("rule refer of several");
}

void Draft::add_step(const DraftProperty& property) {
  static const std::vector<std::string> moves = {"one step up", "one step up", "one step down", "two steps up",
                                                 "three steps down"};
  const auto move = draw_.pick(moves);
  auto& step = add_rule("step", Place::policy, move + " in " + reference(property), 85);
  step.answers = {property.key()};
  step.safety = draw_.chance(25);
  rank_last(property);
}

// The last voice outranks one other of its property, or one outranks it, or neither: so nothing runs in a circle.
void Draft::rank_last(const DraftProperty& property) {
  if (!draw_.chance(50)) return;
  auto& last = voices_.back();
  std::vector<std::size_t> shared;
  for (std::size_t i = 0; i + 1 < voices_.size(); ++i)
    if (voices_[i].answers.contains(property.key()) && voices_[i].place == last.place) shared.push_back(i);
  if (shared.empty()) return;
  auto& other = voices_[draw_.pick(shared)];
  const bool over = draw_.chance(50);
  auto &upper = over ? last : other, &lower = over ? other : last;
  const bool ranked = std::any_of(upper.clauses.begin(), upper.clauses.end(),
                                  [](const std::string& clause) { return clause.starts_with("outranks"); });
  if (ranked || (lower.safety && !upper.safety)) return;
  upper.clauses.push_back("outranks " + lower.name);
  count("outranks");
}

void Draft::add_presence(Place place) {
  std::vector<const DraftPiece*> some;
  for (const auto& piece : pieces_)
    if (piece.optional || draw_.chance(25)) some.push_back(&piece);
  draw_.shuffle(some);
  static const std::vector<std::string> kinds = {"need", "suggest", "omit"};
  auto kind = draw_.pick(kinds);
  if (kind == "suggest" && place == Place::pack) kind = "need";
  if (kind == "omit") std::erase_if(some, [](const auto* piece) { return !piece->optional; });
  if (some.empty()) return;
  some.resize(
      static_cast<std::size_t>(draw_.between(1, std::min<std::int64_t>(2, static_cast<std::int64_t>(some.size())))));
  std::string action = kind + " ";
  for (std::size_t i = 0; i < some.size(); ++i) action += (i ? ", " : "") + reference(some[i]->name);
  if (some.size() > 1) count("rule of several pieces");
  auto& rule = add_rule(kind, place, action, 80);
  for (const auto* piece : some) rule.answers.insert(piece->name);
  rule.safety = kind == "need" && draw_.chance(30);
}

void Draft::add_caution(Place place) {
  add_rule("caution", place, "caution \"A helmet that took a heavy blow is replaced.\"", 80);
}

void Draft::add_voices() {
  for (const auto& piece : pieces_) {
    for (const auto& property : piece.properties) {
      add_bases(property);
      for (auto more = draw_.between(0, 3); more > 0; --more) add_restriction(property, Place::policy);
      if (pack_ && draw_.chance(40)) add_restriction(property, Place::pack);
      if (draw_.chance(20))
        add_rule("refer", Place::policy, "refer " + reference(property), 95).answers = {property.key()};
    }
    if (!piece.properties.empty() && draw_.chance(10)) {
      auto& rule = add_rule("refer_all", Place::policy, "refer " + reference(piece.name), 95);
      for (const auto& property : piece.properties) rule.answers.insert(property.key());
      count("rule refer of a whole piece");
    }
    if (piece.optional)
      for (auto more = draw_.between(1, 3); more > 0; --more) add_presence(Place::policy);
  }
  if (pack_ && draw_.chance(60)) add_presence(Place::pack);
  for (auto more = draw_.between(0, 2); more > 0; --more) add_caution(Place::policy);
  if (pack_) add_caution(Place::pack);
}

}  // namespace lacestay::naive
