// Edits of what the policy says: conditions, answers, rows, rules.
#include <algorithm>

#include "tests/compiler/compare/edits.hpp"
#include "tests/compiler/proof/asked.hpp"

namespace lacestay::judges {

using namespace grammar;
using naive::Rational;

// ---- edges and conditions

std::vector<Edits::Edge> Edits::edges() const {
  std::vector<Edge> found;
  for (const auto* when : guards())
    for (const auto& condition : *when)
      if (condition.value && condition.relation != Relation::from_to)
        found.push_back({&*condition.value, policy_.detail_of.at(&condition.subject)});
  for (const auto& [item, chart] : all<Chart>()) {
    const auto add = [&](const Head& head, const Phrase& detail) {
      if (head.edge) found.push_back({&*head.edge, policy_.detail_of.at(&detail)});
    };
    if (chart->across)
      for (const auto& head : chart->across->heads) add(head, chart->across->detail);
    if (chart->down)
      for (const auto& row : chart->rows) add(row.head, *chart->down);
  }
  return found;
}

namespace {

std::vector<Rational> steps_of(naive::Dimension dimension) {
  switch (dimension) {
    case naive::Dimension::length: return {1, 10, 50};
    case naive::Dimension::weight: return {1000, 5000, 100};
    case naive::Dimension::number: return {1, Rational::of(1, 2), Rational::of(1, 10)};
    default: return {1};
  }
}

}  // namespace

// The value a step or two further: up, down, or (directions 0) either.
std::optional<std::string> Edits::near(const Value& value, std::size_t detail, int directions) {
  const auto& declared = policy_.details[detail];
  if (std::holds_alternative<Phrase>(value)) {
    return draw_.pick(declared.members);
  }
  const auto sign = directions != 0 ? directions : draw_.chance(50) ? 1 : -1;
  const auto number = naive::number_of(value);
  if (std::holds_alternative<Date>(value)) {
    const auto moved = number + sign * draw_.pick(std::vector<std::int64_t>{1, 1, 30, 200});
    return draw_.pick(naive::spellings(naive::day_at(moved)));
  }
  const auto& quantity = std::get<Quantity>(value);
  const auto dimension = naive::dimension_of(quantity);
  auto step = draw_.pick(steps_of(dimension));
  if (declared.ask && declared.ask->domain.whole) {
    const auto& unit = std::get<Quantity>(declared.ask->domain.interval->to).parts.back().unit;
    step = unit ? naive::worth(*unit) : Rational(1);
  }
  const auto ways = naive::spellings(number + step * (sign * draw_.between(1, 2)), dimension);
  if (ways.empty()) return std::nullopt;
  return ways.front();
}

bool Edits::move_edge() {
  const auto found = edges();
  if (found.empty()) return false;
  const auto edge = draw_.pick(found);
  const auto moved = near(*edge.value, edge.detail, 0);
  if (!moved || *moved == span_of(*edge.value).text()) return false;
  replace(span_of(*edge.value), *moved);
  return true;
}

bool Edits::drop_condition() {
  const auto found = guards();
  if (found.empty()) return false;
  const auto& when = *draw_.pick(found);
  const auto at = draw_.place(when.size());
  const auto* source = when[at].span.source;
  if (when.size() == 1) {
    const auto line = line_of(when[at].span);
    if (!line.text().starts_with("  for ")) return false;
    replace(line, "");
  } else if (at + 1 < when.size()) {
    replace(between(source, when[at].span.begin, when[at + 1].span.begin), "");
  } else {
    replace(between(source, when[at - 1].span.end, when[at].span.end), "");
  }
  return true;
}

bool Edits::add_condition() {
  const auto from = guards();
  const auto rules = spoken();
  if (from.empty() || rules.empty()) return false;
  const auto rule = draw_.pick(rules);
  const std::string added(draw_.pick(*draw_.pick(from)).span.text());
  const auto& when = rule.voice->clauses->when;
  if (when.empty())
    append(*rule.item, "for " + added);
  else
    replace(between(when.back().span.source, when.back().span.end, when.back().span.end), ", " + added);
  return true;
}

// ---- answers and rows

bool Edits::change_answer() {
  struct Said {
    const Cell* cell;
    const naive::Property* property;  // none of a chart that works a detail out
  };
  std::vector<Said> said;
  for (const auto& piece : policy_.pieces)
    for (const auto& property : piece.properties)
      for (const auto index : property.voices) {
        const auto& voice = policy_.voices[index];
        if (voice.rule && voice.rule->action->answer) said.push_back({&*voice.rule->action->answer, &property});
        if (!voice.chart) continue;
        for (const auto& row : voice.chart->rows)
          for (const auto& cell : row.cells) said.push_back({&cell, &property});
      }
  for (const auto& detail : policy_.details)
    if (detail.chart)
      for (const auto& row : detail.chart->rows)
        for (const auto& cell : row.cells) said.push_back({&cell, nullptr});
  if (said.empty()) return false;
  const auto [cell, property] = draw_.pick(said);
  if (!property) {
    const auto& value = std::get<Value>(*cell);
    const auto* quantity = std::get_if<Quantity>(&value);
    if (!quantity) return false;
    const auto dimension = naive::dimension_of(*quantity);
    const auto ways = naive::spellings(naive::worth(*quantity) + draw_.pick(steps_of(dimension)), dimension);
    if (ways.empty()) return false;
    replace(span_of(*cell), ways.front());
    return true;
  }
  auto [low, high] = policy_.reach_of.at(cell);
  if (naive::is_open(low)) {  // others of the choice, one at least
    auto members = property->answers;
    draw_.shuffle(members);
    members.resize(static_cast<std::size_t>(draw_.between(1, property->last() + 1)));
    std::string with;
    for (const auto& member : members) with += (with.empty() ? "" : " or ") + member;
    replace(span_of(*cell), with);
    return true;
  }
  const auto by = draw_.chance(50) ? 1 : -1;
  const bool one = low == high, upper = draw_.chance(50);
  if (one || !upper) low += by;
  if (one || upper) high += by;
  if (low < 0 || high > property->last() || low > high) return false;
  const auto& answers = property->answers;
  auto with = answers[static_cast<std::size_t>(low)];
  if (std::holds_alternative<Interval>(*cell)) with += " to " + answers[static_cast<std::size_t>(high)];
  replace(span_of(*cell), with + property->unit);
  return true;
}

bool Edits::drop_row() {
  std::vector<const Row*> rows;
  for (const auto& [item, chart] : all<Chart>())
    if (chart->down)
      for (const auto& row : chart->rows) rows.push_back(&row);
  if (rows.empty()) return false;
  replace(line_of(draw_.pick(rows)->span), "");
  return true;
}

// Above a row with an edge, one with a lower edge and another row's answers.
bool Edits::add_row() {
  std::vector<std::pair<const Chart*, const Row*>> rows;
  for (const auto& [item, chart] : all<Chart>())
    if (chart->down)
      for (const auto& row : chart->rows)
        if (row.head.edge) rows.emplace_back(chart, &row);
  if (rows.empty()) return false;
  const auto [chart, row] = draw_.pick(rows);
  const auto lower = near(*row->head.edge, policy_.detail_of.at(&*chart->down), -1);
  if (!lower) return false;
  const auto& like = draw_.pick(chart->rows);
  const auto said = like.span.text().substr(like.span.text().find(':'));
  const auto word = row->head.kind == Head::Kind::under     ? "under "
                    : row->head.kind == Head::Kind::at_most ? "at most "
                                                            : "before ";
  const auto line = line_of(row->span);
  replace(between(line.source, line.begin, line.begin), "    " + (word + *lower) + std::string(said) + "\n");
  return true;
}

// ---- rules and pieces

bool Edits::drop_rule() {
  const auto found = spoken();
  if (found.empty()) return false;
  replace(draw_.pick(found).item->span, "");
  return true;
}

bool Edits::copy_rule() {
  const auto found = spoken();
  if (found.empty()) return false;
  const auto [item, voice] = draw_.pick(found);
  const auto& name = voice->rule ? voice->rule->name : voice->chart->name;
  auto copy = std::string(item->span.text());
  copy.replace(name.span.begin - item->span.begin, name.text.size(), fresh("copied"));
  replace(between(item->span.source, item->span.end, item->span.end), "\n\n" + copy);
  return true;
}

bool Edits::drop_piece() {
  const auto& piece = policy_.pieces[draw_.place(policy_.pieces.size())];
  Replacements gone;
  for (const auto& [item, tree] : all<Piece>())
    if (tree == piece.tree) gone.emplace_back(item->span, "");
  for (const auto& [item, voice] : spoken()) {
    const auto at = static_cast<std::size_t>(voice - policy_.voices.data());
    const auto concerns = [&](const auto& answer) {
      return std::count(answer.voices.begin(), answer.voices.end(), at) > 0;
    };
    if (concerns(piece) || std::any_of(piece.properties.begin(), piece.properties.end(), concerns))
      gone.emplace_back(item->span, "");
  }
  replace(std::move(gone));
  return true;
}

bool Edits::change_action() {
  const auto found = all<Rule>();
  if (found.empty()) return false;
  const auto& action = *draw_.pick(found).second->action;
  return replace_one_of(action.span, {{"need ", "suggest "},
                                      {"need ", "omit "},
                                      {"suggest ", "need "},
                                      {"suggest ", "omit "},
                                      {"omit ", "need "},
                                      {"floor ", "cap "},
                                      {"cap ", "floor "}});
}

bool Edits::rename_rule() {
  const auto found = spoken();
  if (found.empty()) return false;
  const auto* voice = draw_.pick(found).voice;
  return replace_word((voice->rule ? voice->rule->name : voice->chart->name).text, fresh("renamed"));
}

bool Edits::rename_detail() {
  const auto name = policy_.details[draw_.place(policy_.details.size())].name;
  auto spaced = name;
  std::replace(spaced.begin(), spaced.end(), '_', ' ');
  replace_word(spaced, name);
  return replace_word(name, fresh("detail"));
}

bool Edits::rename_piece() {
  const auto name = policy_.pieces[draw_.place(policy_.pieces.size())].name;
  auto spaced = name;
  std::replace(spaced.begin(), spaced.end(), '_', ' ');
  replace_word(spaced, name);
  return replace_word(name, fresh("piece"));
}

// Of a floor, where there is one: it may stand beside a refer.
bool Edits::turn_safety() {
  auto found = spoken();
  const auto is_floor = [](const Spoken& each) {
    return each.voice->rule && each.voice->rule->action->kind == Action::Kind::floor;
  };
  if (std::any_of(found.begin(), found.end(), is_floor))
    std::erase_if(found, [&](const Spoken& each) { return !is_floor(each); });
  if (found.empty()) return false;
  const auto [item, voice] = draw_.pick(found);
  if (voice->clauses->safety)
    replace(line_of(*voice->clauses->safety), "");
  else
    append(*item, "safety");
  return true;
}

bool Edits::drop_outranks() {
  auto found = spoken();
  std::erase_if(found, [](const Spoken& each) { return each.voice->clauses->outranks.empty(); });
  if (found.empty()) return false;
  replace(line_of(draw_.pick(found).voice->clauses->outranks.front().span), "");
  return true;
}

bool Edits::add_outranks() {
  std::vector<std::pair<std::size_t, std::size_t>> pairs;
  const auto add = [&](const std::vector<std::size_t>& voices) {
    for (const auto a : voices)
      for (const auto b : voices)
        if (a != b && policy_.voices[a].clauses->outranks.empty()) pairs.emplace_back(a, b);
  };
  for (const auto& piece : policy_.pieces) {
    add(piece.voices);
    for (const auto& property : piece.properties) add(property.voices);
  }
  if (pairs.empty()) return false;
  const auto [over, under] = draw_.pick(pairs);
  for (const auto& [item, voice] : spoken()) {
    if (voice != &policy_.voices[over]) continue;
    const auto& lower = policy_.voices[under];
    append(*item, "outranks " + (lower.rule ? lower.rule->name : lower.chart->name).text);
    return true;
  }
  return false;
}

}  // namespace lacestay::judges
