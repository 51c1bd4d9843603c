// What of the stock is accepted for a piece: names, and whether what is asked of an item fits its property.
#include "compiler/check/stock.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "compiler/check/names.hpp"
#include "compiler/law/law.hpp"
#include "compiler/values/money.hpp"

namespace lacestay::compiler {

namespace {

using Relation = grammar::Requirement::Kind;

// A text without comments, every run of blanks one blank, its lines parted by semicolons; a line that ends in a comma
// goes on in the next.
std::string folded(std::string_view text) {
  std::string out;
  bool quoted = false, blank = false, line_ended = false;
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (text[i] == '#' && !quoted) i = std::min(text.find_first_of("\r\n", i), text.size() - 1);
    const bool ends = text[i] == '\r' || text[i] == '\n';
    if (ends || text[i] == ' ' || text[i] == '\t') {
      blank = true;
      line_ended = line_ended || ends;
      continue;
    }
    if (!out.empty() && blank) out += line_ended && out.back() != ',' ? "; " : " ";
    blank = line_ended = false;
    if (text[i] == '"') quoted = !quoted;
    out += text[i];
  }
  return out;
}

}  // namespace

StockChecker::StockChecker(Checker& checker) : checker_(checker), policy_(checker.policy), shop_(checker.policy.shop) {
  shop_.accepts.resize(policy_.pieces.size());
  shop_.protection.resize(policy_.pieces.size());
  by_group_.resize(policy_.pieces.size());
}

// ---- shared

void StockChecker::keep(std::string about, const grammar::Item& item) {
  shop_.items.push_back({std::move(about), folded(item.span.text())});
}
bool StockChecker::hold_to(const Conditions& when, std::string name, std::size_t file, const grammar::Span& line,
                           std::optional<TableId>& players) {
  if (when.empty()) return true;
  if (checker_.shop_lines == most_shop_lines) {
    say("limits-11", line,
        fmt::format("More than {0} accept, deal, worth and over the limit lines are for some players; {0} is the most.",
                    most_shop_lines),
        "join lines that say the same");
    return false;
  }
  auto tests = checker_.tests(when, false);
  if (!tests) return false;
  DraftRule rule;
  rule.id = static_cast<RuleId>(policy_.rules.size());
  rule.effect = Effect::applies;
  rule.file = file;
  rule.targets = {static_cast<std::uint32_t>(checker_.shop_lines)};
  rule.when = std::move(*tests);
  rule.rows = {DraftRow{}};
  RuleText text;
  text.kind = RuleText::Kind::declaration;
  text.name = std::move(name);
  text.effect = Effect::applies;
  text.span = line;
  text.entries = {join(when.front().span, when.back().span)};
  policy_.rules.push_back(std::move(text));
  checker_.rules.push_back(std::move(rule));
  players = checker_.shop_line_table(checker_.shop_lines++);
  return true;
}
std::string StockChecker::full_name(std::uint32_t property) const {
  return name(policy_.properties[property].piece) + " " + policy_.properties[property].name;
}
void StockChecker::say(const char* code, const grammar::Span& span, std::string message, std::string hint) {
  checker_.diagnostics.add(code, span, std::move(message), std::move(hint));
}
void StockChecker::twice(const grammar::Span& span, const std::string& what, const grammar::Span& first) {
  checker_.diagnostics.add("names-2", span, what + " is said twice.", "keep one of the two")
      .notes.push_back({"the first one", first});
}
std::optional<std::int64_t> StockChecker::money(const grammar::Quantity& quantity) {
  return checker_.ticks(quantity, {Dimension::money, policy_.currency, std::nullopt});
}

// ---- what is accepted

void StockChecker::protection() {
  for (const auto& rule : checker_.rules)
    if (rule.safety)
      for (const auto target : rule.targets) {
        if (!makes_protection(policy_.tables, rule.effect)) continue;
        const bool of_property = kind_of_table(rule.effect) == Table::Kind::property;
        shop_.protection[of_property ? policy_.properties[target].piece : target] = true;
      }
  checker_.each<grammar::Protection>([&](const grammar::Protection& form, const grammar::Item& item, std::size_t) {
    keep("protection", item);
    for (const auto& named : form.pieces)
      for (const auto piece : checker_.pieces_named(named)) shop_.protection[piece] = true;
  });
}

