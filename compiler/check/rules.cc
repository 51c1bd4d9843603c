// Rules: what each does, to what, and for whom.
#include <fmt/format.h>

#include <algorithm>

#include "compiler/check/names.hpp"

namespace lacestay::compiler {

using grammar::Action;

namespace {

Effect effect_of(Action::Kind kind) {
  switch (kind) {
    case Action::Kind::set:
    case Action::Kind::size: return Effect::base;
    case Action::Kind::keep: return Effect::keep;
    case Action::Kind::floor: return Effect::floor;
    case Action::Kind::cap: return Effect::cap;
    case Action::Kind::step: return Effect::step;
    case Action::Kind::need: return Effect::need;
    case Action::Kind::suggest: return Effect::suggest;
    case Action::Kind::omit: return Effect::omit;
    case Action::Kind::refer: return Effect::refer;
    case Action::Kind::caution: return Effect::caution;
  }
  return Effect::base;
}

}  // namespace

RuleId Checker::new_rule(const grammar::Word& name, RuleText::Kind kind, const grammar::Clauses& clauses,
                         std::size_t file, const grammar::Span& head) {
  const auto id = static_cast<RuleId>(policy.rules.size());
  const auto& from = files[file];
  RuleText text;
  text.kind = kind;
  text.name = from.pack ? from.pack_name + ": " + name.text : name.text;
  text.because = clauses.because ? clauses.because->text : "";
  text.source = clauses.source ? clauses.source->text : "";
  text.safety = clauses.safety.has_value();
  text.span = head;
  if (!clauses.when.empty()) {
    text.whom = clauses.when.front().span;
    text.whom->end = clauses.when.back().span.end;
  }
  const auto key = from.pack ? from.pack_name + "_" + name.text : name.text;
  if (const auto [known, fresh] = rule_names.emplace(key, id); !fresh)
    diagnostics
        .add("names-2", name.span, fmt::format("There are two rules or charts called '{}'.", text.name),
             "give one of them another name")
        .notes.push_back({"the first one", policy.rules[known->second].span});
  for (const auto& under : clauses.outranks) written_outranks_.push_back({id, file, &under});
  policy.rules.push_back(std::move(text));
  return id;
}

// The rule's own conditions, and those under which its pack holds.
std::vector<DraftTest> Checker::applies_when(const grammar::Clauses& clauses, std::size_t file) {
  auto all = tests(clauses.when, files[file].pack).value_or(std::vector<DraftTest>{});
  if (files[file].only_for.empty()) return all;
  auto of_pack = tests(files[file].only_for, true);
  if (!of_pack) files[file].only_for.clear();  // told of once, not for each of the pack's rules
  for (auto& test : of_pack.value_or(std::vector<DraftTest>{})) all.push_back(std::move(test));
  return all;
}

bool Checker::restricts_only(const grammar::Rule& rule, const grammar::Item& item, std::size_t file) {
  if (!files[file].pack) return true;
  switch (rule.action->kind) {
    case Action::Kind::set:
    case Action::Kind::size:
    case Action::Kind::step:
    case Action::Kind::suggest:
    case Action::Kind::refer:
      diagnostics
          .add("parts-4", rule.action->span,
               "A pack of house rules may only restrict: need, omit, floor, cap, keep or caution.",
               "leave this to the shop's own policy")
          .notes.push_back({"the rule", item.head});
      return false;
    default: return true;
  }
}

// Of need, suggest and omit. False where something was said, which holds of a group's other pieces as well.
bool Checker::add_piece(std::uint32_t piece, const grammar::Phrase& phrase, DraftRule& made) {
  const auto& text = policy.pieces[piece];
  if (std::find(made.targets.begin(), made.targets.end(), piece) != made.targets.end()) {
    diagnostics.add("names-2", phrase.span, fmt::format("'{}' stands here twice.", text.name), "keep one of the two");
    return false;
  }
  if (made.effect == Effect::omit && policy.tables.presence[piece] != Presence::optional) {
    diagnostics
        .add("rules-2", phrase.span,
             fmt::format("{} is declared to be in the kit, so it can't be left out.", text.name),
             fmt::format("declare it optional, and let rules need it: piece {} optional", text.name))
        .notes.push_back({"declared here", text.span});
    return false;
  }
  made.targets.push_back(piece);
  return true;
}

// Of refer: properties, or all that whole pieces have.
void Checker::add_referred(const grammar::Phrase& phrase, DraftRule& made) {
  const auto before = diagnostics.size();
  const auto several = grouped(phrase);
  const auto target = several ? std::nullopt : target_named(phrase);
  std::vector<std::uint32_t> named;
  std::vector<std::string> without_any;  // pieces of which nothing can be left to the fitter
  if (several ? !several->property.empty() : target && !target->piece) {
    named = properties_named(phrase);
  } else {
    for (const auto index : several  ? pieces_named(phrase)
                            : target ? std::vector{target->index}
                                     : std::vector<std::uint32_t>{}) {
      const auto& piece = policy.pieces[index];
      for (std::uint32_t i = 0; i < piece.properties; ++i) named.push_back(piece.first_property + i);
      const bool refused_one = std::any_of(targets.begin(), targets.end(), [&](const auto& each) {
        return each.second.index == told_target && each.first.rfind(piece.name + "_", 0) == 0;
      });
      if (piece.properties == 0 && !refused_one) without_any.push_back(piece.name);
    }
  }
  if (diagnostics.size() != before) return;
  if (!without_any.empty())
    diagnostics.add("rules-2", phrase.span,
                    fmt::format("{} {} no properties, so there is nothing to ask the fitter.", listed(without_any),
                                without_any.size() == 1 ? "has" : "have"),
                    fmt::format("declare a property under piece {}", without_any.front()) +
                        (several ? ", or name the others one by one" : ""));
  for (const auto property : named) {
    if (std::find(made.targets.begin(), made.targets.end(), property) != made.targets.end()) {
      const auto& text = policy.properties[property];
      diagnostics.add("names-2", phrase.span,
                      fmt::format("{} {} stands here twice.", policy.pieces[text.piece].name, text.name),
                      "name it once, by itself or with its whole piece");
      return;
    }
    made.targets.push_back(property);
  }
}

// What does for a choice what floor and cap do along an order.
std::string Checker::instead_of_limits(std::uint32_t property, bool in_pack) const {
  const auto& text = policy.properties[property];
  const auto steps = policy.tables.answers[property].steps;
  if (steps > most_left_open)
    return in_pack ? "leave this to the shop's own policy" : "use set, with outranks where two meet";
  const auto any_of_them = answer_of(all_members(steps));
  return fmt::format("say which of them may be, as in: keep {} {} within {}", policy.pieces[text.piece].name, text.name,
                     text.write_for_policy(any_of_them, any_of_them));
}

void Checker::check_rule(const grammar::Rule& rule, const grammar::Item& item, std::size_t file) {
  const auto id = new_rule(rule.name, RuleText::Kind::rule, rule.clauses, file, item.head);
  if (!rule.action) {
    diagnostics.add("rules-1", item.head, fmt::format("The rule '{}' does nothing.", rule.name.text),
                    "say what it does, as in: need neck_guard");
    return;
  }
  if (!restricts_only(rule, item, file)) return;
  const auto& action = *rule.action;
  const auto before = diagnostics.size();
  DraftRule made;
  made.id = id;
  made.effect = policy.rules[id].effect = effect_of(action.kind);
  made.safety = rule.clauses.safety.has_value();
  made.file = file;
  made.when = applies_when(rule.clauses, file);
  made.rows = {DraftRow{}};
  policy.rules[id].entries = {action.span};
  switch (action.kind) {
    case Action::Kind::caution:
      policy.rules[id].caution = action.text->text;
      made.targets = {static_cast<std::uint32_t>(policy.cautions.size())};
      policy.cautions.push_back(id);
      break;
    case Action::Kind::need:
    case Action::Kind::suggest:
    case Action::Kind::omit:
      for (const auto& phrase : action.targets)
        for (const auto piece : pieces_named(phrase))
          if (!add_piece(piece, phrase, made)) break;
      break;
    case Action::Kind::refer:
      for (const auto& phrase : action.targets) add_referred(phrase, made);
      break;
    default: {
      const auto properties = properties_named(action.targets.front());
      if (properties.empty()) break;
      const auto property = properties.front();  // the others are declared alike
      const auto& space = policy.tables.answers[property];
      const auto name = policy.pieces[policy.properties[property].piece].name + " " + policy.properties[property].name;
      const bool lifts = action.kind == Action::Kind::floor || action.kind == Action::Kind::cap;
      const auto refuse = [&](std::string message, std::string hint) {
        diagnostics.add("rules-2", action.span, std::move(message), std::move(hint));
      };
      if (lifts && space.band) {
        const auto& text = policy.properties[property];
        const auto bound = grammar::span_of(*action.answer).text();
        const bool floor = action.kind == Action::Kind::floor;
        refuse(name + " is a band; floor and cap are for one grade or size.",
               fmt::format("narrow it: keep {} within {} to {}", name, floor ? std::string(bound) : text.write(0, 0),
                           floor ? text.write(space.steps - 1, space.steps - 1) : std::string(bound)));
        break;
      }
      const bool keeps = action.kind == Action::Kind::keep;
      if ((lifts && !space.ordered) || (keeps && space.ordered && !space.band)) {
        refuse(name + (space.ordered ? " is no band and no choice; keep narrows those."
                                     : " is a choice without an order, so it has no floor and no cap."),
               space.ordered ? "use floor and cap" : instead_of_limits(property, files[file].pack));
        break;
      }
      if (keeps && !space.ordered && space.steps > most_left_open) {
        refuse(fmt::format("{} is one of {}; keep narrows a choice of at most {}.", name, space.steps, most_left_open),
               instead_of_limits(property, files[file].pack));
        break;
      }
      if (action.kind == Action::Kind::step && (space.band || !space.ordered)) {
        refuse(name + (space.band ? " is a band; steps are for one grade or size."
                                  : " is a choice without an order, so it has no steps."),
               space.band ? "write the band that is meant, in a chart or by set"
                          : "use set, with outranks where two meet");
        break;
      }
      made.targets = properties;
      if (action.kind == Action::Kind::step) {
        made.rows.front().low = made.rows.front().high = action.steps;
        break;
      }
      if (action.kind == Action::Kind::size) {
        check_size(action, property, made);
        break;
      }
      const auto steps = answer(*action.answer, property);
      if (steps) made.rows.front().low = steps->first, made.rows.front().high = steps->second;
    }
  }
  if (diagnostics.size() != before) made.targets.clear();  // so that nothing more is said of what it outranks
  rules.push_back(std::move(made));
}

void Checker::check_rules() {
  each<grammar::Piece>([&](const grammar::Piece& form, const grammar::Item& item, std::size_t file) {
    if (form.presence != grammar::Piece::Presence::conditional) return;
    const auto piece = pieces.find(form.name.text);
    if (piece == pieces.end()) return;
    DraftRule rule;
    rule.id = static_cast<RuleId>(policy.rules.size());
    rule.effect = Effect::present;
    rule.file = file;
    rule.targets = {piece->second};
    rule.when = tests(form.when, false).value_or(std::vector<DraftTest>{});
    rule.rows = {DraftRow{}};
    RuleText text;
    text.kind = RuleText::Kind::declaration;
    text.name = form.name.text;
    text.effect = Effect::present;
    text.span = item.head;
    text.entries = {item.head};
    policy.rules.push_back(std::move(text));
    rules.push_back(std::move(rule));
  });
  each<grammar::Chart>([&](const grammar::Chart& chart, const grammar::Item& item, std::size_t file) {
    check_chart(chart, item, file);
  });
  each<grammar::Rule>(
      [&](const grammar::Rule& rule, const grammar::Item& item, std::size_t file) { check_rule(rule, item, file); });
}

}  // namespace lacestay::compiler
