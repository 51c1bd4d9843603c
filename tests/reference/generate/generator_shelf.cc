#include "tests/reference/generate/generator_shelf.hpp"

#include <algorithm>
#include <set>
#include <vector>

#include "tests/reference/draw.hpp"

namespace lacestay::naive {

namespace {

using grammar::Action;
using Form = grammar::Domain::Kind;

bool is_choice(const Property& property) { return property.tree->domain.kind == Form::choice; }
bool is_grades(const Property& property) { return property.tree->domain.kind == Form::grades; }
bool is_band(const Property& property) { return property.tree->domain.band; }
bool is_length(const Property& property) {
  return property.tree->domain.kind == Form::amount && !is_band(property) &&
         dimension_of(property.last_written()) == Dimension::length;
}
bool is_flex(const Property& property) { return property.unit == " flex"; }

// One or two of the conditions the policy's own rules have, word by word; nothing where they have none.
std::string condition(const Policy& policy, Draw& draw) {
  std::vector<std::string> known;
  for (const auto& voice : policy.voices)
    for (const auto& each : voice.clauses->when) known.emplace_back(each.span.text());
  if (known.empty()) return "";
  auto text = draw.pick(known);
  if (draw.chance(35)) text += ", " + draw.pick(known);
  return text;
}

// An answer as a policy writes it. Not every step is one: thirds of an inch have no decimals.
bool writable(const Property& property, std::int64_t step) {
  return property.answers[static_cast<std::size_t>(step)].find('/') == std::string::npos;
}
std::string written(const Property& property, std::int64_t low, std::int64_t high) {
  const auto& from = property.answers[static_cast<std::size_t>(low)];
  const auto& to = property.answers[static_cast<std::size_t>(high)];
  return (low < high ? from + " to " + to : from) + property.unit;
}

constexpr auto any_condition = "  if none in stock, any condition\n";

class Shelving {
 public:
  Shelving(const Policy& policy, std::uint64_t seed)
      : policy_(policy), draw_(seed * 3 + 2), open_draw_(seed * 7 + 4), goods_draw_(seed * 11 + 6) {}

  std::string run() {
    for (const auto& piece : policy_.pieces) {
      for (const auto& property : piece.properties) add_safety(piece, property);
      if (piece.tree->presence != grammar::Piece::Presence::conditional || !draw_.chance(50)) continue;
      const auto* action = draw_.chance(60) ? "need " : "suggest ";
      const bool safety = draw_.chance(40);
      rule(action + piece.name, condition(policy_, draw_), safety);
    }
    for (const auto& piece : policy_.pieces)
      if (draw_.chance(90)) accept(piece);
    // Nothing that is proved turns on which pieces go together.
    const auto& pieces = policy_.pieces;
    for (std::size_t i = 0; i + 1 < pieces.size() && i < 3 && draw_.chance(25); ++i)
      for (const bool turned : {false, true}) {
        if (turned && !goods_draw_.chance(40)) continue;
        text_ += "\n" + pieces[i + (turned ? 1 : 0)].name + " goes with " + pieces[i + (turned ? 0 : 1)].name + "\n";
      }
    settle();
    return text_;
  }

 private:
  void rule(const std::string& action, const std::string& conditions, bool safety, const std::string& outranks = "") {
    text_ += "\nrule shelf_" + std::to_string(rules_++) + "\n  " + action + "\n";
    if (!conditions.empty()) text_ += "  for " + conditions + "\n";
    if (!outranks.empty()) text_ += "  outranks " + outranks + "\n";
    if (safety) text_ += "  safety\n";
  }

  // A base of a safety rule; it outranks the other bases, so that it is no clash of itself.
  void add_safety(const Piece& piece, const Property& property) {
    const auto name = piece.name + " " + property.name;
    std::string others;
    std::vector<std::string> sizes;
    for (const auto index : property.voices) {
      const auto& voice = policy_.voices[index];
      const auto* action = voice.rule ? &*voice.rule->action : nullptr;
      const bool base = !action || action->kind == Action::Kind::set || action->kind == Action::Kind::size;
      const bool step = action && action->kind == Action::Kind::step && !voice.clauses->safety && draw_.chance(70);
      if (base || step) others += (others.empty() ? "" : ", ") + voice.name;
      if (!action || action->kind != Action::Kind::size) continue;
      sizes.emplace_back(action->from->span.text());
      if (action->to) sizes.back() += " to " + std::string(action->to->span.text());
    }
    if (draw_.chance(35)) {
      auto action = "set " + name + " to ";
      const bool band = is_band(property);  // which is written with both its ends
      const auto low = draw_.between(0, property.last() - (band ? 1 : 0));
      const auto high = band ? draw_.between(low + 1, property.last()) : low;
      if (is_choice(property) && open_draw_.chance(40))
        action += "any of them";
      else if (!sizes.empty() && draw_.chance(60))
        action = "size " + name + " from " + draw_.pick(sizes);
      else if (writable(property, low) && writable(property, high))
        action += written(property, low, high);
      else
        action.clear();
      if (!action.empty()) rule(action, condition(policy_, draw_), true, others);
    }
    if (!draw_.chance(8)) return;
    const bool safety = draw_.chance(50);
    rule("refer " + name, condition(policy_, draw_), safety);
  }

