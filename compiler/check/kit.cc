// What a kit can hold: pieces, their properties, and whether something answers each.
#include <fmt/format.h>

#include <algorithm>

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

// Sizes that rise unevenly, each named.
void Checker::read_sizes(const grammar::Domain& domain, PropertyText& text) {
  const auto& last = domain.sizes.back();
  if (domain.sizes.size() < 2 || domain.sizes.size() > most_steps) {
    const bool few = domain.sizes.size() < 2;
    diagnostics.add(few ? "domain-4" : "limits-2", domain.span,
                    few ? "One size alone is no choice between several." : "There are more than 10,000 sizes here.",
                    few ? "write all there are, as in: one of 46, 48, 50, 54 in" : "write a range with a step");
    return;
  }
  take_units(last, domain, text.scale);
  const auto due = due_for(text.scale);
  // The last first: a unit that is wrong stands there, and the others share it.
  if (!ticks(last, due)) return;
  for (const auto& size : domain.sizes) {
    const auto at = ticks(size, due);
    if (!at) return;
    if (!text.sizes.empty() && *at <= text.sizes.back()) {
      diagnostics
          .add("domain-4", size.span,
               fmt::format("This size does not lie above {}.", text.scale.write(text.sizes.back())),
               "write the sizes in rising order, each once")
          .notes.push_back({"the one before it", (&size - 1)->span});
      return;
    }
    text.sizes.push_back(*at);
  }
  text.first = text.sizes.front();
}

// The unit of a bare number in a chart's cells: the one that its range, its steps and what is shown have in common.
std::optional<grammar::Amount> Checker::cell_unit(const grammar::Domain& domain, const Scale& scale) {
  if (scale.kind != Scale::Kind::amount || scale.shown.size() != 1) return std::nullopt;
  std::vector<const grammar::Quantity*> written;
  for (const auto& size : domain.sizes) written.push_back(&size);
  if (domain.interval)
    for (const auto* end : {&domain.interval->from, &domain.interval->to})
      written.push_back(std::get_if<grammar::Quantity>(end));
  if (domain.step) written.push_back(&*domain.step);
  for (const auto* quantity : written) {
    const bool alike = quantity && quantity->parts.size() == 1 &&
                       scale.shown.front().same_unit({quantity->parts.front().unit, quantity->parts.front().currency});
    if (!alike) return std::nullopt;
  }
  return written.back()->parts.front();
}

void Checker::declare_property(const grammar::Property& form, std::uint32_t piece) {
  PropertyText text;
  text.name = form.name.text;
  text.label = form.label ? form.label->text : with_blanks(text.name);
  text.piece = piece;
  text.span = form.span;
  AnswerSpace space;
  const auto before = diagnostics.size();
  if (std::find(stock_columns.begin(), stock_columns.end(), text.name) != stock_columns.end())
    diagnostics.add("names-5", form.name.span,
                    fmt::format("'{}' is a column of every stock file, so no property can be called so.", text.name),
                    text.name == "price" ? "call what the shop plans to spend otherwise, such as: plan"
                    : text.name == "condition" || text.name == "certified_until"
                        ? "take it out: accept lines speak of it as it is, as in: condition new, certified until today"
                    : text.name == "goes_with"
                        ? "take it out, and say which piece it goes with, as in: face_protection goes with helmet"
                    : text.name == "made"
                        ? "take it out: accept lines speak of it as it is, as in: made at most 4 years before today"
                        : "give it another name");
  if (diagnostics.size() != before) {
    targets.emplace(policy.pieces[piece].name + "_" + text.name, TargetName{false, told_target});
    return;
  }
  if (!form.domain.sizes.empty()) {
    read_sizes(form.domain, text);
    space.ordered = true;
    space.steps = static_cast<std::uint32_t>(text.sizes.size());
  } else if (form.domain.kind == grammar::Domain::Kind::amount) {
    std::int64_t low = 0, high = 0;
    read_domain(form.domain, text.scale, low, high);
    if (text.scale.kind == Scale::Kind::day)
      diagnostics.add("domain-1", form.domain.span, "A property can't be a day.",
                      "write grades, a choice, or a range with a step; when an item was made is said where it is "
                      "accepted, as in: made at most 4 years before today");
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
  for (const auto& size : form.domain.sizes) note_written(size, text.scale);
  if (form.domain.interval) note_ends(*form.domain.interval, text.scale);
  if (form.domain.step) note_written(*form.domain.step, text.scale);
  cell_units_.push_back(cell_unit(form.domain, text.scale));
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

// What is asked and stands in no condition, chart or formula: where a chart is missing, it may be the chart of these.
std::string Checker::asked_and_unread() const {
  std::vector<bool> read(policy.details.size());
  const auto mark = [&](const std::vector<DraftTest>& tests) {
    for (const auto& test : tests) policy.tables.each_asked_under(test.column, [&](std::size_t i) { read[i] = true; });
  };
  for (const auto& rule : rules) {
    mark(rule.when);
    for (const auto& row : rule.rows) mark(row.tests);
  }
  std::vector<std::string> names;
  for (std::size_t i = 0; i < read.size(); ++i)
    if (!read[i]) names.push_back(policy.details[i].name);
  constexpr std::size_t most_told = 4;
  if (names.empty() || names.size() > most_told) return "";
  return fmt::format(" {} {} asked, and no rule or chart reads {}.", listed(names), names.size() == 1 ? "is" : "are",
                     names.size() == 1 ? "it" : "them");
}

void Checker::check_owed() {
  std::vector<bool> answered(policy.properties.size());
  for (const auto& rule : rules)
    if (fills_gaps(rule.effect))
      for (const auto property : rule.targets) answered[property] = true;
  const auto unread = asked_and_unread();
  for (std::size_t i = 0; i < answered.size(); ++i) {
    if (answered[i]) continue;
    const auto& property = policy.properties[i];
    const auto& piece = policy.pieces[property.piece];
    const auto name = piece.name + " " + property.name;
    // No answer is offered: the shop alone knows one, and the nearest at hand would be somebody's wrong size.
    diagnostics.add(
        "kit-1", property.span,
        fmt::format("Nothing answers {}: it has no chart, and no rule sets it.{}", name, unread),
        fmt::format("add its chart, on a line that begins: chart {}_chart gives {}; or, where one answer is "
                    "right for every player, a rule that does: set {} to …",
                    property.name, name, name));
  }
}

}  // namespace lacestay::compiler
