#include "tests/compiler/compare/edits.hpp"

#include <algorithm>
#include <regex>

#include "tests/compiler/proof/asked.hpp"

namespace lacestay::judges {

using namespace grammar;
using naive::Rational;

// ---- text

Edits::Edits(std::vector<naive::TextFile> files, naive::Draw& draw)
    : files_(std::move(files)), policy_(naive::prepare(files_)), draw_(draw) {}

std::optional<std::vector<naive::TextFile>> Edits::after(const Kind& kind) {
  if (!(this->*kind.make)()) return std::nullopt;
  return files_;
}

std::string& Edits::text(const Span& span) {
  const auto named = [&](const auto& file) { return file.name == span.source->name(); };
  return std::find_if(files_.begin(), files_.end(), named)->text;
}

void Edits::replace(const Span& span, const std::string& with) {
  text(span).replace(span.begin, span.end - span.begin, with);
}

// Spans are those of the unedited text, so the last comes first.
void Edits::replace(Replacements all) {
  std::sort(all.begin(), all.end(), [](const auto& a, const auto& b) { return a.first.begin > b.first.begin; });
  for (const auto& [span, with] : all) replace(span, with);
}

Span Edits::between(const Source* source, std::uint32_t begin, std::uint32_t end) { return {source, begin, end}; }

Span Edits::line_of(const Span& span) const {
  const auto line = span.source->place(span.begin).line;
  const auto begin = span.source->line_start(line);
  const auto end = begin + static_cast<std::uint32_t>(span.source->line(line).size()) + 1;
  return {span.source, begin, std::min(end, static_cast<std::uint32_t>(span.source->text().size()))};
}

void Edits::append(const Item& item, const std::string& line) {
  replace(between(item.span.source, item.span.end, item.span.end), "\n  " + line);
}

bool Edits::replace_word(const std::string& word, const std::string& with) {
  bool any = false;
  for (auto& file : files_) {
    auto replaced = std::regex_replace(file.text, std::regex("\\b" + word + "\\b"), with);
    any = any || replaced != file.text;
    file.text = std::move(replaced);
  }
  return any;
}

bool Edits::replace_one_of(const Span& in, const std::vector<std::pair<std::string, std::string>>& words) {
  std::vector<std::pair<Span, std::string>> found;
  for (const auto& [word, with] : words) {
    const auto at = in.text().find(word);
    if (at == std::string_view::npos) continue;
    const auto begin = in.begin + static_cast<std::uint32_t>(at);
    found.emplace_back(between(in.source, begin, begin + static_cast<std::uint32_t>(word.size())), with);
  }
  if (found.empty()) return false;
  const auto [span, with] = draw_.pick(found);
  replace(span, with);
  return true;
}

std::string Edits::fresh(const std::string& stem) {
  for (int i = 1;; ++i) {
    const auto name = stem + "_" + std::to_string(i);
    if (std::none_of(files_.begin(), files_.end(),
                     [&](const auto& file) { return file.text.find(name) != std::string::npos; }))
      return name;
  }
}

std::vector<Edits::Spoken> Edits::spoken() const {
  std::vector<Spoken> found;
  for (const auto& file : policy_.files)
    for (const auto& item : file.items)
      for (const auto& voice : policy_.voices) {
        const auto* rule = std::get_if<Rule>(&item.form);
        const auto* chart = std::get_if<Chart>(&item.form);
        if ((rule && rule == voice.rule) || (chart && chart == voice.chart)) found.push_back({&item, &voice});
      }
  return found;
}

std::vector<const std::vector<Condition>*> Edits::guards() const {
  std::vector<const std::vector<Condition>*> found;
  for (const auto& voice : policy_.voices) found.push_back(&voice.clauses->when);
  for (const auto& piece : policy_.pieces) found.push_back(&piece.tree->when);
  for (const auto& [item, along] : all<AlongWith>()) found.push_back(&along->when);
  std::erase_if(found, [](const auto* when) { return when->empty(); });
  return found;
}

// ---- edges and conditions

std::vector<Edits::Edge> Edits::edges() const {
  std::vector<Edge> found;
  for (const auto* when : guards())
    for (const auto& condition : *when)
      if (condition.value) found.push_back({&*condition.value, policy_.detail_of.at(&condition.subject)});
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
    const auto& members = declared.ask->domain.members;
    return members[draw_.place(members.size())].text;
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

// ---- details

namespace {

// The two ends of an asked range or of a property's, written in the unit of its upper end.
std::string written(const Interval& interval, std::int64_t low, std::int64_t high) {
  const auto& amount = std::get<Quantity>(interval.to).parts.back();
  const auto unit = amount.unit ? naive::worth(*amount.unit) : Rational(1);
  const auto in_unit = [&](const Value& value, std::int64_t by) {
    return naive::decimal(naive::number_of(value) / unit + by).value_or("");
  };
  const auto name = amount.unit ? " " + std::string(spelling(*amount.unit)) : "";
  return in_unit(interval.from, low) + " to " + in_unit(interval.to, high) +
         (amount.currency.empty() ? name : " " + amount.currency);
}

}  // namespace

bool Edits::move_domain() {
  std::vector<const Ask*> ranges;
  for (const auto& [item, ask] : all<Ask>())
    if (ask->domain.interval) ranges.push_back(ask);
  if (ranges.empty()) return false;
  const auto& interval = *draw_.pick(ranges)->domain.interval;
  const auto by = draw_.pick(std::vector<std::int64_t>{-2, -1, 1, 2});
  const bool upper = draw_.chance(50);
  if (const auto* date = std::get_if<Date>(upper ? &interval.to : &interval.from)) {
    const auto moved = naive::number_of(naive::day_of(*date)) + by * 40;
    replace(date->span, naive::spellings(naive::day_at(moved)).front());
  } else {
    replace(interval.span, written(interval, upper ? 0 : by, upper ? by : 0));
  }
  return true;
}

// Whole values in another unit: then the editions share only those that both take.
bool Edits::change_unit() {
  std::vector<const Interval*> ranges;
  for (const auto& [item, ask] : all<Ask>())
    if (ask->domain.interval && std::holds_alternative<Quantity>(ask->domain.interval->to))
      ranges.push_back(&*ask->domain.interval);
  if (ranges.empty()) return false;
  const auto& interval = *draw_.pick(ranges);
  const auto dimension = naive::dimension_of(std::get<Quantity>(interval.to));
  using Unit = grammar::Unit;
  std::vector<Unit> units;
  if (dimension == naive::Dimension::length) units = {Unit::millimetre, Unit::centimetre, Unit::inch};
  if (dimension == naive::Dimension::weight) units = {Unit::kilogram, Unit::pound};
  std::erase(units, *std::get<Quantity>(interval.to).parts.back().unit);
  if (units.empty()) return false;
  const auto unit = draw_.pick(units);
  const auto low = (naive::number_of(interval.from) / naive::worth(unit)).floor(),
             high = (naive::number_of(interval.to) / naive::worth(unit)).ceiling();
  replace(interval.span, std::to_string(low) + " to " + std::to_string(high) + " " + std::string(spelling(unit)));
  return true;
}

bool Edits::drop_whole() {
  std::vector<Span> lines;
  for (const auto& [item, ask] : all<Ask>())
    if (ask->domain.whole && ask->name.text != "age") lines.push_back(item->head);
  return !lines.empty() && replace_one_of(draw_.pick(lines), {{", whole", ""}});
}

std::vector<Edits::Listed> Edits::listed(bool of_details, std::size_t least) const {
  std::vector<Listed> found;
  if (of_details)
    for (const auto& [item, ask] : all<Ask>()) found.push_back({ask, &ask->domain});
  else
    for (const auto& [item, piece] : all<Piece>())
      for (const auto& property : piece->properties) found.push_back({nullptr, &property.domain});
  std::erase_if(found, [&](const Listed& each) { return each.domain->members.size() < least; });
  return found;
}

std::pair<Span, std::string> Edits::added_to(const Domain& domain, const std::string& name) {
  const auto& beside = domain.members[draw_.place(domain.members.size())].span;
  if (draw_.chance(50)) return {between(beside.source, beside.begin, beside.begin), name + ", "};
  return {between(beside.source, beside.end, beside.end), ", " + name};
}

namespace {

// A member of a list with commas between, and one of its commas.
template <typename Member>
Span listed_at(const std::vector<Member>& members, std::size_t at) {
  auto span = members[at].span;
  if (at + 1 < members.size())
    span.end = members[at + 1].span.begin;
  else
    span.begin = members[at - 1].span.end;
  return span;
}

}  // namespace

bool Edits::swap_two_of(const Domain& domain) {
  const auto at = draw_.place(domain.members.size() - 1);
  const auto &first = domain.members[at], &second = domain.members[at + 1];
  replace({{second.span, first.text}, {first.span, second.text}});
  return true;
}

// Each is called what the other was, wherever it is named: all is numbered as before, and means something else.
bool Edits::exchange_two_of(const Domain& domain) {
  const auto at = draw_.place(domain.members.size() - 1);
  const auto first = domain.members[at].text, second = domain.members[at + 1].text;
  const auto aside = fresh("aside");
  replace_word(first, aside);
  replace_word(second, first);
  return replace_word(aside, second);
}

std::vector<std::vector<const Head*>> Edits::axes(const std::string& detail) const {
  std::vector<std::vector<const Head*>> found;
  for (const auto& [item, chart] : all<Chart>()) {
    if (chart->across && chart->across->detail.joined() == detail) {
      found.emplace_back();
      for (const auto& head : chart->across->heads) found.back().push_back(&head);
    }
    if (chart->down && chart->down->joined() == detail) {
      found.emplace_back();
      for (const auto& row : chart->rows) found.back().push_back(&row.head);
    }
  }
  return found;
}

// Each chart takes it in somewhere, or it would not compile.
bool Edits::add_member() {
  const auto found = listed(true, 1);
  if (found.empty()) return false;
  const auto [ask, domain] = draw_.pick(found);
  const auto name = fresh("added");
  Replacements changes = {added_to(*domain, name)};
  for (const auto& heads : axes(ask->name.text)) {
    const auto& members = draw_.pick(heads)->members;
    const auto& last = members.back().span;
    const bool commas = members.size() > 1 && last.source->text()[members[0].span.end] == ',';
    changes.emplace_back(between(last.source, last.end, last.end), (commas ? ", " : " or ") + name);
  }
  replace(std::move(changes));
  return true;
}

// A chart's row for it alone goes too. Conditions that name it are left as they are, and then do not compile.
bool Edits::drop_member() {
  const auto found = listed(true, 3);
  if (found.empty()) return false;
  const auto [ask, domain] = draw_.pick(found);
  const auto at = draw_.place(domain->members.size());
  Replacements changes = {{listed_at(domain->members, at), ""}};
  for (const auto& heads : axes(ask->name.text))
    for (const auto* head : heads)
      for (std::size_t i = 0; i < head->members.size(); ++i) {
        if (head->members[i].joined() != domain->members[at].text) continue;
        const auto& span = head->members[i].span;
        changes.emplace_back(head->members.size() == 1 ? line_of(span) : listed_at(head->members, i), "");
      }
  replace(std::move(changes));
  return true;
}

bool Edits::swap_members() {
  const auto found = listed(true, 2);
  return !found.empty() && swap_two_of(*draw_.pick(found).domain);
}

bool Edits::exchange_members() {
  const auto found = listed(true, 2);
  return !found.empty() && exchange_two_of(*draw_.pick(found).domain);
}

// ---- the kit

bool Edits::exchange_grades() {
  const auto found = listed(false, 2);
  return !found.empty() && exchange_two_of(*draw_.pick(found).domain);
}

bool Edits::add_grade() {
  const auto found = listed(false, 1);
  if (found.empty()) return false;
  replace({added_to(*draw_.pick(found).domain, fresh("grade"))});
  return true;
}

bool Edits::drop_grade() {
  const auto found = listed(false, 2);
  if (found.empty()) return false;
  const auto& members = draw_.pick(found).domain->members;
  replace(listed_at(members, draw_.place(members.size())), "");
  return true;
}

bool Edits::swap_grades() {
  const auto found = listed(false, 2);
  return !found.empty() && swap_two_of(*draw_.pick(found).domain);
}

// A step more or less at either end, or steps half as long.
bool Edits::move_range() {
  std::vector<const Domain*> ranges;
  for (const auto& [item, piece] : all<Piece>())
    for (const auto& property : piece->properties)
      if (property.domain.step) ranges.push_back(&property.domain);
  if (ranges.empty()) return false;
  const auto& domain = *draw_.pick(ranges);
  const auto step = naive::worth(*domain.step);
  const auto dimension = naive::dimension_of(*domain.step);
  if (draw_.chance(25)) {
    const auto ways = naive::spellings(step / 2, dimension);
    if (ways.empty()) return false;
    replace(domain.step->span, ways.front());
    return true;
  }
  const auto& unit = std::get<Quantity>(domain.interval->to).parts.back().unit;
  const auto by = (step / (unit ? naive::worth(*unit) : Rational(1))).floor() * (draw_.chance(50) ? 1 : -1);
  const bool upper = draw_.chance(50);
  replace(domain.interval->span, written(*domain.interval, upper ? 0 : by, upper ? by : 0));
  return true;
}

bool Edits::change_presence() {
  const auto found = all<Piece>();
  const auto from = guards();
  if (found.empty()) return false;
  const auto [item, piece] = draw_.pick(found);
  std::vector<std::string> ways = {" always", " optional"};
  if (!from.empty()) ways.push_back(" for " + std::string(draw_.pick(*draw_.pick(from)).span.text()));
  auto end = piece->name.span.end;
  if (piece->presence == Piece::Presence::conditional)
    end = piece->when.back().span.end;
  else
    end += piece->presence == Piece::Presence::always ? 7 : 9;
  replace(between(item->span.source, piece->name.span.end, end), draw_.pick(ways));
  return true;
}

bool Edits::change_formula() {
  const auto found = all<WorkOut>();
  if (found.empty()) return false;
  const auto& span = draw_.pick(found).second->formula.span;
  return replace_one_of(span, {{"rounded up", "rounded down"},
                               {"rounded down", "rounded to the nearest"},
                               {"to the nearest", "up to"},
                               {"larger", "smaller"},
                               {"smaller", "larger"},
                               {" + ", " - "},
                               {" - ", " + "},
                               {"1 ", "2 "},
                               {"3 ", "4 "},
                               {"5 ", "6 "},
                               {"7 ", "8 "}});
}

// ---- what changes no answer

bool Edits::reorder_items() {
  for (const auto& file : policy_.files) {
    std::vector<std::string> items;
    std::string text;
    for (const auto& item : file.items) {
      const bool moves = !std::holds_alternative<Heading>(item.form) && !std::holds_alternative<Edition>(item.form) &&
                         !std::holds_alternative<Money>(item.form) && !std::holds_alternative<AlongWith>(item.form);
      if (moves)
        items.push_back(std::string(item.span.text()) + "\n\n");
      else
        text += std::string(item.span.text()) + "\n";
    }
    draw_.shuffle(items);
    for (const auto& item : items) text += item;
    for (auto& own : files_)
      if (own.name == file.source->name()) own.text = text;
  }
  return true;
}

bool Edits::change_layout() {
  for (auto& file : files_) {
    file.text = std::regex_replace(file.text, std::regex("\n  "), "\n      ");
    file.text = std::regex_replace(file.text, std::regex(", "), ",   ");
    file.text = std::regex_replace(file.text, std::regex("\n\n"), "\n\n# What follows stood here before.\n\n");
    file.text += "\n# The end.\n";
  }
  return true;
}

bool Edits::change_reason() {
  std::vector<const Text*> texts;
  for (const auto& voice : policy_.voices) {
    if (voice.clauses->because) texts.push_back(&*voice.clauses->because);
    if (voice.clauses->source) texts.push_back(&*voice.clauses->source);
    if (voice.rule && voice.rule->action->text) texts.push_back(&*voice.rule->action->text);
  }
  if (texts.empty()) return false;
  replace(draw_.pick(texts)->span, "Said in other words.");
  return true;
}

const std::vector<Edits::Kind>& Edits::kinds() {
  static const std::vector<Kind> all = {
      {"edge moved", &Edits::move_edge, false, false},
      {"answer changed", &Edits::change_answer, false, false},
      {"row dropped", &Edits::drop_row, false, false},
      {"row added", &Edits::add_row, false, false},
      {"condition dropped", &Edits::drop_condition, false, false},
      {"condition added", &Edits::add_condition, false, false},
      {"rule dropped", &Edits::drop_rule, false, false},
      {"rule copied", &Edits::copy_rule, false, false},
      {"piece dropped", &Edits::drop_piece, false, false},
      {"action changed", &Edits::change_action, false, false},
      {"rule renamed", &Edits::rename_rule, false, false},
      {"detail renamed", &Edits::rename_detail, false, false},
      {"piece renamed", &Edits::rename_piece, false, false},
      {"safety turned", &Edits::turn_safety, false, false},
      {"outranks dropped", &Edits::drop_outranks, false, false},
      {"outranks added", &Edits::add_outranks, false, false},
      {"domain moved", &Edits::move_domain, false, false},
      {"unit changed", &Edits::change_unit, false, false},
      {"no longer whole", &Edits::drop_whole, false, false},
      {"member added", &Edits::add_member, false, false},
      {"member dropped", &Edits::drop_member, false, false},
      {"members swapped", &Edits::swap_members, false, false},
      {"members exchanged", &Edits::exchange_members, false, false},
      {"grades exchanged", &Edits::exchange_grades, false, false},
      {"grade added", &Edits::add_grade, false, false},
      {"grade dropped", &Edits::drop_grade, false, false},
      {"grades swapped", &Edits::swap_grades, false, false},
      {"range moved", &Edits::move_range, false, false},
      {"presence changed", &Edits::change_presence, false, false},
      {"formula changed", &Edits::change_formula, false, false},
      {"items reordered", &Edits::reorder_items, true, true},
      {"layout changed", &Edits::change_layout, true, true},
      {"reason changed", &Edits::change_reason, true, false},
  };
  return all;
}

}  // namespace lacestay::judges