void StockChecker::accepts() {
  checker_.each<grammar::Accept>([&](const grammar::Accept& form, const grammar::Item& item, std::size_t file) {
    group_ = checker_.grouped(form.piece);
    const auto pieces = checker_.pieces_named(form.piece);
    std::optional<TableId> players;
    if (pieces.empty() || !says_no_requirement(form.when) ||
        !hold_to(form.when, "accept " + form.piece.as_written(), file, item.head, players))
      return;
    for (const auto piece : pieces) {
      const auto before = checker_.diagnostics.size();
      accept(form, item, piece, players);
      if (checker_.diagnostics.size() != before) break;  // it would be said of each piece of a group
    }
  });
}

// `… for skill new, condition new`: what an item must be stands before whom the line is for.
bool StockChecker::says_no_requirement(const Conditions& when) {
  for (const auto& condition : when) {
    const auto& first = condition.subject.words.front();
    if (checker_.columns.count(condition.subject.joined()) != 0 || checker_.columns.count(first.text) != 0) continue;
    if (std::find(stock_columns.begin(), stock_columns.end(), first.text) == stock_columns.end()) continue;
    say("accept-1", condition.span,
        fmt::format("'{}' is of an item, and after for stands who the line is for.", condition.span.text()),
        "write it before for, as in: condition new for skill league");
    return false;
  }
  return true;
}

// Lines of a piece that are each for some players may stand beside each other: that no two of them meet is for the
// proof.
void StockChecker::accept(const grammar::Accept& form, const grammar::Item& item, std::uint32_t piece,
                          const std::optional<TableId>& players) {
  auto& held = shop_.accepts[piece];
  const auto what = "What is accepted for " + name(piece);
  const bool by_group = group_.has_value();
  if (!held.empty() && by_group != by_group_[piece]) {
    checker_.diagnostics
        .add("names-2", form.piece.span, what + " is said twice, and by a group.",
             "accept the group's pieces one by one, each once")
        .notes.push_back({"the first one", held.front().span});
    return;
  }
  const auto for_everybody =
      std::find_if(held.begin(), held.end(), [](const Acceptance& line) { return !line.players; });
  if (!players && for_everybody != held.end()) {
    if (!by_group) return twice(form.piece.span, what, for_everybody->span);
    checker_.diagnostics
        .add("names-2", form.piece.span, what + " is said twice, and by a group.",
             "accept the group's pieces one by one, each once")
        .notes.push_back({"the first one", for_everybody->span});
    return;
  }
  by_group_[piece] = by_group;
  keep("what is accepted for " + name(piece), item);
  Acceptance made;
  made.players = players;
  made.span = item.head;
  for (const auto& each : form.requirements) require(each, piece, made);
  for (const auto& each : form.instead) look_instead(each, piece, made);
  held.push_back(std::move(made));
}

std::optional<std::uint32_t> StockChecker::property_of(std::uint32_t piece, const grammar::Phrase& phrase) {
  const auto& text = policy_.pieces[piece];
  std::vector<std::string> own;
  for (std::uint32_t i = 0; i < text.properties; ++i) {
    own.push_back(policy_.properties[text.first_property + i].name);
    const auto& before = group_ ? group_->group->name : text.name;
    if (phrase.joined() != own.back() && phrase.joined() != before + "_" + own.back()) continue;
    if (group_ && checker_.properties_alike({group_->group, own.back()}, phrase.span).empty()) return std::nullopt;
    return text.first_property + i;
  }
  const auto meant = meant_by(checker_, phrase.joined(), own);
  say("names-1", phrase.span, fmt::format("{} has no property '{}'.", text.name, phrase.span.text()),
      !meant.empty() ? fmt::format("perhaps {} is meant", meant)
      : own.empty()  ? fmt::format("declare it under piece {}", text.name)
                     : fmt::format("its properties are {}", some_of(own)));
  return std::nullopt;
}

