// The till: what a step is worth, deals, where percentages are rounded, and what may be done over the limit.
#include <fmt/format.h>

#include <algorithm>
#include <numeric>

#include "compiler/check/names.hpp"
#include "compiler/check/stock.hpp"

namespace lacestay::compiler {

namespace {

// Shares of a hundredth of a per cent are the finest a price list uses, and keep every bill's fractions small.
constexpr std::int64_t finest_percent = ticks_per_one / 10'000;

}  // namespace

void StockChecker::worth() {
  checker_.each<grammar::Worth>([&](const grammar::Worth& form, const grammar::Item& item, std::size_t file) {
    const auto property = checker_.property_named(form.property);
    const auto amount = money(form.amount);
    if (!property || !amount) return;
    const auto& space = policy_.tables.answers[*property];
    if (!space.ordered || space.band)
      return say("accept-1", form.property.span,
                 fmt::format("{} has no steps that rise, so none is worth more than another.", full_name(*property)),
                 "name a property of grades, or one that has a step");
    for (const auto& other : shop_.worth)
      if (other.property == *property && (form.when.empty() && !other.players))
        return twice(form.property.span, fmt::format("What a step of {} is worth", full_name(*property)), other.span);
    std::optional<TableId> players;
    if (!hold_to(form.when, "worth " + full_name(*property), file, item.head, players)) return;
    keep("what a step of " + full_name(*property) + " is worth", item);
    shop_.worth.push_back({*property, *amount, players, item.head});
  });
}

void StockChecker::deals() {
  std::vector<const grammar::Deal*> forms;
  checker_.each<grammar::Deal>([&](const grammar::Deal& form, const grammar::Item& item, std::size_t file) {
    for (const auto& other : shop_.deals)
      if (other.name == form.name.text)
        return twice(form.name.span, fmt::format("A deal called '{}'", form.name.text), other.span);
    if (!form.lines || !form.gives)
      return say("deal-1", item.head,
                 fmt::format("The deal '{}' does not say {}.", form.name.text,
                             form.lines ? "what it gives" : "what it is for"),
                 form.lines ? "add a line such as: 10% off" : "add a line such as: for 5 or more of one make");
    Deal made;
    made.name = form.name.text;
    made.label = form.label ? form.label->text : form.name.text;
    made.because = form.because ? form.because->text : "";
    made.span = item.head;
    if (!lines(*form.lines, made) || !gives(form, made) ||
        !hold_to(form.when, "deal " + made.name, file, item.head, made.players))
      return;
    keep("deal " + made.name, item);
    shop_.deals.push_back(std::move(made));
    forms.push_back(&form);
  });
  for (std::size_t i = 0; i < forms.size(); ++i)
    for (const auto& other : forms[i]->adds_to) add(i, other);
  for (auto& deal : shop_.deals) {
    std::sort(deal.adds_to.begin(), deal.adds_to.end());
    deal.adds_to.erase(std::unique(deal.adds_to.begin(), deal.adds_to.end()), deal.adds_to.end());
  }
}

bool StockChecker::lines(const grammar::Deal::Lines& form, Deal& made) {
  made.one_make = form.one_make;
  made.make = form.make ? form.make->text : "";
  made.whole_kit = form.whole_kit;
  for (const auto& each : form.pieces) {
    const auto piece = checker_.piece_named(each.name);
    if (!piece) return false;
    made.pieces.push_back(*piece);
    if (!each.tag) continue;
    Deal::Tag tag{*piece, 0, 0};
    if (!tags(each.relation, *each.tag, each.tag->span, "for gloves over 90 GBP with mouthguard", tag.least, tag.most))
      return false;
    made.tags.push_back(tag);
  }
  std::sort(made.pieces.begin(), made.pieces.end());
  std::sort(made.tags.begin(), made.tags.end(), [](const auto& a, const auto& b) { return a.piece < b.piece; });
  if (std::adjacent_find(made.pieces.begin(), made.pieces.end()) != made.pieces.end()) {
    say("deal-2", form.span, "This deal names a piece twice.", "name each piece once");
    return false;
  }
  if (made.pieces.empty()) {
    made.pieces.resize(policy_.pieces.size());
    std::iota(made.pieces.begin(), made.pieces.end(), 0u);
  }
  made.at_least = static_cast<std::uint32_t>(made.pieces.size());
  if (!form.count) return true;
  const auto count = checker_.ticks(*form.count, {Dimension::number, "", std::nullopt});
  if (!count) return false;
  const auto pieces = static_cast<std::int64_t>(made.pieces.size());
  if (*count % ticks_per_one != 0 || *count < ticks_per_one || *count / ticks_per_one > pieces) {
    say("deal-2", form.count->span, fmt::format("A deal is for 1 to {} of these pieces.", pieces),
        "write a whole number of pieces, as in: for 5 or more of one make");
    return false;
  }
  made.at_least = static_cast<std::uint32_t>(*count / ticks_per_one);
  return true;
}

bool StockChecker::gives(const grammar::Deal& deal, Deal& made) {
  const auto& form = *deal.gives;
  const bool counted = deal.lines->count || deal.lines->whole_kit;
  const bool percent = form.amount.parts.size() == 1 && form.amount.parts.front().currency.empty();
  if (form.together || !percent) {
    const auto amount = money(form.amount);
    if (!amount) return false;
    made.gives = form.together ? Deal::Gives::price_together : Deal::Gives::sum_off;
    made.amount = *amount;
    if (!form.pieces.empty()) {
      say("deal-2", form.span, "A sum is taken off the bill, not off one of the pieces.",
          fmt::format("leave the piece out, as in: {} off; or take a percentage off it, as in: 20% off {}",
                      form.amount.span.text(), form.pieces.front().span.text()));
      return false;
    }
    if (!form.together || !counted) return true;
    say("deal-2", form.span, "One price together is for pieces that are named, one of each.",
        "name them as in: for helmet with face_protection; or take a sum or a percentage off");
    return false;
  }
  const auto share = checker_.ticks(form.amount, {Dimension::number, "", std::nullopt});
  if (!share) return false;
  if (*share <= 0 || *share > ticks_per_one || *share % finest_percent != 0) {
    say("deal-2", form.amount.span, "What is taken off is over 0% and at most 100%, in hundredths of a per cent.",
        "write it as in: 10% off");
    return false;
  }
  const auto common = std::gcd(*share, ticks_per_one);
  made.numerator = *share / common;
  made.denominator = ticks_per_one / common;
  return gives_off(form, made);
}

// The pieces that a percentage is off, where it is not off each.
bool StockChecker::gives_off(const grammar::Deal::Gives& form, Deal& made) {
  for (const auto& phrase : form.pieces) {
    const auto piece = checker_.piece_named(phrase);
    if (!piece) return false;
    if (!std::binary_search(made.pieces.begin(), made.pieces.end(), *piece)) {
      say("deal-2", phrase.span, fmt::format("The deal is not for {}, so nothing can be off it.", name(*piece)),
          fmt::format("name it in the line with for, as in: for {} with {}", name(made.pieces.front()), name(*piece)));
      return false;
    }
    made.off_pieces.push_back(*piece);
  }
  std::sort(made.off_pieces.begin(), made.off_pieces.end());
  if (std::adjacent_find(made.off_pieces.begin(), made.off_pieces.end()) == made.off_pieces.end()) return true;
  say("deal-2", form.span, "This deal names a piece twice.", "name each piece once");
  return false;
}

void StockChecker::add(std::size_t deal, const grammar::Phrase& other) {
  std::vector<std::string> names;
  for (const auto& each : shop_.deals) names.push_back(each.name);
  const auto found = std::find(names.begin(), names.end(), other.joined());
  if (found == names.end()) {
    const auto meant = meant_by(checker_, other.joined(), names);
    return say("names-1", other.span, fmt::format("No deal is called '{}'.", other.span.text()),
               meant.empty() ? "name another deal of this policy" : fmt::format("perhaps {} is meant", meant));
  }
  const auto index = static_cast<std::uint32_t>(found - names.begin());
  if (index == deal)
    return say("deal-2", other.span, "A deal does not add to itself.", "name another deal, or leave the line out");
  shop_.deals[deal].adds_to.push_back(index);
  shop_.deals[index].adds_to.push_back(static_cast<std::uint32_t>(deal));
}

void StockChecker::rounding() {
  std::optional<grammar::Span> said;
  checker_.each<grammar::RoundPercentages>(
      [&](const grammar::RoundPercentages& form, const grammar::Item& item, std::size_t) {
        if (said) return twice(item.head, "Where percentages are rounded", *said);
        said = item.head;
        shop_.round_on_bill = form.bill;
        keep("round percentages", item);
      });
}

void StockChecker::plan() {
  std::optional<grammar::Span> said;
  checker_.each<grammar::OverTheLimit>(
      [&](const grammar::OverTheLimit& form, const grammar::Item& item, std::size_t file) {
        if (said) return twice(item.head, "What is done over the limit", *said);
        said = item.head;
        keep("over the limit", item);
        for (const auto& step : form.steps) plan_step(step, file);
      });
}

void StockChecker::plan_step(const grammar::PlanStep& form, std::size_t file) {
  PlanStep made;
  made.kind = static_cast<PlanStep::Kind>(form.kind);
  made.span = form.span;
  if (made.kind == PlanStep::Kind::settle) {
    if (!settles(form, made)) return;
  } else {
    const auto piece = checker_.piece_named(form.piece);
    const auto cost = form.cost ? money(*form.cost) : std::optional<std::int64_t>(0);
    if (!piece || !cost || !may_be_left(form, *piece)) return;
    made.piece = *piece;
    made.cost = *cost;
  }
  // Behind a line that is for everybody another one of the same piece would not be come to; but what is settled for may
  // be followed by another answer that is, or by leaving the piece.
  const auto other = std::find_if(shop_.plan.begin(), shop_.plan.end(), [&](const PlanStep& held) {
    if (held.piece != made.piece || held.players) return false;
    return held.kind != PlanStep::Kind::settle ||
           (made.kind == PlanStep::Kind::settle && held.any_condition == made.any_condition &&
            held.property == made.property && held.steps == made.steps);
  });
  if (other != shop_.plan.end() && made.kind == PlanStep::Kind::settle && other->kind != made.kind)
    say("plan-2", form.span, fmt::format("Behind '{}' there is nothing left to settle for.", other->span.text()),
        "write it above that line, or take that line out");
  else if (other != shop_.plan.end())
    twice(form.span, fmt::format("What is done for {}", name(made.piece)), other->span);
  else if (hold_to(form.when, "over the limit, " + name(made.piece), file, form.span, made.players))
    shop_.plan.push_back(std::move(made));
}

bool StockChecker::may_be_left(const grammar::PlanStep& form, std::uint32_t piece) {
  const auto refuse = [&](std::string message) {
    say("plan-1", form.span, std::move(message), "leave this line out; a limit never drops what protects a player");
    return false;
  };
  if (shop_.protection[piece])
    return refuse(fmt::format("{} is protection, which is never used goods and never put off.", name(piece)));
  if (const auto beside = protection_beside(piece))
    return refuse(
        fmt::format("{} is protection and goes with {}: where that is not bought, it would be left to the fitter.",
                    name(*beside), name(piece)));
  return true;
}

bool StockChecker::has_lines(const grammar::PlanStep& form, std::uint32_t piece) {
  if (!shop_.accepts[piece].empty()) return true;
  say("plan-2", form.span, fmt::format("No line accepts items for {}, so there is nothing to settle for.", name(piece)),
      fmt::format("add a line such as: accept {} with condition new", name(piece)));
  return false;
}

bool StockChecker::settles(const grammar::PlanStep& form, PlanStep& made) {
  auto subject = *form.other->column;
  if (subject.words.size() > 1 && subject.words.back().text == "condition") {  // `any gloves condition`
    subject.words.pop_back();
    subject.span.end = subject.words.back().span.end;
    const auto piece = checker_.piece_named(subject);
    if (!piece) return false;
    made.piece = *piece;
    made.any_condition = true;
    return has_lines(form, *piece) && may_be_used(*form.other, *piece, shop_.accepts[*piece]);
  }
  const auto property = checker_.property_named(*form.other->column);
  if (!property) return false;
  made.property = *property;
  made.piece = policy_.properties[*property].piece;
  made.steps = form.other->steps;
  if (!may_look_elsewhere(*form.other, *property, full_name(*property), "write settle for one step up or down in it"))
    return false;
  if (!has_lines(form, made.piece)) return false;
  const auto& lines = shop_.accepts[made.piece];
  const bool held = std::any_of(lines.begin(), lines.end(), [&](const Acceptance& line) {
    return std::any_of(line.requirements.begin(), line.requirements.end(), [&](const Requirement& need) {
      return need.kind <= Requirement::Kind::within && need.property == *property;
    });
  });
  if (held) return true;
  say("plan-2", form.span,
      fmt::format("What is accepted for {} does not turn on {}, so this changes nothing.", name(made.piece),
                  full_name(*property)),
      "name a property that its accept line holds to the advice");
  return false;
}

}  // namespace lacestay::compiler
