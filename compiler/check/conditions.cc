// Names in the text, and conditions on them.
#include <fmt/format.h>

#include <algorithm>

#include "compiler/check/names.hpp"
#include "grammar/read/not_said.hpp"

namespace lacestay::compiler {

using grammar::Relation;

std::vector<std::string> Checker::column_names() const {
  std::vector<std::string> names;
  for (const auto& detail : policy.details) names.push_back(detail.name);
  for (const auto& detail : policy.worked_out) names.push_back(detail.name);
  return names;
}

// The piece, or the property of a piece, that a name begins with; empty where it begins with none.
std::string Checker::target_begins(const std::string& name) const {
  std::string longest;
  for (const auto& [target, known] : targets)
    if (name == target || (name.rfind(target + "_", 0) == 0 && target.size() > longest.size())) longest = target;
  if (longest.empty()) return "";
  const auto found = targets.find(longest)->second;
  if (found.index == told_target) return "";
  const auto& piece = policy.pieces[found.piece ? found.index : policy.properties[found.index].piece].name;
  return found.piece ? piece : piece + " " + policy.properties[found.index].name;
}

std::optional<ColumnId> Checker::column_named(const grammar::Phrase& phrase) {
  const auto name = phrase.joined();
  if (const auto found = columns.find(name); found != columns.end())
    return found->second == told_column ? std::nullopt : std::optional(found->second);
  if (const auto in_stock = where_items_are_held_to(*this, name); !in_stock.empty()) {
    diagnostics.add("names-1", phrase.span,
                    fmt::format("'{}' is told of each item in stock; no player has one.", phrase.as_written()),
                    in_stock);
    return std::nullopt;
  }
  if (name == "today") {
    diagnostics.add("names-1", phrase.span, grammar::no_day_today,
                    "write a day, as in: whole years from birth_day to 31 December 2026; today stands in accept lines "
                    "alone, as in: made at most 4 years before today");
    return std::nullopt;
  }
  if (name.find("_shown_in_") != std::string::npos) {
    diagnostics.add("names-1", phrase.span, grammar::formula_units, grammar::take_shown_in_out);
    return std::nullopt;
  }
  const auto known = column_names();
  const auto ask_it = fmt::format("ask it, on a line that begins: ask {}", name);
  const auto meant = write_what_was_meant(*this, name, known, ask_it);
  const auto of_kit = target_begins(name);
  if (meant.empty() && !of_kit.empty()) {
    diagnostics.add("names-1", phrase.span,
                    fmt::format("{} is of the kit, and a condition looks at the player: at details alone.", of_kit),
                    "work out by itself what decides it, in a chart of that name, and let both follow it; or repeat "
                    "the conditions that decide it");
    return std::nullopt;
  }
  diagnostics.add("names-1", phrase.span,
                  fmt::format("The policy asks nothing called '{}', nor works it out.", phrase.as_written()),
                  !meant.empty()  ? meant
                  : known.empty() ? ask_it
                                  : fmt::format("name one of its details: {}; or {}", some_of(known), ask_it));
  return std::nullopt;
}

std::optional<TargetName> Checker::target_named(const grammar::Phrase& phrase, bool property_due) {
  const auto name = phrase.joined();
  const auto [first, last] = targets.equal_range(name);
  if (std::any_of(first, last, [](const auto& each) { return each.second.index == told_target; })) return std::nullopt;
  if (first != last && std::next(first) == last) return first->second;
  if (first != last) {
    auto& diagnostic =
        diagnostics.add("names-3", phrase.span, fmt::format("'{}' can mean two things.", name), "rename one of them");
    for (auto each = first; each != last; ++each)
      diagnostic.notes.push_back({"this one", each->second.piece ? policy.pieces[each->second.index].span
                                                                 : policy.properties[each->second.index].span});
    return std::nullopt;
  }
  if (const auto several = grouped(phrase)) {
    std::vector<std::string> own;
    if (several->group)
      for (const auto piece : several->group->pieces) own.push_back(policy.pieces[piece].name);
    if (!several->group || !own.empty())
      diagnostics.add("names-4", phrase.span,
                      fmt::format("'{}' names several pieces; here one is due.", phrase.span.text()),
                      own.empty() ? "name one piece" : fmt::format("name one of them: {}", some_of(own)));
    return std::nullopt;
  }
  // A known piece with a property it does not have is worth its own message.
  std::string start;
  for (std::size_t at = 0; at + 1 < phrase.words.size(); ++at) {
    start += (start.empty() ? std::string() : std::string("_")) + phrase.words[at].text;
    const auto piece = pieces.find(start);
    if (piece == pieces.end()) continue;
    const auto rest = grammar::join(phrase.words[at + 1].span, phrase.words.back().span);
    unknown_property(policy.pieces[piece->second], name.substr(start.size() + 1), rest);
    return std::nullopt;
  }
  unknown_target(phrase, property_due);
  return std::nullopt;
}

// A piece is known, and has no such property. Another piece may have it; which of the two is wrong, the owner knows.
void Checker::unknown_property(const PieceText& piece, const std::string& name, const grammar::Span& span) {
  std::vector<std::string> own, having;
  for (std::uint32_t i = 0; i < piece.properties; ++i) own.push_back(policy.properties[piece.first_property + i].name);
  for (const auto& property : policy.properties)
    if (property.name == name) having.push_back(policy.pieces[property.piece].name);
  if (const auto in_stock = where_items_are_held_to(*this, name); !in_stock.empty()) {
    diagnostics.add("names-1", span,
                    fmt::format("'{}' is told of each item in stock; {} is not advised by it.", name, piece.name),
                    in_stock);
    return;
  }
  const auto meant = meant_by(*this, name, own);
  auto message = own.empty() ? fmt::format("{} has no properties", piece.name)
                             : fmt::format("{} has no property called '{}'", piece.name, name);
  if (!having.empty() && having.size() <= 4)
    message += fmt::format("; {} {} one", listed(having), having.size() == 1 ? "has" : "have");
  std::vector<std::string> ways;
  if (!meant.empty()) ways.push_back(fmt::format("write {} {}", piece.name, meant));
  if (having.size() == 1) ways.push_back(fmt::format("write {} {}, if that piece is meant", having.front(), name));
  if (meant.empty() && !own.empty()) ways.push_back(fmt::format("name one of its properties: {}", some_of(own)));
  if (meant.empty())
    ways.push_back(fmt::format("declare {} under piece {}", own.empty() && having.empty() ? "one" : name, piece.name));
  std::string hint;
  for (const auto& way : ways) hint += (hint.empty() ? "" : "; or ") + way;
  diagnostics.add("names-1", span, message + ".", std::move(hint));
}

// Nothing is called so, and no piece stands before it.
void Checker::unknown_target(const grammar::Phrase& phrase, bool property_due) {
  const auto name = phrase.joined();
  std::vector<std::string> having, names;
  for (const auto& property : policy.properties)
    if (property.name == name) having.push_back(policy.pieces[property.piece].name + " " + name);
  if (!having.empty()) {
    diagnostics.add("names-1", phrase.span,
                    fmt::format("'{}' is a property; the piece it belongs to is named before it.", phrase.as_written()),
                    fmt::format("write {}", some_of(having, "or")));
    return;
  }
  for (const auto& text : policy.pieces) names.push_back(text.name);
  for (const auto& group : groups) names.push_back(group.name);
  const auto pieces_and_groups = names.size();
  for (const auto& property : policy.properties)
    names.push_back(policy.pieces[property.piece].name + "_" + property.name);
  const auto& first = phrase.words.front().text;
  const bool names_a_property = property_due && phrase.words.size() == 1;
  const auto declare = names_a_property ? fmt::format(
                                              "name a piece and then its property, as the policy declares them; a new "
                                              "property {} is declared under its piece",
                                              first)
                                        : fmt::format("declare it, on a line that begins: piece {}", first);
  if (const auto in_stock = where_items_are_held_to(*this, phrase.words.back().text); !in_stock.empty()) {
    diagnostics.add(
        "names-1", phrase.span,
        fmt::format("'{}' is told of each item in stock, and no part of the kit.", phrase.words.back().text), in_stock);
    return;
  }
  auto meant = meant_by(*this, name, names);
  for (const auto& property : policy.properties)
    if (meant == policy.pieces[property.piece].name + "_" + property.name)
      meant = policy.pieces[property.piece].name + " " + property.name;
  if (!meant.empty()) meant = "write " + meant;
  names.resize(pieces_and_groups);
  if (meant.empty()) meant = write_what_was_meant(*this, name, names, declare);
  diagnostics.add("names-1", phrase.span, fmt::format("The kit holds nothing called '{}'.", phrase.as_written()),
                  !meant.empty()     ? meant
                  : names_a_property ? declare
                                     : declare + "; or name what the policy declares");
}

std::optional<std::uint32_t> Checker::piece_named(const grammar::Phrase& phrase) {
  const auto refuse = [&](const PieceText& piece, std::string_view is_no_piece) {
    diagnostics.add("names-4", phrase.span, fmt::format("{}; a whole piece is due here.", is_no_piece),
                    fmt::format("write {}", piece.name));
    return std::nullopt;
  };
  // A piece followed by one word too many: a piece is expected here, whether or not the word is one of its properties.
  if (targets.count(phrase.joined()) == 0) {
    std::vector<std::string> names;
    for (const auto& text : policy.pieces) names.push_back(text.name);
    const auto piece = pieces.find(phrase.words.front().text);
    if (piece != pieces.end() && meant_by(*this, phrase.joined(), names).empty())
      return refuse(policy.pieces[piece->second], fmt::format("'{}' names more than a piece", phrase.span.text()));
  }
  const auto target = target_named(phrase);
  if (!target || target->piece) return target ? std::optional(target->index) : std::nullopt;
  const auto& property = policy.properties[target->index];
  const auto& piece = policy.pieces[property.piece];
  return refuse(piece, fmt::format("{} {} is a property", piece.name, property.name));
}

std::optional<std::uint32_t> Checker::property_named(const grammar::Phrase& phrase) {
  const auto target = target_named(phrase, true);
  if (!target || !target->piece) return target ? std::optional(target->index) : std::nullopt;
  const auto& piece = policy.pieces[target->index];
  std::vector<std::string> own;
  for (std::uint32_t i = 0; i < piece.properties; ++i)
    own.push_back(piece.name + " " + policy.properties[piece.first_property + i].name);
  diagnostics.add(
      "names-4", phrase.span, fmt::format("'{}' is a piece; one of its properties is due here.", piece.name),
      own.empty() ? fmt::format("declare one under piece {}", piece.name) : fmt::format("write {}", listed(own, "or")));
  return std::nullopt;
}

// ---- edges -----------------------------------------------------------------------------------------------

Cut Checker::cut_before(ColumnId column, std::int64_t value) const {
  const auto& known = policy.tables.columns[column];
  if (known.worked_out) return {value, false};
  const auto grain = policy.tables.asked[known.detail].grain;
  return {static_cast<std::int64_t>(ceil_divide(value, grain)) * grain, false};
}

Cut Checker::cut_after(ColumnId column, std::int64_t value) const {
  const auto& known = policy.tables.columns[column];
  if (known.worked_out) return {value, true};
  const auto grain = policy.tables.asked[known.detail].grain;
  return {(static_cast<std::int64_t>(floor_divide(value, grain)) + 1) * grain, false};
}

bool Checker::nothing_below(ColumnId column, const Cut& cut) const {
  const auto& known = policy.tables.columns[column];
  return !known.worked_out && cut.at <= policy.tables.asked[known.detail].lowest;
}

bool Checker::nothing_above(ColumnId column, const Cut& cut) const {
  const auto& known = policy.tables.columns[column];
  return !known.worked_out && cut.at > policy.tables.asked[known.detail].highest;
}

// ---- conditions ------------------------------------------------------------------------------------------

// What of a phrase stands after its first `letters` letters, once joined: its words from there on.
static grammar::Span span_after(const grammar::Phrase& phrase, std::size_t letters) {
  std::size_t at = 0;
  for (const auto& word : phrase.words) {
    if (at > letters) return grammar::join(word.span, phrase.words.back().span);
    at += word.text.size() + 1;
  }
  return phrase.words.back().span;
}

// `skill league`: where the detail's name ends and the member begins is looked up; one detail's name may begin
// another's, as course and course_kit, so what follows tells. Says what is wrong, or returns nothing because something
// was said of the detail already.
std::optional<std::pair<ColumnId, grammar::Phrase>> Checker::member_in(const grammar::Condition& condition) {
  const auto joined = condition.subject.joined();
  std::optional<std::pair<ColumnId, std::size_t>> best;  // and where its name ends
  bool is_member = false;
  for (std::size_t at = joined.find('_'); at != std::string::npos && !is_member; at = joined.find('_', at + 1)) {
    const auto found = columns.find(joined.substr(0, at));
    if (found == columns.end()) continue;
    if (found->second == told_column) return std::nullopt;
    const auto& scale = policy.scale_of(found->second);
    if (!scale.has_members()) continue;
    best = {found->second, at};
    is_member = std::find(scale.members.begin(), scale.members.end(), joined.substr(at + 1)) != scale.members.end();
  }
  if (best)
    return std::pair(best->first, grammar::Phrase{{{joined.substr(best->second + 1), condition.subject.span}},
                                                  span_after(condition.subject, best->second)});
  // Not a detail with a member: say which half is unknown.
  grammar::Phrase detail{{condition.subject.words.front()}, condition.subject.words.front().span};
  if (const auto column = columns.find(detail.joined()); column != columns.end() && column->second != told_column) {
    const auto& scale = policy.scale_of(column->second);
    diagnostics.add(
        "conditions-1", condition.span,
        scale.has_members() ? fmt::format("Which {}? It is one of {}.", detail.joined(), some_of(scale.members))
                            : fmt::format("{} is a number or a day, so it has no members.", detail.joined()),
        scale.has_members()
            ? fmt::format("write {} {}", detail.joined(), scale.members.front())
            : fmt::format("compare it, as in: {} under …, {} at least …", detail.joined(), detail.joined()));
    return std::nullopt;
  }
  column_named(detail);
  return std::nullopt;
}

// `skill league, elite`: the first phrase holds the detail's name and a member.
std::optional<DraftTest> Checker::membership(const grammar::Condition& condition) {
  const auto first = member_in(condition);
  if (!first) return std::nullopt;
  DraftTest test;
  test.column = first->first;
  const auto& scale = policy.scale_of(test.column);
  std::vector<grammar::Phrase> phrases = {first->second};
  phrases.insert(phrases.end(), condition.alternatives.begin(), condition.alternatives.end());
  for (const auto& phrase : phrases) {
    const auto found_member = member(phrase, scale, policy.name_of(test.column));
    if (!found_member) return std::nullopt;
    if (std::find(test.members.begin(), test.members.end(), *found_member) != test.members.end()) {
      diagnostics.add("names-2", phrase.span, fmt::format("'{}' stands here twice.", phrase.as_written()),
                      "keep one of the two");
      return std::nullopt;
    }
    test.members.push_back(*found_member);
  }
  std::sort(test.members.begin(), test.members.end());
  return test;
}

std::optional<DraftTest> Checker::comparison(const grammar::Condition& condition, bool pack) {
  const auto column = column_named(condition.subject);
  if (!column) return std::nullopt;
  const auto& scale = policy.scale_of(*column);
  const auto name = policy.name_of(*column);
  const auto refuse = [&](const char* code, std::string message, std::string hint) {
    diagnostics.add(code, condition.span, std::move(message), std::move(hint));
    return std::nullopt;
  };
  DraftTest test;
  test.column = *column;
  const auto relation = condition.relation;
  if (scale.kind == Scale::Kind::choice)
    return refuse("conditions-2",
                  fmt::format("{} is a choice without an order, so nothing is under or over another.", name),
                  fmt::format("name the members, as in: {} {}", name, scale.members.front()));
  if (scale.kind == Scale::Kind::grades) {
    if (relation != Relation::at_least && relation != Relation::at_most)
      return refuse("conditions-2", fmt::format("{} has grades; they know only at least and at most.", name),
                    fmt::format("write as in: {} at least {}", name, scale.members.back()));
    const auto* phrase = std::get_if<grammar::Phrase>(&*condition.value);
    if (!phrase)
      return refuse("conditions-2", fmt::format("{} is compared with one of {}.", name, some_of(scale.members)),
                    fmt::format("write as in: {} at least {}", name, scale.members.back()));
    const auto found = member(*phrase, scale, name);
    if (!found) return std::nullopt;
    const auto count = static_cast<std::uint32_t>(scale.members.size());
    for (std::uint32_t i = relation == Relation::at_least ? *found : 0;
         i <= (relation == Relation::at_least ? count - 1 : *found); ++i)
      test.members.push_back(i);
    return test;
  }
  const bool of_days = relation == Relation::before || relation == Relation::since;
  if (of_days != (scale.kind == Scale::Kind::day))
    return refuse("conditions-3",
                  of_days ? fmt::format("{} is no day; before and since are for days.", name)
                          : fmt::format("{} is a day; days know only before and since.", name),
                  of_days ? fmt::format("write {} under … or {} at least …", name, name)
                          : fmt::format("write {} before … or {} since …", name, name));
  if (scale.dimension == Dimension::age && (relation == Relation::over || relation == Relation::at_most)) {
    const bool over = relation == Relation::over;
    const auto& written = span_of(*condition.value);
    const auto said = fmt::format("Ages know only under and at least: '{} {}' is read in two ways.",
                                  over ? "over" : "at most", written.text());
    const auto* quantity = std::get_if<grammar::Quantity>(&*condition.value);
    const auto age = quantity ? ticks_of(*quantity, due_for(scale)) : QuantityError{};
    const auto* months = std::get_if<std::int64_t>(&age);
    const auto key = over ? "at least" : "under";
    if (!months) return refuse("units-5", said, fmt::format("write {} {}, with an age", name, key));
    const auto& asked = policy.tables.columns[*column];
    const auto grain = asked.worked_out ? 12 : policy.tables.asked[asked.detail].grain;
    return refuse("units-5", said,
                  fmt::format("write {0} {1} {2}, or {0} {1} {3}, whichever is meant", name, key, scale.write(*months),
                              scale.write(*months + grain)));
  }
  const auto value = amount(*condition.value, scale);
  if (!value || !on_grain(*value, *column, span_of(*condition.value))) return std::nullopt;
  note_edge(*column, *condition.value, *value);
  const bool upper = relation == Relation::under || relation == Relation::before || relation == Relation::at_most;
  const bool after = relation == Relation::at_most || relation == Relation::over;
  const auto cut = after ? cut_after(*column, *value) : cut_before(*column, *value);
  (upper ? test.to : test.from) = cut;
  const auto& known = policy.tables.columns[*column];
  if (known.worked_out || pack) return test;
  const auto& domain = policy.tables.asked[known.detail];
  const bool met_by_none = upper ? nothing_below(*column, cut) : nothing_above(*column, cut);
  if (*value < domain.lowest || *value > domain.highest || met_by_none)
    return refuse(
        "domain-5",
        fmt::format("{} is asked from {} to {}, so {} meets this condition.", name, scale.write(domain.lowest),
                    scale.write(domain.highest), met_by_none ? "nobody" : "everybody"),
        met_by_none ? "write a value inside the range" : "write a value inside the range, or leave the condition out");
  return test;
}

std::optional<DraftTest> Checker::test(const grammar::Condition& condition, bool pack) {
  // What a pack compares with a detail of another kind than it relies on was told with that.
  if (const auto known = columns.find(condition.subject.joined());
      pack && known != columns.end() && relied_on_otherwise.count(known->second) != 0)
    return std::nullopt;
  switch (condition.relation) {
    case Relation::is: return membership(condition);
    case Relation::from_to: return condition.first ? span_of_values(condition, pack) : span_of_grades(condition);
    default: return comparison(condition, pack);
  }
}

std::optional<std::vector<DraftTest>> Checker::tests(const std::vector<grammar::Condition>& conditions, bool pack) {
  std::vector<DraftTest> tests;
  bool good = true;
  for (const auto& condition : conditions) {
    auto made = test(condition, pack);
    if (made)
      tests.push_back(std::move(*made));
    else
      good = false;
  }
  return good ? std::optional(std::move(tests)) : std::nullopt;
}

}  // namespace lacestay::compiler