void StockChecker::require(const grammar::Requirement& form, std::uint32_t piece, Acceptance& made) {
  Requirement need;
  need.span = form.span;
  switch (form.kind) {
    case Relation::in_date: need.kind = Requirement::Kind::in_date; break;
    case Relation::covers: {
      const auto column = checker_.column_named(form.column);
      if (!column) return;
      if (policy_.scale_of(*column).kind != Scale::Kind::amount)
        return say("accept-1", form.column.span,
                   fmt::format("{} is not measured, so no item covers a range of it.", policy_.name_of(*column)),
                   "name a detail that is a length, a weight or a number");
      need.kind = Requirement::Kind::covers;
      need.column = static_cast<std::uint16_t>(*column);
      break;
    }
    case Relation::is:
      if (!require_member(form, piece, need)) return;
      break;
    case Relation::new_or_used:
      // It asks nothing, but says so.
      if (shop_.protection[piece])
        say("accept-2", form.span, fmt::format("{} is protection, which is never used goods.", name(piece)),
            "write condition new");
      return;
    case Relation::price:
      if (!require_goods(form, piece, need) || !require_price(form, need)) return;
      break;
    case Relation::made:
      if (!require_goods(form, piece, need) || !require_made(form, need)) return;
      break;
    default:
      if (!require_related(form, piece, need)) return;
  }
  made.requirements.push_back(need);
}

bool StockChecker::require_member(const grammar::Requirement& form, std::uint32_t piece, Requirement& need) {
  auto subject = form.column;
  const auto member = subject.words.back();
  subject.words.pop_back();
  if (!subject.words.empty()) subject.span.end = subject.words.back().span.end;
  const bool new_or_used = member.text == "new" || member.text == "used";
  if (subject.joined() == "condition" && member.text == "new") {
    need.kind = Requirement::Kind::condition_new;
    return true;
  }
  if (subject.joined() == "condition" || (subject.words.empty() && new_or_used) ||
      (member.text == "condition" && (subject.joined() == "new" || subject.joined() == "used"))) {
    const bool of_new = member.text == "new" || subject.joined() == "new";
    say("accept-2", form.span,
        of_new ? "What is new here is not said."
               : "New and used goods are both accepted where nothing is said of their condition.",
        shop_.protection[piece] || of_new ? "write condition new"
                                          : "write condition new or used where either will do, else condition new");
    return false;
  }
  if (subject.words.empty()) {
    say("accept-1", form.span, fmt::format("This does not say how an item's {} is held to the advice.", member.text),
        fmt::format("write it as in: {} as advised", member.text));
    return false;
  }
  const auto property = property_of(piece, subject);
  if (!property) return false;
  const auto& scale = policy_.properties[*property].scale;
  if (!scale.has_members()) {
    say("accept-1", form.span, fmt::format("{} has no members.", full_name(*property)),
        fmt::format("write it as in: {} as advised", subject.joined()));
    return false;
  }
  const auto found = checker_.member(grammar::Phrase{{member}, member.span}, scale, full_name(*property));
  need.kind = Requirement::Kind::is;
  need.property = *property;
  need.member = found.value_or(0);
  return found.has_value();
}

// Of which goods it is asked, where used ones may be sold at all.
bool StockChecker::require_goods(const grammar::Requirement& form, std::uint32_t piece, Requirement& need) {
  need.goods = static_cast<Requirement::Goods>(form.goods);
  if (need.goods == Requirement::Goods::all || !shop_.protection[piece]) return true;
  const bool of_new = need.goods == Requirement::Goods::only_new;
  say("accept-2", form.span,
      fmt::format("{} is protection, which is never used goods{}.", name(piece),
                  of_new ? ": what is asked is asked of new ones alone" : ""),
      of_new ? "leave out: if new" : "leave this out");
  return false;
}

bool StockChecker::require_price(const grammar::Requirement& form, Requirement& need) {
  need.kind = Requirement::Kind::price;
  return tags(form.relation, *form.amount, form.span, "price at most 80 GBP", need.least, need.most);
}