  // A safety rule speaks of it: then `any` is refused.
  [[nodiscard]] bool may_be_protection(const Piece& piece) const {
    if (text_.find(piece.name) != std::string::npos) return true;
    std::set<std::size_t> all(piece.voices.begin(), piece.voices.end());
    for (const auto& property : piece.properties) all.insert(property.voices.begin(), property.voices.end());
    return std::any_of(all.begin(), all.end(), [&](std::size_t i) { return policy_.voices[i].clauses->safety; });
  }

  // Whom a piece's accept lines are for: mostly all; some players, the others left without; or two lines, which now
  // and then meet.
  std::vector<std::string> players() {
    const auto drawn = draw_.between(1, 100);
    if (drawn <= 55) return {""};
    if (drawn <= 70) return {condition(policy_, draw_)};
    if (drawn <= 78) return {condition(policy_, draw_), condition(policy_, draw_)};
    for (const auto& detail : policy_.details) {
      if (!detail.ask || detail.ask->domain.members.size() < 2) continue;
      const auto& members = detail.ask->domain.members;
      const auto first = draw_.place(members.size());
      std::string others;
      for (std::size_t i = 0; i < members.size(); ++i)
        if (i != first) others += (others.empty() ? "" : ", ") + members[i].text;
      return {detail.name + " " + members[first].text, detail.name + " " + others};
    }
    return {""};
  }

  void accept(const Piece& piece) {
    const auto lines = players();
    for (const auto& whom : lines)
      if (!whom.empty() || lines.size() == 1) accept(piece, whom);
  }

  void accept(const Piece& piece, const std::string& whom) {
    static const std::vector<std::string> relations = {"as advised", "at least advised", "at most advised"};
    std::vector<std::string> asked;
    std::vector<const Property*> related;
    const auto length = std::find_if(piece.properties.begin(), piece.properties.end(), is_length);
    for (const auto& property : piece.properties) {
      if (draw_.chance(25)) continue;
      if ((is_choice(property) || is_grades(property)) && draw_.chance(15)) {
        asked.push_back(property.name + " " + draw_.pick(property.answers));
        continue;
      }
      related.push_back(&property);
      if (is_band(property)) {
        const bool cut = is_flex(property) && length != piece.properties.end() && draw_.chance(70);
        asked.push_back(property.name + " within advised" + (cut ? " once cut to " + length->name : ""));
        continue;
      }
      const auto first = is_choice(property) ? relations.front() : draw_.pick(relations);
      asked.push_back((draw_.chance(15) ? piece.name + " " : "") + property.name + " " + first);
      if (!is_choice(property) && draw_.chance(10)) asked.push_back(property.name + " " + draw_.pick(relations));
    }
    if (asked.empty() || draw_.chance(15)) asked.emplace_back("condition new");
    if (draw_.chance(10)) asked.emplace_back("certified until today");
    if (draw_.chance(8)) asked.emplace_back("price under 40 GBP");
    if (draw_.chance(8)) asked.emplace_back("made at most 2 years before today");
    const bool any_too = !may_be_protection(piece);
    const bool wants_new = std::find(asked.begin(), asked.end(), "condition new") != asked.end();
    const bool used_too = any_too && wants_new && goods_draw_.chance(50);
    if (any_too) ask_of_goods(!wants_new || used_too, asked);
    if (any_too && wants_new) sold_new_.insert(piece.name);
    const auto looks_at_used = goods_draw_.between(0, 1);
    for (const auto* property : related) related_.emplace_back(&piece, property);
    text_ += "\naccept " + piece.name + " with ";
    for (std::size_t i = 0; i < asked.size(); ++i) text_ += (i ? ", " : "") + asked[i];
    text_ += (whom.empty() ? "" : " for " + whom) + "\n";
    if (used_too && looks_at_used == 0) text_ += any_condition;
    for (auto lines = draw_.between(0, 3); lines > 0; --lines) {
      const auto instead = look_instead(related, any_too);
      if (!instead.empty()) text_ += "  if none in stock, " + instead + "\n";
    }
    if (used_too && looks_at_used == 1) text_ += any_condition;
  }

  // Of used goods alone, or of new ones alone.
  void ask_of_goods(bool used, std::vector<std::string>& asked) {
    const auto whose = [&] { return used && goods_draw_.chance(70) ? " if used" : " if new"; };
    if (goods_draw_.chance(25))
      asked.push_back("price at most " + std::to_string(goods_draw_.between(2, 8) * 10) + " GBP" + whose());
    if (goods_draw_.chance(20))
      asked.push_back("made at most " + std::to_string(goods_draw_.between(1, 3)) + " years before today" + whose());
  }

