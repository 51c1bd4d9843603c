// Builds the tree's items from their lines and the lines under them. Values and conditions are in build.cc.
#include <fmt/format.h>

#include <utility>

#include "grammar/read/build.hpp"

namespace lacestay::grammar {

namespace line = rules::line;

namespace {

// A formula of more parts would make a tree too deep for recursion; real ones have a handful.
constexpr std::size_t most_parts = 200;

std::size_t parts_in(const Node& node) {
  const bool leaf = node.is<rules::quantity>() || node.is<rules::dividend>() || node.is<rules::phrase>();
  std::size_t parts = leaf ? 1 : 0;
  for (const auto& child : node.children) parts += parts_in(*child);
  return parts;
}

}  // namespace

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
    for (const auto& child : holder.children) {
      if (child->is<rules::text_body>())
        domain.members.back().shown_as = text(*child);
      else
        domain.members.push_back({word(*child), std::nullopt});
    }
  };
  if (const Node* grades = parent.find<rules::grades>())
    members(*grades, Domain::Kind::grades);
  else if (const Node* choice = parent.find<rules::choice>())
    members(*choice, Domain::Kind::choice);
  else if (const Node* band = parent.find<line::band>())
    amount(*band), domain.band = true;
  else if (const Node* sizes = parent.find<line::sizes>()) {
    domain.span = span(*sizes);
    for (const auto& child : sizes->children) domain.sizes.push_back(quantity(*child));
    for (auto& size : domain.sizes) share_unit(size, domain.sizes.back());
  } else if (const Node* stepped = parent.find<line::stepped>())
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
  const Node* advice = node.find<line::sure_advice>();
  if (advice) sure.advice = span(*advice);
  const std::size_t subject = advice ? 1 : 0;
  sure.subject = phrase(*node.children[subject]);
  const auto& claim = *node.children[subject + 1];
  using Kind = MakeSure::Kind;
  sure.kind = claim.is<line::sure_needed>()        ? Kind::needed
              : claim.is<line::sure_left_out>()    ? Kind::left_out
              : claim.is<line::sure_at_least>()    ? Kind::at_least
              : claim.is<line::sure_at_most>()     ? Kind::at_most
              : claim.is<line::sure_within>()      ? Kind::within
              : claim.is<line::sure_one_of>()      ? Kind::one_of
              : claim.is<line::sure_never_falls>() ? Kind::never_falls
                                                   : Kind::never_rises;
  if (sure.kind == Kind::never_falls || sure.kind == Kind::never_rises) sure.detail = phrase(*claim.children[0]);
  if (sure.kind == Kind::within) sure.bound = interval(*claim.children[0]);
  if (sure.kind == Kind::at_least || sure.kind == Kind::at_most) sure.bound = cell(*claim.children.back());
  if (sure.kind == Kind::one_of)
    for (const auto& member : claim.children) sure.members.push_back(word(*member));
  sure.when = conditions(node);
  return sure;
}