bool StockChecker::tags(grammar::Relation relation, const grammar::Quantity& bound, const grammar::Span& span,
                        const char* as_in, std::int64_t& least, std::int64_t& most) {
  using Bound = grammar::Relation;
  const auto sum = money(bound);
  if (!sum) return false;
  least = 0;
  most = largest_sum;
  if (relation == Bound::at_most || relation == Bound::under)
    most = std::min(*sum - (relation == Bound::under ? 1 : 0), largest_sum);
  else
    least = *sum + (relation == Bound::over ? 1 : 0);
  if (least <= most && most > 0) return true;
  say("accept-2", span, "No item is priced so.", fmt::format("write a sum that an item can cost, as in: {}", as_in));
  return false;
}

bool StockChecker::require_made(const grammar::Requirement& form, Requirement& need) {
  constexpr std::int64_t months_a_year = 12;
  const auto months = checker_.ticks(*form.amount, {Dimension::age, "", std::nullopt});
  if (!months) return false;
  need.kind = Requirement::Kind::made;
  need.most = *months / months_a_year;
  if (*months % months_a_year == 0 && need.most >= 1 && need.most <= most_years_made) return true;
  say("accept-1", form.amount->span,
      fmt::format("How long ago an item was made is told in whole years, 1 to {}.", most_years_made),
      "write it as in: made at most 4 years before today");
  return false;
}

bool StockChecker::require_related(const grammar::Requirement& form, std::uint32_t piece, Requirement& need) {
  const auto property = property_of(piece, form.column);
  if (!property) return false;
  const auto& space = policy_.tables.answers[*property];
  const auto refuse = [&](std::string message, std::string hint) {
    say("accept-1", form.span, std::move(message), std::move(hint));
    return false;
  };
  const auto own = policy_.properties[*property].name;
  need.property = *property;
  need.kind = form.kind == Relation::as_advised ? Requirement::Kind::as_advised
              : form.kind == Relation::at_least ? Requirement::Kind::at_least
              : form.kind == Relation::at_most  ? Requirement::Kind::at_most
                                                : Requirement::Kind::within;
  if (space.band != (form.kind == Relation::within))
    return space.band
               ? refuse(fmt::format("{} is advised as a band, in which an item's own value may lie anywhere.",
                                    full_name(*property)),
                        fmt::format("write {} within advised", own))
               : refuse(fmt::format("{} is advised as one value, which nothing lies within.", full_name(*property)),
                        fmt::format("write {} as advised", own));
  if (!space.ordered && form.kind != Relation::as_advised)
    return refuse(fmt::format("{} is a choice, which has no order.", full_name(*property)),
                  fmt::format("write {} as advised", own));
  if (!form.once_cut_to) return true;
  need.once_cut_to = property_of(piece, *form.once_cut_to);
  if (!need.once_cut_to) return false;
  const auto& length = policy_.properties[*need.once_cut_to];
  if (policy_.properties[*property].scale.dimension == Dimension::flex && !length.scale.has_members() &&
      length.scale.dimension == Dimension::length && !policy_.tables.answers[*need.once_cut_to].band)
    return true;
  return refuse("Only a flex is felt otherwise once a shaft is cut, and only a length is cut to.",
                "write it as in: flex within advised once cut to length");
}

bool StockChecker::may_look_elsewhere(const grammar::Instead& form, std::uint32_t property, const std::string& written,
                                      const char* or_else) {
  const auto piece = policy_.properties[property].piece;
  if (form.kind == grammar::Instead::Kind::step && !policy_.tables.answers[property].ordered) {
    say("accept-1", form.span, fmt::format("{} is a choice, which has no steps.", full_name(property)),
        fmt::format("write any {}", written));
    return false;
  }
  if (form.kind == grammar::Instead::Kind::any && shop_.protection[piece]) {
    say("accept-2", form.span, fmt::format("{} is protection: there the advice is never passed over.", name(piece)),
        or_else);
    return false;
  }
  return true;
}

// `condition`, or with the piece's or its group's name before it.
bool StockChecker::names_condition(const grammar::Phrase& phrase, std::uint32_t piece) const {
  const auto& before = group_ ? group_->group->name : name(piece);
  return phrase.joined() == "condition" || phrase.joined() == before + "_condition";
}

