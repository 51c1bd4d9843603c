#include "grammar/build.hpp"

#include <fmt/format.h>

#include <array>
#include <initializer_list>
#include <utility>

#include "grammar/reader.hpp"

namespace lacestay::grammar {

namespace line = rules::line;

namespace {

std::string folded(std::string_view text) {
  std::string out(text);
  for (char& c : out)
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c + ('a' - 'A'));
  return out;
}

struct Fraction {
  std::string_view sign;
  int numerator, denominator;
};
constexpr std::array fractions = {
    Fraction{"½", 1, 2}, Fraction{"¼", 1, 4}, Fraction{"¾", 3, 4}, Fraction{"⅓", 1, 3}, Fraction{"⅔", 2, 3},
    Fraction{"⅛", 1, 8}, Fraction{"⅜", 3, 8}, Fraction{"⅝", 5, 8}, Fraction{"⅞", 7, 8},
};

// Digits past 17 would not leave room for a fraction or a unit; no measured number has them.
constexpr int most_digits = 17;

// Parts of a formula past this make a tree too deep to walk; what a shop works out has a handful.
constexpr std::size_t most_parts = 200;

std::size_t parts_in(const Node& node) {
  std::size_t parts = node.is<rules::quantity>() || node.is<rules::phrase>() ? 1 : 0;
  for (const auto& child : node.children) parts += parts_in(*child);
  return parts;
}

}  // namespace

std::optional<Amount> read_decimal(std::string_view text) {
  Amount amount;
  int digits = 0;
  bool after_point = false;
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (text[i] == '.') {
      after_point = true;
    } else if (text[i] >= '0' && text[i] <= '9') {
      if (amount.numerator != 0 || text[i] != '0') ++digits;
      if (digits > most_digits || amount.denominator > 100'000'000'000'000'000) return std::nullopt;
      amount.numerator = amount.numerator * 10 + (text[i] - '0');
      if (after_point) amount.denominator *= 10;
    } else {
      for (const auto& fraction : fractions) {
        if (text.substr(i) != fraction.sign) continue;
        if (digits > most_digits - 1) return std::nullopt;
        amount.numerator = amount.numerator * fraction.denominator + fraction.numerator;
        amount.denominator = fraction.denominator;
        return amount;
      }
    }
  }
  return amount;
}

// ---- words and values ------------------------------------------------------------------------------------

Span Builder::span(const Node& node) const {
  auto span = node.span(source_);
  const auto blank = [](char c) { return c == ' ' || c == '\t' || c == '\n' || c == '\r'; };
  while (span.end > span.begin && blank(source_.text()[span.end - 1])) --span.end;
  return span;
}

Word Builder::word(const Node& node) const { return {folded(node.string_view()), span(node)}; }

Phrase Builder::phrase(const Node& node) const {
  Phrase phrase;
  for (const auto& child : node.children) phrase.words.push_back(word(*child));
  phrase.span = span(node);
  return phrase;
}

Text Builder::text(const Node& node) const { return {node.string(), node.span(source_)}; }

std::optional<Text> Builder::find_text(const Node& parent) const {
  const Node* found = parent.find<rules::text_body>();
  return found ? std::optional(text(*found)) : std::nullopt;
}

Amount Builder::amount(const Node& node) const {
  const auto read = read_decimal(node.children.front()->string_view());
  if (!read)
    diagnostics_.add("units-1", span(*node.children.front()),
                     "This number has more digits than can be kept exactly (17).", "round it to what can be measured");
  Amount amount = read.value_or(Amount{});
  amount.span = span(node);
  if (node.children.size() == 2) {
    const auto& unit = *node.children[1];
    if (unit.is<rules::currency>())
      amount.currency = unit.string();
    else
      amount.unit = unit_named(unit.string_view());
  }
  return amount;
}

Quantity Builder::quantity(const Node& node) const {
  Quantity quantity;
  for (const auto& child : node.children) quantity.parts.push_back(amount(*child));
  quantity.span = span(node);
  return quantity;
}