  std::string look_instead(const std::vector<const Property*>& related, bool any_too) {
    if (related.empty() || draw_.chance(12)) return draw_.chance(50) ? "refer" : "order";
    const auto& property = *draw_.pick(related);
    if (any_too && draw_.chance(30)) return "any " + property.name;
    if (is_choice(property)) return "";
    static const std::vector<std::string> far = {"one step", "one step", "two steps", "three steps"};
    const auto steps = draw_.pick(far);
    return steps + (draw_.chance(50) ? " up in " : " down in ") + property.name;
  }

  // Where the limit is short: by properties that an accept line holds to the advice.
  void settle() {
    std::string lines;
    for (const auto& [piece, property] : related_) {
      if (!draw_.chance(25)) continue;
      const bool any = !may_be_protection(*piece) && draw_.chance(30);
      if (!any && is_choice(*property)) continue;
      const auto line = std::string("  settle for ") +
                        (any                ? "any "
                         : draw_.chance(60) ? "one step down in "
                                            : "two steps up in ") +
                        piece->name + " " + property->name;
      if (lines.find(line) != std::string::npos) continue;
      const auto whom = draw_.chance(40) ? condition(policy_, draw_) : "";
      lines += line + (whom.empty() ? "" : " for " + whom) + "\n";
    }
    for (const auto& piece : sold_new_) {
      if (!goods_draw_.chance(30)) continue;
      const auto whom = goods_draw_.chance(40) ? condition(policy_, goods_draw_) : "";
      lines += "  settle for any " + piece + " condition" + (whom.empty() ? "" : " for " + whom) + "\n";
    }
    if (!lines.empty()) text_ += "\nover the limit\n" + lines;
  }

  const Policy& policy_;
  // `open_draw_`: of what is left open, `goods_draw_`: of new and used goods; so that what a seed gives else stays as
  // it was.
  Draw draw_, open_draw_, goods_draw_;
  std::string text_;
  std::size_t rules_ = 0;
  std::vector<std::pair<const Piece*, const Property*>> related_;  // held to the advice by an accept line
  std::set<std::string> sold_new_;                                 // pieces of which a line wants new goods
};

class Claiming {
 public:
  Claiming(const Policy& policy, std::uint64_t seed) : policy_(policy), draw_(seed * 5 + 3) {}

  std::string run() {
    for (const auto& piece : policy_.pieces)
      for (const auto& property : piece.properties)
        for (auto wanted = draw_.between(1, 3); wanted > 0; --wanted) claim(piece, property);
    return text_;
  }

 private:
  void claim(const Piece& piece, const Property& property) {
    const auto says = is_choice(property) ? of_members(property) : bounds(property);
    if (says.empty()) return;
    const auto* of = draw_.chance(15) ? "the advice of " : "";
    const auto conditions = draw_.chance(45) ? condition(policy_, draw_) : "";
    text_ += std::string("make sure ") + of + piece.name + " " + property.name + " is " + says +
             (conditions.empty() ? "" : " for " + conditions) + "\n";
  }

  std::string of_members(const Property& property) {
    auto members = property.answers;
    draw_.shuffle(members);
    members.resize(static_cast<std::size_t>(draw_.between(1, property.last() + 1)));
    std::string all;
    for (const auto& member : members) all += (all.empty() ? "" : " or ") + member;
    return all;
  }

  // A bound at, or a step beside, one that a rule speaks of: there a claim only just holds, or only just doesn't.
  std::string bounds(const Property& property) {
    std::vector<std::int64_t> steps = {0, property.last()};
    for (const auto index : property.voices) {
      const auto& voice = policy_.voices[index];
      std::vector<const grammar::Cell*> cells;
      if (voice.rule && voice.rule->action->answer) cells.push_back(&*voice.rule->action->answer);
      if (voice.chart)
        for (const auto& row : voice.chart->rows)
          for (const auto& cell : row.cells) cells.push_back(&cell);
      for (const auto* cell : cells) {
        const auto& reach = policy_.reach_of.at(cell);
        steps.push_back(reach.low);
        steps.push_back(reach.high);
      }
    }
    const auto drawn = [&] {
      auto step = draw_.pick(steps);
      if (draw_.chance(40)) step += draw_.between(-1, 1);
      return std::clamp<std::int64_t>(step, 0, property.last());
    };
    const auto one = drawn();
    const auto other = drawn();
    if (!writable(property, one) || !writable(property, other)) return "";
    const auto form = draw_.between(1, 100);
    if (form <= 40) return "at least " + written(property, one, one);
    if (form <= 80) return "at most " + written(property, one, one);
    return one == other ? "" : "within " + written(property, std::min(one, other), std::max(one, other));
  }

  const Policy& policy_;
  Draw draw_;
  std::string text_;
};

}  // namespace

std::string shelf_for(const Policy& policy, std::uint64_t seed) { return Shelving(policy, seed).run(); }
std::string shelf_claims_for(const Policy& policy, std::uint64_t seed) { return Claiming(policy, seed).run(); }

}  // namespace lacestay::naive
