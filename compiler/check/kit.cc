// What a kit can hold: pieces, their properties, and whether something answers each.
#include <fmt/format.h>

#include "compiler/check/names.hpp"
#include "compiler/law/law.hpp"

namespace lacestay::compiler {

namespace {

// Steps past this make tables larger than a shop's spreadsheet ever needs.
constexpr std::int64_t most_steps = 10'000;

std::string with_blanks(std::string name) {
  for (char& c : name)
    if (c == '_') c = ' ';
  return name;
}

}  // namespace

void Checker::declare_property(const grammar::Property& form, std::uint32_t piece) {
  PropertyText text;
  text.name = form.name.text;
  text.label = form.label ? form.label->text : with_blanks(text.name);
  text.piece = piece;
  text.span = form.span;
  AnswerSpace space;
  const auto before = diagnostics.size();
  if (form.domain.kind == grammar::Domain::Kind::amount) {
    std::int64_t low = 0, high = 0;
    read_domain(form.domain, text.scale, low, high);
    if (text.scale.kind == Scale::Kind::day)
      diagnostics.add("domain-1", form.domain.span, "A property can't be a day.",
                      "write grades, a choice, or a range with a step");
    const auto step = diagnostics.size() == before ? ticks(*form.domain.step, due_for(text.scale)) : std::nullopt;
    text.first = low;
    text.step = step.value_or(1);
    space.ordered = true;
    space.band = form.domain.band;
    if (step && *step <= 0) {
      diagnostics.add("domain-4", form.domain.step->span, "A step of nothing leads nowhere.",
                      "write it as in: step 5 mm");
    } else if (step && (high - low) % *step != 0) {
      const auto last = text.scale.write(low + (high - low) / *step * *step);
      diagnostics.add("domain-4", form.domain.step->span, "The range is not a whole number of these steps.",
                      fmt::format("choose another step, or end the range where the steps do: at {}", last));
    } else if (step && (high - low) / *step >= most_steps) {
      diagnostics.add("limits-2", form.domain.step->span, "The range has more than 10,000 steps.",
                      "choose a longer step");
    } else if (step) {
      space.steps = static_cast<std::uint32_t>((high - low) / *step) + 1;
    }
  } else {
    members_once(form.domain, text.scale);
    space.ordered = form.domain.kind == grammar::Domain::Kind::grades;
    space.steps = static_cast<std::uint32_t>(text.scale.members.size());
  }
  if (diagnostics.size() != before) {
    targets.emplace(policy.pieces[piece].name + "_" + text.name, TargetName{false, told_target});
    return;
  }
  read_shown(form.domain, text.scale);
  const auto index = static_cast<std::uint32_t>(policy.properties.size());
  const auto& piece_text = policy.pieces[piece];
  targets.emplace(piece_text.name + "_" + text.name, TargetName{false, index});
  policy.properties.push_back(std::move(text));
  policy.tables.answers.push_back(space);
  policy.tables.piece_of.push_back(piece);
}

void Checker::declare_kit() {
  std::vector<std::pair<std::string, grammar::Span>> known;
  each<grammar::Piece>([&](const grammar::Piece& form, const grammar::Item& item, std::size_t) {
    if (!fresh_name(form.name.text, form.name.span, "pieces", known)) {
      for (const auto& property : form.properties) {
        const auto name = form.name.text + "_" + property.name.text;
        if (targets.count(name) == 0) targets.emplace(name, TargetName{false, told_target});
      }
      return;
    }
    known.emplace_back(form.name.text, form.name.span);
    const auto index = static_cast<std::uint32_t>(policy.pieces.size());
    PieceText text;
    text.name = form.name.text;
    text.label = form.label ? form.label->text : with_blanks(text.name);
    text.span = item.head;
    text.first_property = static_cast<std::uint32_t>(policy.properties.size());
    pieces.emplace(text.name, index);
    targets.emplace(text.name, TargetName{true, index});
    policy.pieces.push_back(std::move(text));
    policy.tables.presence.push_back(form.presence == grammar::Piece::Presence::always     ? Presence::always
                                     : form.presence == grammar::Piece::Presence::optional ? Presence::optional
                                                                                           : Presence::conditional);
    std::vector<std::pair<std::string, grammar::Span>> names;
    for (const auto& property : form.properties) {
      if (!fresh_name(property.name.text, property.name.span, "properties", names)) continue;
      names.emplace_back(property.name.text, property.name.span);
      declare_property(property, index);
    }
    policy.pieces.back().properties =
        static_cast<std::uint32_t>(policy.properties.size()) - policy.pieces.back().first_property;
  });
  if (policy.pieces.empty())
    diagnostics.add("policy-2", files.front().tree.items.front().head,
                    "The policy has no pieces, so there is nothing to advise.",
                    "add a line such as: piece skates always");
}

void Checker::check_owed() {
  std::vector<bool> answered(policy.properties.size());
  for (const auto& rule : rules)
    if (fills_gaps(rule.effect))
      for (const auto property : rule.targets) answered[property] = true;
  for (std::size_t i = 0; i < answered.size(); ++i) {
    if (answered[i]) continue;
    const auto& property = policy.properties[i];
    const auto& piece = policy.pieces[property.piece];
    diagnostics.add(
        "kit-1", property.span,
        fmt::format("Nothing answers {} {}: it has no chart, and no rule sets it.", piece.name, property.name),
        fmt::format("add a chart that gives {} {}, or a rule such as: set {} {} to {}", piece.name, property.name,
                    piece.name, property.name,
                    policy.tables.answers[i].band ? property.write(0, policy.tables.answers[i].steps - 1)
                                                  : property.write(0, 0)));
  }
}

}  // namespace lacestay::compiler
