#include "tests/reference/shelf.hpp"

#include <algorithm>

namespace lacestay::naive {

using namespace grammar;

namespace {

bool is_binding(const Saying& saying) {
  if (saying.kind == Saying::Kind::refer) return false;
  return saying.of_safety() || (saying.of_pack() && saying.kind != Saying::Kind::base);
}
// It gives the base or moves it, so an item is held to where that comes to.
bool makes_base(const Saying& saying) { return saying.kind == Saying::Kind::base || saying.kind == Saying::Kind::step; }

// A floor, cap or keep; a base says nothing of a value by itself.
bool keeps(const Saying& saying, const Rational& value) {
  switch (saying.kind) {
    case Saying::Kind::floor: return value >= saying.reach.low;
    case Saying::Kind::cap: return value <= saying.reach.low;
    case Saying::Kind::keep:
      if (is_open(saying.reach.low)) return is_one_of(saying.reach.low, value);
      return value >= saying.reach.low && value <= saying.reach.high;
    case Saying::Kind::base:
    case Saying::Kind::step:
    case Saying::Kind::refer: break;
  }
  return true;
}

bool allows(const Claim& claim, const naive::Property& property, const Rational& value) {
  if (claim.allowed.empty()) return false;
  if (property.step > 0) return claim.allowed.front() <= value && value <= claim.allowed.back();
  return std::any_of(claim.allowed.begin(), claim.allowed.end(), [&](std::int64_t at) { return value == at; });
}

// The tag on the item.
bool priced(const Requirement& requirement, const Rational& price) {
  const auto bound = worth(*requirement.amount);
  switch (requirement.relation) {
    case grammar::Relation::under: return price < bound;
    case grammar::Relation::at_most: return price <= bound;
    case grammar::Relation::over: return price > bound;
    default: return price >= bound;
  }
}

// Not longer ago than so many years, nor on a day to come: the same day of that year; of 29 February, 1 March.
bool young_enough(const Requirement& requirement, const std::optional<Day>& made, Day today) {
  if (!made || *made > today) return false;
  const std::chrono::year_month_day day(*made);
  auto then = day + std::chrono::years(requirement.amount->parts.front().numerator);
  if (!then.ok()) then = then.year() / std::chrono::March / 1;
  return Day(then) >= today;
}

}  // namespace

// ---- what the policy says

Shelf::Shelf(const Policy& policy) : policy_(policy) {
  for (const auto& file : policy_.files)
    for (const auto& item : file.items) {
      if (const auto* accept = std::get_if<Accept>(&item.form)) add(*accept);
      if (const auto* plan = std::get_if<OverTheLimit>(&item.form))
        for (const auto& step : plan->steps)
          if (step.kind == PlanStep::Kind::settle) add(step);
      if (const auto* link = std::get_if<GoesWith>(&item.form)) {
        const auto piece = piece_called(link->piece.joined()), partner = piece_called(link->partner.joined());
        not_sold_.emplace_back(piece, partner);
        // Said of both, the first line alone says whose items name the others.
        if (std::find(links_.begin(), links_.end(), std::pair(partner, piece)) == links_.end())
          links_.emplace_back(piece, partner);
      }
      if (const auto* named = std::get_if<Protection>(&item.form))
        for (const auto& phrase : named->pieces) protect(phrase);
    }
  for (const auto& voice : policy_.voices) {
    if (!voice.clauses->safety) continue;
    if (voice.chart) protect(voice.chart->gives);
    if (voice.rule)
      for (const auto& phrase : voice.rule->action->targets) protect(phrase);
  }
}

void Shelf::protect(const Phrase& phrase) {
  const auto name = phrase.joined();
  for (std::size_t piece = 0; piece < policy_.pieces.size(); ++piece)
    for (const auto& own : names_of(piece))
      if (own == name || property_named(piece, name)) protection_.insert(piece);
}

std::size_t Shelf::piece_called(const std::string& name) const {
  return static_cast<std::size_t>(std::find_if(policy_.pieces.begin(), policy_.pieces.end(),
                                               [&](const Piece& piece) { return piece.name == name; }) -
                                  policy_.pieces.begin());
}

// Its own, and those of its groups.
std::vector<std::string> Shelf::names_of(std::size_t piece) const {
  std::vector<std::string> all = {policy_.pieces[piece].name};
  for (const auto& [name, pieces] : policy_.groups)
    if (std::find(pieces.begin(), pieces.end(), piece) != pieces.end()) all.push_back(name);
  return all;
}

// By `piece_property`, the piece's own name or a group's.
std::optional<std::size_t> Shelf::property_named(std::size_t piece, const std::string& joined) const {
  const auto& properties = policy_.pieces[piece].properties;
  for (std::size_t i = 0; i < properties.size(); ++i)
    for (const auto& name : names_of(piece))
      if (joined == name + "_" + properties[i].name) return i;
  return std::nullopt;
}

void Shelf::add(const Accept& accept) {
  for (std::size_t piece = 0; piece < policy_.pieces.size(); ++piece) {
    const auto& of = policy_.pieces[piece];
    const auto names = names_of(piece);
    if (std::find(names.begin(), names.end(), accept.piece.joined()) == names.end()) continue;
    const auto named = [&](const std::string& name) {
      const auto found = property_named(piece, name);
      return found ? found : property_named(piece, of.name + "_" + name);
    };
    Line line;
    line.tree = &accept;
    for (const auto& requirement : accept.requirements) {
      line.of_requirement.emplace_back();
      line.cut_to.emplace_back();
      line.member.emplace_back();
      if (requirement.kind <= Relation::within) line.of_requirement.back() = named(requirement.column.joined());
      if (requirement.once_cut_to) {
        line.cut = line.cut_to.back() = named(requirement.once_cut_to->joined());
        line.felt = line.of_requirement.back();
      }
      if (requirement.kind != Relation::is) continue;
      for (std::size_t i = 0; i < of.properties.size(); ++i)
        for (std::size_t at = 0; at < of.properties[i].answers.size(); ++at) {
          const auto words = of.properties[i].name + "_" + of.properties[i].answers[at];
          if (requirement.column.joined() != words && requirement.column.joined() != of.name + "_" + words) continue;
          line.of_requirement.back() = i;
          line.member.back() = static_cast<std::int64_t>(at);
        }
    }
    for (const auto& instead : accept.instead)
      line.of_instead.push_back(instead.column ? named(instead.column->joined()) : std::nullopt);
    lines_[piece].push_back(std::move(line));
  }
}

void Shelf::add(const PlanStep& step) {
  for (std::size_t piece = 0; piece < policy_.pieces.size(); ++piece)
    if (const auto property = property_named(piece, step.other->column->joined()))
      settling_.push_back({&step, piece, *property});
    else if (step.other->column->joined() == policy_.pieces[piece].name + "_condition")
      settling_.push_back({&step, piece, policy_.pieces[piece].properties.size()});
}

Fitted Shelf::fitted(const Player& player) const {
  return {player, evaluate(policy_, player), sayings(policy_, player)};
}

// ---- one player

bool Shelf::in_kit(std::size_t piece, const Fitted& player) const {
  const auto standing = player.outcome.pieces.at(policy_.pieces[piece].name).standing;
  return standing == Standing::needed || standing == Standing::suggested;
}

const PropertyOutcome& Shelf::told(std::size_t piece, std::size_t property, const Fitted& player) const {
  const auto& of = policy_.pieces[piece];
  return player.outcome.pieces.at(of.name).properties.at(of.properties[property].name);
}

bool Shelf::referred(std::size_t piece, const Fitted& player) const {
  for (std::size_t i = 0; i < policy_.pieces[piece].properties.size(); ++i)
    if (told(piece, i, player).kind == PropertyOutcome::Kind::refer) return true;
  return false;
}

std::vector<ShelfStage> Shelf::stages(std::size_t piece) const {
  const auto lines = lines_.find(piece);
  if (lines == lines_.end()) return {};
  std::vector<ShelfStage> all;
  for (std::size_t line = 0; line < lines->second.size(); ++line) {
    all.push_back({line, {}, {}});
    const auto& instead = lines->second[line].tree->instead;
    for (std::size_t i = 0; i < instead.size(); ++i) {
      if (instead[i].kind == Instead::Kind::refer || instead[i].kind == Instead::Kind::order) break;
      all.push_back({line, i, {}});
    }
    for (std::size_t i = 0; i < settling_.size(); ++i)
      if (settling_[i].piece == piece) all.push_back({line, {}, i});
  }
  return all;
}

std::optional<Shelf::Elsewhere> Shelf::elsewhere(std::size_t piece, ShelfStage stage) const {
  if (stage.settled) return Elsewhere{&*settling_[*stage.settled].tree->other, settling_[*stage.settled].property};
  if (!stage.instead) return std::nullopt;
  const auto& line = line_at(piece, stage);
  const auto none = policy_.pieces[piece].properties.size();
  return Elsewhere{&line.tree->instead[*stage.instead], line.of_instead[*stage.instead].value_or(none)};
}

bool Shelf::lets_used(std::size_t piece, ShelfStage stage) const {
  const auto other = elsewhere(piece, stage);
  return other && other->property == policy_.pieces[piece].properties.size();
}

bool Shelf::is_for(const Line& line, const Fitted& player) const {
  return holds(policy_, player.player, line.tree->when);
}

bool Shelf::two_lines(std::size_t piece, const Fitted& player) const {
  const auto lines = lines_.find(piece);
  return lines != lines_.end() && std::count_if(lines->second.begin(), lines->second.end(),
                                                [&](const Line& line) { return is_for(line, player); }) > 1;
}

// A stage that takes any value frees it from the advice; a member that every item must have stands.
std::vector<Shelf::Relation> Shelf::relations(std::size_t piece, std::size_t property, ShelfStage stage) const {
  const auto& line = line_at(piece, stage);
  const auto other = elsewhere(piece, stage);
  const bool freed = other && other->tree->kind == Instead::Kind::any && other->property == property;
  std::vector<Relation> all;
  for (std::size_t i = 0; i < line.of_requirement.size(); ++i) {
    const auto kind = line.tree->requirements[i].kind;
    if (line.of_requirement[i] == property && (kind == Relation::is || !freed)) all.push_back(kind);
  }
  return all;
}

std::int64_t Shelf::moved(std::size_t piece, std::size_t property, ShelfStage stage) const {
  const auto other = elsewhere(piece, stage);
  return other && other->tree->kind == Instead::Kind::step && other->property == property ? other->tree->steps : 0;
}

bool Shelf::past_the_range(std::size_t piece, ShelfStage stage, const Fitted& player) const {
  for (std::size_t i = 0; i < policy_.pieces[piece].properties.size(); ++i) {
    const auto by = moved(piece, i, stage);
    const auto& answer = *told(piece, i, player).answer;
    if (is_open(answer.low)) continue;
    if (answer.low + by < 0 || answer.high + by > policy_.pieces[piece].properties[i].last()) return true;
  }
  return false;
}

std::vector<std::int64_t> Shelf::within_limits(std::size_t piece, std::size_t property, const Fitted& player) const {
  std::vector<std::int64_t> all;
  const auto& of = policy_.pieces[piece].properties[property];
  const auto said = player.sayings.find(&of);
  for (std::int64_t step = 0; step <= of.last(); ++step)
    if (said == player.sayings.end() || std::all_of(said->second.begin(), said->second.end(), [&](const auto& saying) {
          return !is_binding(saying) || keeps(saying, step);
        }))
      all.push_back(step);
  return all;
}

bool Shelf::has_safe_base(std::size_t piece, std::size_t property, const Fitted& player) const {
  const auto said = player.sayings.find(&policy_.pieces[piece].properties[property]);
  return said != player.sayings.end() && std::any_of(said->second.begin(), said->second.end(), [](const auto& saying) {
           return is_binding(saying) && makes_base(saying);
         });
}

// A limit that leaves every value there is asks for none.
bool Shelf::asks(std::size_t piece, std::size_t property, ShelfStage stage, const Fitted& player) const {
  if (!relations(piece, property, stage).empty()) return true;
  const auto last = policy_.pieces[piece].properties[property].last();
  for (std::int64_t step = 0; step <= last; ++step)
    if (!may_have(piece, property, stage, player, step, step)) return true;
  return false;
}

bool Shelf::may_have(std::size_t piece, std::size_t property, ShelfStage stage, const Fitted& player,
                     const Rational& own, const Rational& read) const {
  const auto& line = line_at(piece, stage);
  const auto& answer = *told(piece, property, player).answer;
  const auto asked = relations(piece, property, stage);
  const auto by = moved(piece, property, stage);
  // What is felt past the declared range is no step of it, as a value written past it is none.
  if (read < 0 || read > policy_.pieces[piece].properties[property].last()) return false;
  for (std::size_t i = 0; i < line.of_requirement.size(); ++i) {
    const auto kind = line.tree->requirements[i].kind;
    if (line.of_requirement[i] != property || std::find(asked.begin(), asked.end(), kind) == asked.end()) continue;
    const auto& value = line.cut_to[i] ? read : own;
    const bool one_of_them = is_open(answer.low) && is_one_of(answer.low, value);
    const bool low_enough = one_of_them || (!is_open(answer.low) && value <= answer.high + by);
    const bool high_enough = one_of_them || (!is_open(answer.low) && value >= answer.low + by);
    if (kind == Relation::is && value != *line.member[i]) return false;
    if (kind == Relation::at_least && !high_enough) return false;
    if (kind == Relation::at_most && !low_enough) return false;
    if ((kind == Relation::as_advised || kind == Relation::within) && !(high_enough && low_enough)) return false;
  }
  const auto said = player.sayings.find(&policy_.pieces[piece].properties[property]);
  if (said == player.sayings.end()) return true;
  for (const auto& saying : said->second) {
    if (!is_binding(saying)) continue;
    if (!keeps(saying, read)) return false;
    if (!makes_base(saying)) continue;
    // The answer, relation by relation; kept to where none lets an item have more, or less. `tier club` names a member
    // and relates nothing to the advice.
    const auto only = [&](Relation sought) {
      const auto relates = [](Relation kind) { return kind != Relation::is; };
      return std::any_of(asked.begin(), asked.end(), relates) &&
             std::all_of(asked.begin(), asked.end(), [&](Relation kind) { return kind == sought || !relates(kind); });
    };
    const bool kept_low = !only(Relation::at_most), kept_high = !only(Relation::at_least);
    if (is_open(answer.low) && !is_one_of(answer.low, read)) return false;
    if (is_open(answer.low)) continue;
    if ((kept_low && read < answer.low) || (kept_high && read > answer.high)) return false;
  }
  return true;
}

std::vector<std::int64_t> Shelf::steps(std::size_t piece, std::size_t property, ShelfStage stage,
                                       const Fitted& player) const {
  const auto& line = line_at(piece, stage);
  if (!in_kit(piece, player) || referred(piece, player) || !is_for(line, player)) return {};
  const auto by = moved(piece, property, stage);
  const auto& of = policy_.pieces[piece].properties[property];
  const auto& answer = *told(piece, property, player).answer;
  if (!is_open(answer.low) && (answer.low + by < 0 || answer.high + by > of.last())) return {};
  std::set<std::int64_t> all;
  for (std::int64_t own = 0; own <= of.last(); ++own) {
    const auto read = line.cut == property ? std::min(own, answer.low) : own;
    if (may_have(piece, property, stage, player, own, read)) all.insert(read);
  }
  return {all.begin(), all.end()};
}

// ---- claims

bool Shelf::broken_by_advice(const Claim& claim, const Fitted& player) const {
  if (!in_kit(claim.piece, player) || !holds(policy_, player.player, claim.tree->when)) return false;
  const auto& outcome = told(claim.piece, claim.property, player);
  if (outcome.kind != PropertyOutcome::Kind::answer) return false;
  const auto allowed = [&](std::int64_t step) {
    return std::binary_search(claim.allowed.begin(), claim.allowed.end(), step);
  };
  const auto& answer = *outcome.answer;
  if (!is_open(answer.low)) return !allowed(answer.low) || !allowed(answer.high);
  for (std::int64_t member = 0; member <= policy_.pieces[claim.piece].properties[claim.property].last(); ++member)
    if (is_one_of(answer.low, member) && !allowed(member)) return true;
  return false;
}

bool Shelf::broken_by_item(const Claim& claim, ShelfStage stage, std::int64_t step, const Fitted& player) const {
  if (claim.tree->advice || !holds(policy_, player.player, claim.tree->when)) return false;
  if (stage.settled && !holds(policy_, player.player, settling_[*stage.settled].tree->when)) return false;
  const auto may = steps(claim.piece, claim.property, stage, player);
  return std::binary_search(may.begin(), may.end(), step) &&
         !std::binary_search(claim.allowed.begin(), claim.allowed.end(), step);
}

bool Shelf::broken(const Claim& claim, const std::vector<Fitted>& everybody) const {
  const auto last = policy_.pieces[claim.piece].properties[claim.property].last();
  for (const auto& player : everybody) {
    if (broken_by_advice(claim, player)) return true;
    for (const auto stage : stages(claim.piece))
      for (std::int64_t step = 0; step <= last; ++step)
        if (broken_by_item(claim, stage, step, player)) return true;
  }
  return false;
}

// ---- one item

std::vector<Rational> Shelf::tried(const Property& property, const ShelfCell& cell, const Rational& one) const {
  std::vector<Rational> values(cell.members.begin(), cell.members.end());
  if (!cell.amount) return values;
  const auto& [low, high] = *cell.amount;
  values.push_back(low), values.push_back(high);
  for (std::int64_t step = 0; step <= property.last(); ++step)
    if (const auto at = property.amount_at(step) / one; low < at && at < high) values.push_back(at);
  return values;
}

bool Shelf::fits_beside(std::size_t piece, std::size_t property, ShelfStage stage,
                        const std::vector<const Fitted*>& possible, const ShelfCell& cell) const {
  const auto& of = policy_.pieces[piece].properties[property];
  if (cell.blank())
    return std::none_of(possible.begin(), possible.end(),
                        [&](const Fitted* player) { return asks(piece, property, stage, *player); });
  const auto values = tried(of, cell, 1);
  return std::any_of(values.begin(), values.end(), [&](const Rational& value) {
    const auto counted = cell.amount ? of.steps_of(value) : value;
    return std::all_of(possible.begin(), possible.end(), [&](const Fitted* player) {
      return may_have(piece, property, stage, *player, counted, counted);
    });
  });
}

// A shaft and its flex are tried together: what it feels like turns on how much is cut.
bool Shelf::fits_cut(std::size_t piece, ShelfStage stage, const std::vector<const Fitted*>& possible,
                     const ShelfItem& item) const {
  const auto& line = line_at(piece, stage);
  const auto& flex = policy_.pieces[piece].properties[*line.felt];
  const auto& length = policy_.pieces[piece].properties[*line.cut];
  const auto& flex_cell = item.values[*line.felt];
  const auto& length_cell = item.values[*line.cut];
  const auto open = [&](std::size_t property) { return fits_beside(piece, property, stage, possible, {}); };
  if (length_cell.blank()) return open(*line.cut) && open(*line.felt);
  const auto cut = length.amount_at(told(piece, *line.cut, *possible.front()).answer->low);
  for (const auto& whole : tried(length, length_cell, 1)) {
    const auto stands = std::min(whole, cut);
    if (!std::all_of(possible.begin(), possible.end(), [&](const Fitted* player) {
          return may_have(piece, *line.cut, stage, *player, length.steps_of(whole), length.steps_of(stands));
        }))
      continue;
    if (flex_cell.blank() && open(*line.felt)) return true;
    const auto stiffer = (whole / stands) * (whole / stands) * (whole / stands);
    for (const auto& stamped : tried(flex, flex_cell, stiffer))
      if (std::all_of(possible.begin(), possible.end(), [&](const Fitted* player) {
            return may_have(piece, *line.felt, stage, *player, flex.steps_of(stamped),
                            flex.steps_of(stamped * stiffer));
          }))
        return true;
  }
  return false;
}

bool Shelf::fits(std::size_t piece, ShelfStage stage, const std::vector<const Fitted*>& possible, const ShelfItem& item,
                 Day day) const {
  const auto& line = line_at(piece, stage);
  const auto in_date = item.certified_until && *item.certified_until >= day;
  if (!item.on_hand) return false;
  if (protection_.contains(piece) && (item.used || (item.certified_until && !in_date))) return false;
  for (const auto& requirement : line.tree->requirements) {
    if (requirement.kind == Relation::in_date && !in_date) return false;
    if (requirement.goods == (item.used ? Requirement::Goods::only_new : Requirement::Goods::only_used)) continue;
    if (requirement.kind == Relation::is && requirement.column.joined() == "condition_new" && item.used &&
        !lets_used(piece, stage))
      return false;
    if (requirement.kind == Relation::price && !priced(requirement, item.price)) return false;
    if (requirement.kind == Relation::made && !young_enough(requirement, item.made, day)) return false;
    if (requirement.kind != Relation::covers) continue;
    const auto covered = item.covers.find(requirement.column.joined());
    if (covered == item.covers.end()) return false;
    const auto& detail = policy_.detail(requirement.column.joined());
    const auto measured =
        detail_number(policy_, possible.front()->player, static_cast<std::size_t>(&detail - policy_.details.data()));
    if (measured < covered->second.low || measured > covered->second.high) return false;
  }
  for (std::size_t i = 0; i < policy_.pieces[piece].properties.size(); ++i) {
    if (line.felt && (i == *line.felt || i == *line.cut)) continue;
    if (!fits_beside(piece, i, stage, possible, item.values[i])) return false;
  }
  return !line.felt || fits_cut(piece, stage, possible, item);
}

std::optional<Shelf::Looked> Shelf::look(std::size_t piece, const std::vector<const Fitted*>& possible,
                                         const std::vector<ShelfItem>& items, Day day) const {
  using Kind = HandedOver::Kind;
  std::vector<const Fitted*> with;
  for (const auto* player : possible)
    if (in_kit(piece, *player)) with.push_back(player);
  if (with.empty()) return std::nullopt;
  if (with.size() < possible.size()) return Looked{HandedOver{Kind::not_certain, {}, {}}, 0, {}};
  // The line that is for all of them; where one is for some alone, a detail is missing.
  const auto lines = lines_.find(piece);
  std::optional<std::size_t> own;
  bool for_some = false;
  for (std::size_t i = 0; lines != lines_.end() && i < lines->second.size(); ++i) {
    const auto count =
        std::count_if(with.begin(), with.end(), [&](const auto* player) { return is_for(lines->second[i], *player); });
    if (count == static_cast<std::ptrdiff_t>(with.size())) own = i;
    for_some = for_some || count > 0;
  }
  if (!own && !for_some) return Looked{HandedOver{Kind::not_sold, {}, {}}, 0, {}};
  for (std::size_t i = 0; i < policy_.pieces[piece].properties.size(); ++i)
    if (std::all_of(with.begin(), with.end(),
                    [&](const auto* player) { return told(piece, i, *player).kind == PropertyOutcome::Kind::refer; }))
      return Looked{HandedOver{Kind::refer, {}, {}}, 0, {}};
  if (!own || std::any_of(with.begin(), with.end(), [&](const auto* player) { return referred(piece, *player); }))
    return Looked{HandedOver{Kind::not_certain, {}, {}}, 0, {}};
  // What the line looks at must be certain.
  const auto& line = lines->second[*own];
  for (std::size_t i = 0; i < line.of_requirement.size(); ++i) {
    const auto& requirement = line.tree->requirements[i];
    for (const auto* player : with) {
      const auto alike = [&](const std::optional<std::size_t>& property) {
        return !property || told(piece, *property, *player) == told(piece, *property, *with.front());
      };
      const bool looks = requirement.kind <= Relation::within;
      if (looks && !(alike(line.of_requirement[i]) && alike(line.cut_to[i])))
        return Looked{HandedOver{Kind::not_certain, {}, {}}, 0, {}};
      if (requirement.kind != Relation::covers) continue;
      const auto name = requirement.column.joined();
      const auto& detail = policy_.detail(name);
      const auto index = static_cast<std::size_t>(&detail - policy_.details.data());
      if (detail_number(policy_, player->player, index) != detail_number(policy_, with.front()->player, index))
        return Looked{HandedOver{Kind::not_certain, {}, {}}, 0, {}};
    }
  }
  Looked looked{{}, *own, {}};
  for (const auto stage : stages(piece)) {
    if (stage.line != *own || stage.settled) continue;
    auto& here = looked.stages.emplace_back(stage, std::vector<std::size_t>());
    if (std::any_of(with.begin(), with.end(), [&](const auto* one) { return past_the_range(piece, stage, *one); }))
      continue;
    for (std::size_t i = 0; i < items.size(); ++i)
      if (fits(piece, stage, with, items[i], day)) here.second.push_back(i);
  }
  return looked;
}

bool Shelf::may_settle(std::size_t piece, ShelfStage stage, const std::vector<const Fitted*>& possible,
                       const ShelfItem& item, Day day) const {
  return std::all_of(possible.begin(), possible.end(),
                     [&](const auto* player) {
                       return is_for(line_at(piece, stage), *player) &&
                              holds(policy_, player->player, settling_[*stage.settled].tree->when) &&
                              !past_the_range(piece, stage, *player);
                     }) &&
         fits(piece, stage, possible, item, day);
}

HandedOver Shelf::past_shelf(std::size_t piece, std::size_t line_at, const std::vector<const Fitted*>& with) const {
  using Kind = HandedOver::Kind;
  const auto& line = lines_.at(piece)[line_at];
  // Nothing meets what binds all of them. Where that is not alike for all, what is missing is a detail.
  for (std::size_t i = 0; i < policy_.pieces[piece].properties.size(); ++i)
    for (const auto* player : with) {
      const bool base = has_safe_base(piece, i, *player);
      if (base != has_safe_base(piece, i, *with.front()) ||
          within_limits(piece, i, *player) != within_limits(piece, i, *with.front()) ||
          (base && told(piece, i, *player) != told(piece, i, *with.front())))
        return HandedOver{Kind::not_certain, {}, {}};
    }
  for (std::size_t i = 0; i < line.tree->instead.size(); ++i) {
    if (line.tree->instead[i].kind == Instead::Kind::refer) return HandedOver{Kind::refer, {}, i};
    if (line.tree->instead[i].kind == Instead::Kind::order) return HandedOver{Kind::order, {}, i};
  }
  return HandedOver{Kind::none, {}, {}};
}

std::optional<HandedOver> Shelf::hand_over(std::size_t piece, const std::vector<const Fitted*>& possible,
                                           const std::vector<ShelfItem>& items, Day day) const {
  const auto looked = look(piece, possible, items, day);
  if (!looked) return std::nullopt;
  if (looked->decided) return looked->decided;
  for (const auto& [stage, all] : looked->stages)
    if (!all.empty()) return HandedOver{HandedOver::Kind::items, all, stage.instead};
  return past_shelf(piece, looked->line, possible);
}

// ---- what must hold, whatever the stage

std::string Shelf::breaks(std::size_t piece, const std::vector<const Fitted*>& possible, const ShelfItem& item,
                          const std::vector<const Claim*>& proved, Day day) const {
  const auto& of = policy_.pieces[piece];
  std::vector<const Fitted*> with;
  for (const auto* player : possible)
    if (in_kit(piece, *player)) with.push_back(player);
  const auto& lines = lines_.at(piece);
  const auto own = std::find_if(lines.begin(), lines.end(), [&](const Line& line) {
    return std::all_of(with.begin(), with.end(), [&](const auto* player) { return is_for(line, *player); });
  });
  if (own == lines.end()) return "no accept line is for him";
  const auto& line = *own;
  if (protection_.contains(piece) && item.used) return "it is used, and protects";
  if (protection_.contains(piece) && item.certified_until && *item.certified_until < day) return "it is out of date";
  // Of one player and a value as it is read: the rule or claim that it breaks.
  const auto broken = [&](std::size_t property, const Fitted& player, const std::optional<Rational>& value) {
    std::string what;
    const auto said = player.sayings.find(&of.properties[property]);
    if (said != player.sayings.end())
      for (const auto& saying : said->second) {
        if (!is_binding(saying)) continue;
        bool kept = value ? keeps(saying, *value)
                          : !makes_base(saying) && keeps(saying, 0) && keeps(saying, of.properties[property].last());
        if (value && makes_base(saying)) {
          const auto& answer = *told(piece, property, player).answer;
          const auto asked = relations(piece, property, {static_cast<std::size_t>(own - lines.begin()), {}, {}});
          const auto only = [&](Relation kind) {
            const auto relates = [](Relation one) { return one != Relation::is; };
            return std::any_of(asked.begin(), asked.end(), relates) &&
                   std::all_of(asked.begin(), asked.end(), [&](Relation one) { return one == kind || !relates(one); });
          };
          kept = is_open(answer.low) ? is_one_of(answer.low, *value)
                                     : (only(Relation::at_most) || *value >= answer.low) &&
                                           (only(Relation::at_least) || *value <= answer.high);
        }
        if (!kept) what = saying.voice->name;
      }
    for (const auto* claim : proved) {
      if (claim->piece != piece || claim->property != property || claim->tree->advice) continue;
      if (!holds(policy_, player.player, claim->tree->when)) continue;
      const bool all = claim->allowed.size() == of.properties[property].answers.size();
      if (value ? !allows(*claim, of.properties[property], *value) : !all)
        what = "make sure " + claim->tree->subject.joined();
    }
    return what;
  };
  const auto all_keep = [&](std::size_t property, const std::optional<Rational>& value, std::string& what) {
    for (const auto* player : with)
      if (auto one = broken(property, *player, value); !one.empty()) {
        what = of.properties[property].name + ": " + one;
        return false;
      }
    return true;
  };
  for (std::size_t i = 0; i < of.properties.size(); ++i) {
    if (line.felt && (i == *line.felt || i == *line.cut)) continue;
    std::string what;
    const auto& cell = item.values[i];
    const auto values = tried(of.properties[i], cell, 1);
    const bool some = std::any_of(values.begin(), values.end(), [&](const Rational& value) {
      return all_keep(i, cell.amount ? of.properties[i].steps_of(value) : value, what);
    });
    if (!some && !(cell.blank() && all_keep(i, std::nullopt, what))) return what;
  }
  if (!line.felt) return "";
  const auto &flex = of.properties[*line.felt], &length = of.properties[*line.cut];
  const auto &flex_cell = item.values[*line.felt], &length_cell = item.values[*line.cut];
  const auto cut = length.amount_at(told(piece, *line.cut, *with.front()).answer->low);
  std::string what;
  if (length_cell.blank())
    return all_keep(*line.cut, std::nullopt, what) && all_keep(*line.felt, std::nullopt, what) ? "" : what;
  for (const auto& whole : tried(length, length_cell, 1)) {
    const auto stands = std::min(whole, cut);
    if (!all_keep(*line.cut, length.steps_of(stands), what)) continue;
    if (flex_cell.blank() && all_keep(*line.felt, std::nullopt, what)) return "";
    const auto stiffer = (whole / stands) * (whole / stands) * (whole / stands);
    for (const auto& stamped : tried(flex, flex_cell, stiffer))
      if (all_keep(*line.felt, flex.steps_of(stamped * stiffer), what)) return "";
  }
  return what;
}

}  // namespace lacestay::naive
