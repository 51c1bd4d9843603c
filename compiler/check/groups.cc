// Groups of pieces: one name for several, wherever a rule, a claim or an accept line says the same of each.
//
// A group is a way of writing: past the checker there are its pieces alone. A rule of a group has a target for each.
#include <fmt/format.h>

#include <algorithm>

#include "compiler/check/names.hpp"

namespace lacestay::compiler {

namespace {

constexpr std::string_view every_piece = "every_piece";

// Answers of the one can stand for answers of the other; how they are shown may differ.
bool alike(const Policy& policy, std::uint32_t a, std::uint32_t b) {
  const auto &one = policy.properties[a], &other = policy.properties[b];
  const auto &space = policy.tables.answers[a], &other_space = policy.tables.answers[b];
  return one.scale.kind == other.scale.kind && one.scale.dimension == other.scale.dimension &&
         one.scale.members == other.scale.members && one.first == other.first && one.step == other.step &&
         one.sizes == other.sizes && space.steps == other_space.steps && space.band == other_space.band;
}

}  // namespace

void Checker::declare_groups() {
  std::vector<std::pair<std::string, grammar::Span>> known;
  for (const auto& piece : policy.pieces) known.emplace_back(piece.name, piece.span);
  each<grammar::PieceGroup>([&](const grammar::PieceGroup& form, const grammar::Item& item, std::size_t) {
    if (!fresh_name(form.name.text, form.name.span, "pieces or groups", known)) return;
    known.emplace_back(form.name.text, form.name.span);
    NamedGroup made{form.name.text, {}, item.head};
    const auto before = diagnostics.size();
    for (const auto& phrase : form.pieces) {
      if (const auto other = grouped(phrase); other && other->group && !other->group->pieces.empty()) {
        std::vector<std::string> own;
        for (const auto piece : other->group->pieces) own.push_back(policy.pieces[piece].name);
        diagnostics.add("names-4", phrase.span,
                        fmt::format("A group holds pieces alone, and {} is a group.", other->group->name),
                        fmt::format("name its pieces here: {}", some_of(own)));
        continue;
      }
      const auto piece = piece_named(phrase);
      if (!piece) continue;
      if (std::find(made.pieces.begin(), made.pieces.end(), *piece) != made.pieces.end())
        diagnostics.add("names-2", phrase.span, fmt::format("'{}' stands here twice.", policy.pieces[*piece].name),
                        "keep one of the two");
      else
        made.pieces.push_back(*piece);
    }
    if (diagnostics.size() != before) made.pieces.clear();  // said; nothing more is where the group is used
    groups.push_back(std::move(made));
  });
}

// A name that the kit has by itself goes before one that is put together of a group's and a property's.
std::optional<Checker::Grouped> Checker::grouped(const grammar::Phrase& phrase) const {
  const auto joined = phrase.joined();
  if (targets.count(joined) != 0) return std::nullopt;
  std::optional<Grouped> found;
  std::size_t longest = 0;
  const auto begins_with = [&](std::string_view name, const NamedGroup* group) {
    if (name.size() <= longest || joined.compare(0, name.size(), name) != 0) return;
    if (joined.size() > name.size() && joined[name.size()] != '_') return;
    found = Grouped{group, joined.size() > name.size() ? joined.substr(name.size() + 1) : ""};
    longest = name.size();
  };
  begins_with(every_piece, nullptr);
  for (const auto& group : groups) begins_with(group.name, &group);
  return found;
}

std::vector<std::uint32_t> Checker::pieces_named(const grammar::Phrase& phrase) {
  const auto named = grouped(phrase);
  if (!named) {
    const auto piece = piece_named(phrase);
    return piece ? std::vector{*piece} : std::vector<std::uint32_t>{};
  }
  if (named->group && named->property.empty()) return named->group->pieces;
  if (named->group)
    diagnostics.add("names-4", phrase.span,
                    fmt::format("'{}' names more than a group; whole pieces are due here.", phrase.span.text()),
                    fmt::format("write {}", named->group->name));
  else
    diagnostics.add("names-4", phrase.span, "'every piece' stands before a property, as in: every piece tier.",
                    "name the pieces, or a group of them");
  return {};
}

std::vector<std::uint32_t> Checker::properties_named(const grammar::Phrase& phrase) {
  const auto named = grouped(phrase);
  if (!named) {
    const auto property = property_named(phrase);
    return property ? std::vector{*property} : std::vector<std::uint32_t>{};
  }
  if (!named->property.empty()) return properties_alike(*named, phrase.span);
  if (named->group && named->group->pieces.empty()) return {};  // it was told of
  std::vector<std::string> own;
  for (const auto& property : policy.properties) {
    const auto has = [&](std::uint32_t piece) {
      return targets.count(policy.pieces[piece].name + "_" + property.name) != 0;
    };
    const bool all = !named->group || std::all_of(named->group->pieces.begin(), named->group->pieces.end(), has);
    if (all && std::find(own.begin(), own.end(), property.name) == own.end()) own.push_back(property.name);
  }
  diagnostics.add(
      "names-4", phrase.span,
      fmt::format("'{}' names whole pieces; a property of them is due here.", phrase.span.text()),
      own.empty() ? "name one piece and its property" : fmt::format("write {} {}", phrase.span.text(), own.front()));
  return {};
}

std::vector<std::uint32_t> Checker::properties_alike(const Grouped& named, const grammar::Span& span) {
  std::vector<std::uint32_t> found;
  const auto count = named.group ? named.group->pieces.size() : policy.pieces.size();
  for (std::size_t i = 0; i < count; ++i) {
    const auto& piece = policy.pieces[named.group ? named.group->pieces[i] : i];
    const auto [first, last] = targets.equal_range(piece.name + "_" + named.property);
    if (std::any_of(first, last, [](const auto& each) { return each.second.index == told_target; })) return {};
    std::optional<std::uint32_t> own;
    for (auto property = piece.first_property; property < piece.first_property + piece.properties; ++property)
      if (policy.properties[property].name == named.property) own = property;
    if (own) found.push_back(*own);
    if (own || !named.group) continue;
    diagnostics
        .add("names-1", span,
             fmt::format("{} has no property called '{}', which each piece of {} must have here.", piece.name,
                         named.property, named.group->name),
             fmt::format("name a property that each of them has, or the pieces one by one"))
        .notes.push_back({"the group", named.group->span});
    return {};
  }
  if (found.empty() && !named.group)
    diagnostics.add("names-1", span, fmt::format("No piece has a property called '{}'.", named.property),
                    "name a property that some pieces have");
  for (const auto other : found) {
    if (alike(policy, found.front(), other)) continue;
    const auto full_name = [&](std::uint32_t property) {
      return policy.pieces[policy.properties[property].piece].name + " " + policy.properties[property].name;
    };
    auto& told = diagnostics.add(
        "names-4", span,
        fmt::format("{} and {} are declared otherwise than each other, so nothing is said of both at once.",
                    full_name(found.front()), full_name(other)),
        "declare the two alike, or name the pieces one by one");
    told.notes.push_back({"the one", policy.properties[found.front()].span});
    told.notes.push_back({"the other", policy.properties[other].span});
    return {};
  }
  return found;
}

}  // namespace lacestay::compiler