// `any condition`: used goods, where one of the lines wants new ones.
bool StockChecker::may_be_used(const grammar::Instead& form, std::uint32_t piece, std::span<const Acceptance> lines) {
  const auto refuse = [&](std::string message, std::string hint) {
    say("accept-2", form.span, std::move(message), std::move(hint));
    return false;
  };
  if (form.kind == grammar::Instead::Kind::step)
    return refuse("Goods are new or used, which has no steps.", "write any condition");
  if (shop_.protection[piece])
    return refuse(fmt::format("{} is protection, which is never used goods.", name(piece)), "leave this line out");
  const bool wants_new = std::any_of(lines.begin(), lines.end(), [](const Acceptance& line) {
    return std::any_of(line.requirements.begin(), line.requirements.end(),
                       [](const Requirement& need) { return need.kind == Requirement::Kind::condition_new; });
  });
  if (wants_new) return true;
  return refuse(fmt::format("Used goods are accepted for {} anyhow, so this changes nothing.", name(piece)),
                "write condition new in what is accepted, or leave this line out");
}

// Of used goods nothing can be asked where none are ever handed over.
void StockChecker::idle_conditions() {
  for (std::uint32_t piece = 0; piece < shop_.accepts.size(); ++piece) {
    const bool settles = std::any_of(shop_.plan.begin(), shop_.plan.end(),
                                     [&](const PlanStep& step) { return step.piece == piece && step.any_condition; });
    for (const auto& line : shop_.accepts[piece]) {
      const auto& needs = line.requirements;
      const auto is_new = std::find_if(needs.begin(), needs.end(), [](const Requirement& need) {
        return need.kind == Requirement::Kind::condition_new;
      });
      const bool looks_on = std::any_of(line.instead.begin(), line.instead.end(),
                                        [](const Instead& next) { return next.kind == Instead::Kind::any_condition; });
      if (settles || looks_on || is_new == needs.end()) continue;
      for (const auto& need : needs)
        if (need.goods == Requirement::Goods::only_used)
          say("accept-2", need.span,
              fmt::format("New goods alone are accepted for {}, so of used ones nothing can be asked.", name(piece)),
              fmt::format("leave this out; or, to sell used ones too, write condition new or used in place of '{}'",
                          is_new->span.text()));
    }
  }
}

void StockChecker::look_instead(const grammar::Instead& form, std::uint32_t piece, Acceptance& made) {
  Instead next;
  next.span = form.span;
  next.kind = static_cast<Instead::Kind>(form.kind);
  next.steps = form.steps;
  if (form.note) next.note = form.note->text;
  if (form.column && names_condition(*form.column, piece)) {
    if (!may_be_used(form, piece, {&made, 1})) return;
    next.kind = Instead::Kind::any_condition;
  } else if (form.column) {
    const auto property = property_of(piece, *form.column);
    if (!property) return;
    next.property = *property;
    const auto used = std::find_if(made.requirements.begin(), made.requirements.end(), [&](const auto& need) {
      return need.kind <= Requirement::Kind::within && need.property == *property;
    });
    if (used == made.requirements.end())
      return say("accept-2", form.span,
                 fmt::format("What is accepted does not turn on {}, so this changes nothing.", full_name(*property)),
                 "name a property that the line above holds to the advice");
    if (!may_look_elsewhere(form, *property, policy_.properties[*property].name,
                            "write one step up or down, refer or order"))
      return;
  }
  made.instead.push_back(next);
}

TableId Checker::shop_line_table(std::size_t line) const {
  const auto& worked_out = policy.tables.worked_out;
  const auto charts =
      std::count_if(worked_out.begin(), worked_out.end(), [](const auto& detail) { return detail.formula.empty(); });
  return static_cast<TableId>(policy.tables.first_caution_table() + policy.cautions.size() +
                              static_cast<std::size_t>(charts) + line);
}

void Checker::check_stock() {
  StockChecker stock(*this);
  stock.protection();
  stock.accepts();
  stock.links();
  stock.worth();
  stock.deals();
  stock.rounding();
  stock.plan();
  stock.idle_conditions();
}

}  // namespace lacestay::compiler