Date Builder::date(const Node& node) const {
  static constexpr std::array<std::string_view, 12> months = {"jan", "feb", "mar", "apr", "may", "jun",
                                                              "jul", "aug", "sep", "oct", "nov", "dec"};
  static constexpr std::array<int, 12> days = {31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
  const auto number = [](std::string_view digits) {
    int value = 0;
    for (char c : digits) value = value * 10 + (c - '0');
    return value;
  };
  Date date;
  date.span = span(node);
  if (node.is<rules::date_iso>()) {
    const auto text = node.string_view();
    date.year = number(text.substr(0, 4)), date.month = number(text.substr(5, 2)), date.day = number(text.substr(8, 2));
  } else {
    date.day = number(node.children[0]->string_view());
    const auto name = folded(node.children[1]->string_view().substr(0, 3));
    for (std::size_t i = 0; i < months.size(); ++i)
      if (months[i] == name) date.month = static_cast<int>(i) + 1;
    date.year = number(node.children[2]->string_view());
  }
  const bool leap = (date.year % 4 == 0 && date.year % 100 != 0) || date.year % 400 == 0;
  const bool month_ok = date.month >= 1 && date.month <= 12;
  const int last = !month_ok ? 0 : date.month == 2 && !leap ? 28 : days[static_cast<std::size_t>(date.month - 1)];
  if (date.day < 1 || date.day > last || date.year < 1800 || date.year > 2200) {
    diagnostics_.add("reading-9", date.span, "There is no such day between the years 1800 and 2200.",
                     "write a day of the calendar, such as 28 February 2027");
    date = {2000, 1, 1, date.span};
  }
  return date;
}

Value Builder::value(const Node& node) const {
  if (node.is<rules::quantity>()) return quantity(node);
  if (node.is<rules::phrase>()) return phrase(node);
  return date(node);
}

Interval Builder::interval(const Node& node) const {
  Interval interval{value(*node.children[0]), value(*node.children[1]), span(node)};
  auto* from = std::get_if<Quantity>(&interval.from);
  const auto* to = std::get_if<Quantity>(&interval.to);
  const bool shares = from && to && from->parts.size() == 1 && from->parts[0].bare() && to->parts.size() == 1;
  if (shares) from->parts[0].unit = to->parts[0].unit, from->parts[0].currency = to->parts[0].currency;
  return interval;
}

Cell Builder::cell(const Node& node) const {
  if (node.is<rules::interval>()) return interval(node);
  return value(node);
}

// ---- conditions and formulas -----------------------------------------------------------------------------

Condition Builder::condition(const Node& node) const {
  Condition condition;
  condition.span = span(node);
  condition.subject = phrase(*node.children[0]);
  if (node.is<rules::membership>()) {
    for (std::size_t i = 1; i < node.children.size(); ++i) condition.alternatives.push_back(phrase(*node.children[i]));
    return condition;
  }
  const auto& relation = *node.children[1];
  condition.relation = relation.is<rules::relation_under>()      ? Relation::under
                       : relation.is<rules::relation_at_least>() ? Relation::at_least
                       : relation.is<rules::relation_over>()     ? Relation::over
                       : relation.is<rules::relation_at_most>()  ? Relation::at_most
                       : relation.is<rules::relation_before>()   ? Relation::before
                                                                 : Relation::since;
  condition.value = value(*node.children[2]);
  return condition;
}

std::vector<Condition> Builder::conditions(const Node& parent) const {
  std::vector<Condition> conditions;
  if (const Node* when = parent.is<rules::when>() ? &parent : parent.find<rules::when>())
    for (const auto& child : when->children) conditions.push_back(condition(*child));
  return conditions;
}

Expression Builder::expression(const Node& node) const {
  Expression made;
  made.span = span(node);
  const auto leaf = [&](Expression::Kind kind) { made.kind = kind; };
  if (node.is<rules::quantity>()) return leaf(Expression::Kind::quantity), made.quantity = quantity(node), made;
  if (node.is<rules::phrase>()) return leaf(Expression::Kind::name), made.name = phrase(node), made;
  if (node.is<rules::date_iso>() || node.is<rules::date_words>())
    return leaf(Expression::Kind::date), made.date = date(node), made;
  if (node.is<rules::larger>() || node.is<rules::smaller>() || node.is<rules::whole_years>()) {
    made.kind = node.is<rules::larger>()    ? Expression::Kind::larger
                : node.is<rules::smaller>() ? Expression::Kind::smaller
                                            : Expression::Kind::whole_years;
    for (const auto& child : node.children) made.operands.push_back(expression(*child));
    return made;
  }
  if (node.is<rules::expression>()) {
    auto inner = expression(*node.children[0]);
    if (node.children.size() == 1) return inner;
    const auto& rounding = *node.children[1];
    made.kind = rounding.is<rules::round_up>()     ? Expression::Kind::round_up
                : rounding.is<rules::round_down>() ? Expression::Kind::round_down
                                                   : Expression::Kind::round_nearest;
    made.quantity = quantity(*node.children[2]);
    made.operands.push_back(std::move(inner));
    return made;
  }
  // A sum or a product: operand, sign, operand, sign, …, read from the left.
  auto folded = expression(*node.children[0]);
  for (std::size_t i = 1; i + 1 < node.children.size(); i += 2) {
    const auto& sign = *node.children[i];
    Expression both;
    both.kind = sign.is<rules::add>()        ? Expression::Kind::add
                : sign.is<rules::subtract>() ? Expression::Kind::subtract
                : sign.is<rules::multiply>() ? Expression::Kind::multiply
                                             : Expression::Kind::divide;
    both.operands.push_back(std::move(folded));
    both.operands.push_back(expression(*node.children[i + 1]));
    both.span = join(both.operands[0].span, both.operands[1].span);
    folded = std::move(both);
  }
  return folded;
}

// ---- items -----------------------------------------------------------------------------------------------

Domain Builder::domain(const Node& parent) const {
  Domain domain;
  const auto amount = [&](const Node& holder) {
    domain.interval = interval(*holder.find<rules::interval>());
    domain.span = domain.interval->span;
    if (const Node* step = holder.find<rules::quantity>()) domain.step = quantity(*step);
  };
  const auto members = [&](const Node& holder, Domain::Kind kind) {
    domain.kind = kind;
    domain.span = span(holder);
    for (const auto& child : holder.children) domain.members.push_back(word(*child));
  };
  if (const Node* grades = parent.find<rules::grades>())
    members(*grades, Domain::Kind::grades);
  else if (const Node* choice = parent.find<rules::choice>())
    members(*choice, Domain::Kind::choice);
  else if (const Node* band = parent.find<line::band>())
    amount(*band), domain.band = true;
  else if (const Node* stepped = parent.find<line::stepped>())
    amount(*stepped);
  else
    amount(parent);
  domain.whole = parent.find<rules::whole>() != nullptr;
  if (const Node* shown = parent.find<rules::shown_in>())
    for (const auto& unit : shown->children) domain.shown_in.push_back({unit->string(), span(*unit)});
  return domain;
}

MakeSure Builder::make_sure(const Node& node) const {
  MakeSure sure;
  sure.subject = phrase(*node.children[0]);
  const auto& claim = *node.children[1];
  using Kind = MakeSure::Kind;
  sure.kind = claim.is<line::sure_needed>()        ? Kind::needed
              : claim.is<line::sure_left_out>()    ? Kind::left_out
              : claim.is<line::sure_at_least>()    ? Kind::at_least
              : claim.is<line::sure_at_most>()     ? Kind::at_most
              : claim.is<line::sure_within>()      ? Kind::within
              : claim.is<line::sure_never_falls>() ? Kind::never_falls
                                                   : Kind::never_rises;
  if (sure.kind == Kind::never_falls || sure.kind == Kind::never_rises) sure.detail = phrase(*claim.children[0]);
  if (sure.kind == Kind::within) sure.bound = interval(*claim.children[0]);
  if (sure.kind == Kind::at_least || sure.kind == Kind::at_most) sure.bound = cell(*claim.children.back());
  sure.when = conditions(node);
  return sure;
}

Item Builder::item(const Node& root) const {
  const Node& node = *root.children[0];
  Item item;
  item.span = item.head = span(node);
  const auto name = [&] { return word(*node.find<rules::word>()); };
  const auto date_at = [&](std::size_t index) { return date(*node.children[index]); };
  if (node.is<line::policy>())
    item.form = Heading{Heading::Kind::policy, text(*node.children[0])};
  else if (node.is<line::part>())
    item.form = Heading{Heading::Kind::part, text(*node.children[0])};
  else if (node.is<line::pack>())
    item.form = Heading{Heading::Kind::pack, text(*node.children[0])};
  else if (node.is<line::edition>()) {
    Edition edition{quantity(*node.children[0]), date_at(1), std::nullopt};
    if (node.children.size() > 2) edition.to = date_at(2);
    item.form = std::move(edition);
  } else if (node.is<line::money>())
    item.form = Money{word(*node.children[0])};
  else if (node.is<line::along_with>())
    item.form = AlongWith{text(*node.children[0]), conditions(node)};
  else if (node.is<line::relies_on>()) {
    const auto detail = word(*node.children[0]);
    ReliesOn relies{Phrase{{detail}, detail.span}, std::nullopt, node.find<line::relied_whole>() != nullptr};
    if (node.children.size() > 1) relies.unit = Word{node.children.back()->string(), span(*node.children.back())};
    item.form = std::move(relies);
  } else if (node.is<line::ask>()) {
    Ask ask{name(),
            domain(node),
            find_text(node),
            node.find<line::may_change>() != nullptr,
            node.find<line::may_be_blank>() != nullptr,
            std::nullopt};
    if (const Node* precision = node.find<line::give_or_take>()) ask.give_or_take = quantity(*precision->children[0]);
    item.form = std::move(ask);
  } else if (node.is<line::work_out>()) {
    const Node& formula = *node.children[1];
    const auto parts = parts_in(formula);
    if (parts > most_parts)
      diagnostics_.add("limits-1", span(formula),
                       fmt::format("This formula has {} parts; the most is {}.", parts, most_parts),
                       "work out a part of it as a detail of its own");
    item.form = WorkOut{name(), parts > most_parts ? Expression{} : expression(formula)};
  } else if (node.is<line::piece>()) {
    const auto presence = node.find<line::always>()     ? Piece::Presence::always
                          : node.find<line::optional>() ? Piece::Presence::optional
                                                        : Piece::Presence::conditional;
    item.form = Piece{name(), presence, conditions(node), find_text(node), {}};
  } else if (node.is<line::chart>())
    item.form = Chart{name(), phrase(*node.children[1]), {}, {}, {}, {}};
  else if (node.is<line::rule>())
    item.form = Rule{name(), {}, {}};
  else if (node.is<line::make_sure>())
    item.form = make_sure(node);
  else if (node.is<line::players_of>())
    item.form = PlayersOf{text(*node.children[0])};
  else
    item.form = Player{name(), find_text(node), {}, {}, {}};
  return item;
}

void Builder::add_property(const Node& root, Piece& piece) const {
  const Node& node = *root.children[0];
  piece.properties.push_back({word(*node.children[0]), domain(node), find_text(node), span(node)});
}

// ---- what stands under rules and charts ------------------------------------------------------------------

void Builder::once(const Span& first, const Span& line, const char* what) const {
  if (first.source)
    diagnostics_.add("reading-26", line, fmt::format("This item says {} twice.", what), "keep one of the two lines")
        .notes.push_back({"the first one", first});
}

bool Builder::add_clause(const Node& node, const Span& line, Clauses& clauses) const {
  if (node.is<rules::when>()) {
    once(clauses.when.empty() ? Span{} : clauses.when.front().span, line, "for");
    clauses.when = conditions(node);
  } else if (node.is<line::because>()) {
    once(clauses.because ? clauses.because->span : Span{}, line, "because");
    clauses.because = text(*node.children[0]);
  } else if (node.is<line::source>()) {
    once(clauses.source ? clauses.source->span : Span{}, line, "source");
    clauses.source = text(*node.children[0]);
  } else if (node.is<line::outranks>()) {
    for (const auto& child : node.children) clauses.outranks.push_back(phrase(*child));
  } else if (node.is<line::safety>()) {
    once(clauses.safety.value_or(Span{}), line, "safety");
    clauses.safety = span(node);
  } else {
    return false;
  }
  return true;
}

void Builder::add_to_rule(const Node& root, const Span& line, Rule& rule) const {
  const Node& node = *root.children[0];
  if (add_clause(node, line, rule.clauses)) return;
  if (rule.action) {
    diagnostics_
        .add("reading-27", line, fmt::format("The rule '{}' does two things.", rule.name.text),
             "give the second one a rule of its own, so that each has its name and its reason")
        .notes.push_back({"the first one", rule.action->span});
    return;
  }
  using Kind = Action::Kind;
  Action action;
  action.span = line;
  const auto is_kind = [&]<typename RuleKind>(Kind kind) {
    if (node.is<RuleKind>()) action.kind = kind;
  };
  is_kind.operator()<line::set>(Kind::set);
  is_kind.operator()<line::size>(Kind::size);
  is_kind.operator()<line::keep>(Kind::keep);
  is_kind.operator()<line::floor>(Kind::floor);
  is_kind.operator()<line::cap>(Kind::cap);
  is_kind.operator()<line::need>(Kind::need);
  is_kind.operator()<line::suggest>(Kind::suggest);
  is_kind.operator()<line::omit>(Kind::omit);
  is_kind.operator()<line::refer>(Kind::refer);
  is_kind.operator()<line::caution>(Kind::caution);
  switch (action.kind) {
    case Kind::caution: action.text = text(*node.children[0]); break;
    case Kind::size: action.from = phrase(*node.children[1]); [[fallthrough]];
    case Kind::refer: action.targets.push_back(phrase(*node.children[0])); break;
    case Kind::need:
    case Kind::suggest:
    case Kind::omit:
      for (const auto& child : node.children) action.targets.push_back(phrase(*child));
      break;
    case Kind::set:
    case Kind::keep:
    case Kind::floor:
    case Kind::cap:
      action.targets.push_back(phrase(*node.children[0]));
      action.answer = cell(*node.children[1]);
      break;
  }
  rule.action = std::move(action);
}

Head Builder::head(const Node& node) const {
  Head head;
  head.span = span(node);
  if (node.is<line::head_rest>()) {
    head.kind = Head::Kind::rest;
  } else if (node.is<line::head_members>() || node.is<line::across_members>()) {
    for (const auto& child : node.children) head.members.push_back(phrase(*child));
  } else {
    head.kind = node.is<line::head_under>()     ? Head::Kind::under
                : node.is<line::head_at_most>() ? Head::Kind::at_most
                                                : Head::Kind::before;
    head.edge = value(*node.children.back());
  }
  return head;
}

void Builder::add_to_chart(const Node& root, const Span& line, Chart& chart) const {
  const Node& node = *root.children[0];
  if (add_clause(node, line, chart.clauses)) return;
  if (node.is<line::across>()) {
    once(chart.across ? chart.across->span : Span{}, line, "across");
    Across across;
    across.span = line;
    const Node& detail = *node.children[0];
    across.detail = detail.is<rules::phrase>() ? phrase(detail) : Phrase{{word(detail)}, span(detail)};
    for (std::size_t i = 1; i < node.children.size(); ++i) across.heads.push_back(head(*node.children[i]));
    chart.across = std::move(across);
  } else if (node.is<line::down>()) {
    once(chart.down ? chart.down->span : Span{}, line, "down");
    chart.down = phrase(*node.children[0]);
  } else {
    Row row;
    row.span = line;
    std::size_t first_cell = 0;
    if (node.is<line::headed_row>())
      row.head = head(*node.children[first_cell++]);
    else
      row.head.kind = Head::Kind::rest;
    for (std::size_t i = first_cell; i < node.children.size(); ++i) row.cells.push_back(cell(*node.children[i]));
    chart.rows.push_back(std::move(row));
  }
}

// ---- what stands under players ---------------------------------------------------------------------------

void Builder::add_to_player(const Node& root, Player& player) const {
  for (const auto& child : root.children) {
    const Node& node = *child;
    if (node.is<line::reading>()) {
      Reading reading{phrase(*node.children[0]), std::nullopt, false, span(node)};
      if (node.children.size() > 1)
        reading.value = value(*node.children[1]);
      else if (reading.phrase.words.size() > 1 && reading.phrase.words.back().text == "blank") {
        reading.blank = true;
        reading.phrase.words.pop_back();
      }
      player.readings.push_back(std::move(reading));
    } else if (node.is<line::owns>()) {
      for (const auto& owned : node.children) player.owns.push_back(phrase(*owned));
    } else {
      LeavesWith claim;
      claim.span = span(node);
      using Kind = LeavesWith::Kind;
      claim.kind = node.is<line::leaves_without>()   ? Kind::without
                   : node.is<line::leaves_refer>()   ? Kind::refer
                   : node.is<line::leaves_caution>() ? Kind::caution
                                                     : Kind::has;
      if (claim.kind == Kind::caution)
        claim.text = text(*node.children[0]);
      else
        claim.phrase = phrase(*node.children[0]);
      if (node.is<line::leaves_has>() && node.children.size() > 1) claim.value = cell(*node.children[1]);
      player.leaves_with.push_back(std::move(claim));
    }
  }
}

}  // namespace lacestay::grammar