Nobody Builder::nobody(const Node& node) const {
  Nobody nobody;
  for (const auto& child : node.children)
    if (!child->is<rules::text_body>()) nobody.has.push_back(condition(*child));
  nobody.sentence = *find_text(node);
  return nobody;
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
  } else if (node.is<line::piece_group>()) {
    PieceGroup group{name(), {}};
    for (std::size_t i = 1; i < node.children.size(); ++i) group.pieces.push_back(phrase(*node.children[i]));
    item.form = std::move(group);
  } else if (node.is<line::piece>()) {
    const auto presence = node.find<line::always>()     ? Piece::Presence::always
                          : node.find<line::optional>() ? Piece::Presence::optional
                                                        : Piece::Presence::conditional;
    item.form = Piece{name(), presence, conditions(node), find_text(node), {}};
  } else if (node.is<line::chart>()) {
    Chart chart{name(), phrase(*node.children[1]), std::nullopt, {}, {}, {}, {}, {}};
    for (std::size_t i = 2; i < node.children.size(); ++i) {
      const Node& child = *node.children[i];
      if (child.is<line::from_sheet>())
        chart.sheet = text(*child.children[0]);
      else
        chart.graded_as = phrase(child);
    }
    item.form = std::move(chart);
  } else if (node.is<line::rule>())
    item.form = Rule{name(), {}, {}};
  else if (node.is<line::make_sure>())
    item.form = make_sure(node);
  else if (node.is<line::nobody>())
    item.form = nobody(node);
  else if (node.is<line::protection>())
    item.form = Protection{phrases(node)};
  else if (node.is<line::goes_with>())
    item.form = GoesWith{phrase(*node.children[0]), phrase(*node.children[1])};
  else if (node.is<line::accept>())
    item.form = accept(node);
  else if (node.is<line::worth>())
    item.form = Worth{phrase(*node.children[0]), quantity(*node.children[1]), conditions(node)};
  else if (node.is<line::deal>())
    item.form = Deal{name(), find_text(node), conditions(node), {}, {}, {}, {}};
  else if (node.is<line::round_percentages>())
    item.form = RoundPercentages{node.find<line::the_bill>() != nullptr};
  else if (node.is<line::over_the_limit>())
    item.form = OverTheLimit{};
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
    for (auto& outranked : phrases(node)) clauses.outranks.push_back(std::move(outranked));
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
  is_kind.operator()<line::steps>(Kind::step);
  is_kind.operator()<line::need>(Kind::need);
  is_kind.operator()<line::suggest>(Kind::suggest);
  is_kind.operator()<line::omit>(Kind::omit);
  is_kind.operator()<line::refer>(Kind::refer);
  is_kind.operator()<line::caution>(Kind::caution);
  switch (action.kind) {
    case Kind::caution: action.text = text(*node.children[0]); break;
    case Kind::size:
      action.from = phrase(*node.children[1]);
      if (const Node* to = node.find<line::size_to>()) action.to = phrase(*to->children[0]);
      if (const Node* under = node.find<line::never_under>()) action.never_under = value(*under->children[0]);
      if (const Node* over = node.find<line::never_over>()) action.never_over = value(*over->children[0]);
      action.targets.push_back(phrase(*node.children[0]));
      break;
    case Kind::step: {
      auto [property, count] = steps(node);
      action.targets.push_back(std::move(property));
      action.steps = count;
      break;
    }
    case Kind::need:
    case Kind::suggest:
    case Kind::omit:
    case Kind::refer: action.targets = phrases(node); break;
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

Steps Builder::steps(const Node& node) const {
  const auto away = node.children[0]->string_view();
  const char first = static_cast<char>(away.front() | 0x20), second = static_cast<char>(away[1] | 0x20);
  const int count = first == 'o' ? 1 : second == 'w' ? 2 : 3;
  return {phrase(*node.children.back()), node.find<line::downwards>() ? -count : count};
}

Head Builder::head(const Node& node) const {
  Head head;
  head.span = span(node);
  if (node.is<line::head_rest>()) {
    head.kind = Head::Kind::rest;
  } else if (node.is<line::head_members>() || node.is<line::across_members>()) {
    head.members = phrases(node);
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
      Reading reading{phrase(*node.children[0]), std::nullopt, std::nullopt, false, span(node)};
      if (node.children.size() > 1 && node.children[1]->is<rules::text_body>())
        reading.words = text(*node.children[1]);
      else if (node.children.size() > 1)
        reading.value = value(*node.children[1]);
      else if (reading.phrase.words.size() > 1 && reading.phrase.words.back().text == "blank") {
        reading.blank = true;
        reading.phrase.words.pop_back();
      }
      player.readings.push_back(std::move(reading));
    } else if (node.is<line::owns>()) {
      for (auto& owned : phrases(node)) player.owns.push_back(std::move(owned));
    } else if (node.is<line::can_spend>()) {
      once(player.can_spend ? player.can_spend->span : Span{}, span(node), "can spend");
      player.can_spend = quantity(*node.children[0]);
    } else {
      LeavesWith claim;
      claim.span = span(node);
      using Kind = LeavesWith::Kind;
      const bool without = node.is<line::leaves_without>();
      const Node& said = without && !node.children[0]->is<rules::phrase>() ? *node.children[0] : node;
      const Node& first = *said.children[0];
      if (said.is<line::leaves_caution>() || said.is<line::leaves_item>()) {
        claim.kind = said.is<line::leaves_item>() ? (without ? Kind::no_item : Kind::item)
                                                  : (without ? Kind::no_caution : Kind::caution);
        claim.text = text(first);
      } else if (said.is<line::leaves_total>()) {
        claim.kind = first.is<rules::relation_at_most>() ? Kind::total_at_most : Kind::total;
        claim.value = Cell{Value{quantity(*said.children.back())}};
      } else {
        claim.kind = without                         ? Kind::without
                     : said.is<line::leaves_refer>() ? Kind::refer
                     : said.is<line::leaves_next>()  ? Kind::next
                                                     : Kind::has;
        claim.phrase = phrase(first);
        const bool others = claim.kind == Kind::has && said.find<line::or_with>() != nullptr;
        if (claim.kind == Kind::has && said.children.size() > 1 && !others) claim.value = cell(*said.children[1]);
        for (std::size_t i = 1; others && i < said.children.size(); ++i)
          claim.others.push_back(phrase(*said.children[i]->children[0]));
      }
      player.leaves_with.push_back(std::move(claim));
    }
  }
}

}  // namespace lacestay::grammar
