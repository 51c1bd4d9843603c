// What is taken from stock, and for how much: names, and whether what is asked of an item fits its property.
#include <fmt/format.h>

#include <algorithm>
#include <numeric>

#include "compiler/check/names.hpp"
#include "compiler/law/law.hpp"

namespace lacestay::compiler {

namespace {

using Relation = grammar::Requirement::Kind;

// Shares of a hundredth of a per cent are the finest a price list uses, and keep every bill's fractions small.
constexpr std::int64_t finest_percent = ticks_per_one / 10'000;

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

class Stock {
 public:
  explicit Stock(Checker& checker) : checker_(checker), policy_(checker.policy), shop_(checker.policy.shop) {
    shop_.accepts.resize(policy_.pieces.size());
    shop_.protection.resize(policy_.pieces.size());
    by_group_.resize(policy_.pieces.size());
  }

  void protection() {
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

  void accepts() {
    checker_.each<grammar::Accept>([&](const grammar::Accept& form, const grammar::Item& item, std::size_t) {
      group_ = checker_.grouped(form.piece);
      for (const auto piece : checker_.pieces_named(form.piece)) {
        const auto before = checker_.diagnostics.size();
        accept(form, item, piece);
        if (checker_.diagnostics.size() != before) break;  // it would be said of each piece of a group
      }
    });
  }
  void accept(const grammar::Accept& form, const grammar::Item& item, std::uint32_t piece) {
    auto& held = shop_.accepts[piece];
    const auto what = "What is accepted for " + name(piece);
    if (held && (group_ || by_group_[piece])) {
      checker_.diagnostics
          .add("names-2", form.piece.span, what + " is said twice, and by a group.",
               "accept the group's pieces one by one, each once")
          .notes.push_back({"the first one", held->span});
      return;
    }
    if (held) return twice(form.piece.span, what, held->span);
    by_group_[piece] = group_.has_value();
    keep("what is accepted for " + name(piece), item);
    Acceptance made;
    made.span = item.head;
    for (const auto& each : form.requirements) require(each, piece, made);
    for (const auto& each : form.instead) look_instead(each, piece, made);
    held = std::move(made);
  }

  void worth() {
    checker_.each<grammar::Worth>([&](const grammar::Worth& form, const grammar::Item& item, std::size_t) {
      const auto property = checker_.property_named(form.property);
      const auto amount = money(form.amount);
      if (!property || !amount) return;
      const auto& space = policy_.tables.answers[*property];
      if (!space.ordered || space.band)
        return say("accept-1", form.property.span,
                   fmt::format("{} has no steps that rise, so none is worth more than another.", full_name(*property)),
                   "name a property of grades, or one that has a step");
      for (const auto& other : shop_.worth)
        if (other.property == *property)
          return twice(form.property.span, fmt::format("What a step of {} is worth", full_name(*property)), other.span);
      keep("what a step of " + full_name(*property) + " is worth", item);
      shop_.worth.push_back({*property, *amount, item.head});
    });
  }

  void deals() {
    std::vector<const grammar::Deal*> forms;
    checker_.each<grammar::Deal>([&](const grammar::Deal& form, const grammar::Item& item, std::size_t) {
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
      if (!lines(*form.lines, made) || !gives(*form.gives, form.lines->count.has_value(), made)) return;
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

  void rounding() {
    std::optional<grammar::Span> said;
    checker_.each<grammar::RoundPercentages>(
        [&](const grammar::RoundPercentages& form, const grammar::Item& item, std::size_t) {
          if (said) return twice(item.head, "Where percentages are rounded", *said);
          said = item.head;
          shop_.round_on_bill = form.bill;
          keep("round percentages", item);
        });
  }

  void plan() {
    std::optional<grammar::Span> said;
    checker_.each<grammar::OverTheLimit>([&](const grammar::OverTheLimit& form, const grammar::Item& item,
                                             std::size_t) {
      if (said) return twice(item.head, "What is done over the limit", *said);
      said = item.head;
      keep("over the limit", item);
      for (const auto& step : form.steps) {
        const auto piece = checker_.piece_named(step.piece);
        const auto cost = step.cost ? money(*step.cost) : std::optional<std::int64_t>(0);
        if (!piece || !cost) continue;
        if (shop_.protection[*piece]) {
          say("plan-1", step.span,
              fmt::format("{} is protection, which is never used goods and never put off.", name(*piece)),
              "leave this line out; a limit never drops what protects a player");
          continue;
        }
        const auto other =
            std::find_if(shop_.plan.begin(), shop_.plan.end(), [&](const auto& held) { return held.piece == *piece; });
        if (other != shop_.plan.end())
          twice(step.span, fmt::format("What is done for {}", name(*piece)), other->span);
        else
          shop_.plan.push_back({static_cast<PlanStep::Kind>(step.kind), *piece, *cost, step.span});
      }
    });
  }

 private:
  void keep(std::string about, const grammar::Item& item) {
    shop_.items.push_back({std::move(about), folded(item.span.text())});
  }
  const std::string& name(std::uint32_t piece) const { return policy_.pieces[piece].name; }
  std::string full_name(std::uint32_t property) const {
    return name(policy_.properties[property].piece) + " " + policy_.properties[property].name;
  }
  void say(const char* code, const grammar::Span& span, std::string message, std::string hint) {
    checker_.diagnostics.add(code, span, std::move(message), std::move(hint));
  }
  void twice(const grammar::Span& span, const std::string& what, const grammar::Span& first) {
    checker_.diagnostics.add("names-2", span, what + " is said twice.", "keep one of the two")
        .notes.push_back({"the first one", first});
  }
  std::optional<std::int64_t> money(const grammar::Quantity& quantity) {
    return checker_.ticks(quantity, {Dimension::money, policy_.currency, std::nullopt});
  }

  // A property of this piece by its own name, or with the piece's before it; of a group that all its pieces have alike,
  // with the group's before it.
  std::optional<std::uint32_t> property_of(std::uint32_t piece, const grammar::Phrase& phrase) {
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

  void require(const grammar::Requirement& form, std::uint32_t piece, Acceptance& made) {
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
      default:
        if (!require_related(form, piece, need)) return;
    }
    made.requirements.push_back(need);
  }

  bool require_member(const grammar::Requirement& form, std::uint32_t piece, Requirement& need) {
    auto subject = form.column;
    const auto member = subject.words.back();
    subject.words.pop_back();
    if (!subject.words.empty()) subject.span.end = subject.words.back().span.end;
    if (subject.joined() == "condition" && (member.text == "new" || member.text == "used")) {
      need.kind = Requirement::Kind::condition_new;
      if (member.text == "new") return true;
      say("accept-2", form.span, "New and used goods are both accepted where nothing is said of their condition.",
          "leave this out, or write condition new");
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

  bool require_related(const grammar::Requirement& form, std::uint32_t piece, Requirement& need) {
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

  void look_instead(const grammar::Instead& form, std::uint32_t piece, Acceptance& made) {
    Instead next;
    next.span = form.span;
    next.kind = static_cast<Instead::Kind>(form.kind);
    next.steps = form.steps;
    if (form.column) {
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
      if (form.kind == grammar::Instead::Kind::step && !policy_.tables.answers[*property].ordered)
        return say("accept-1", form.span, fmt::format("{} is a choice, which has no steps.", full_name(*property)),
                   fmt::format("write any {}", policy_.properties[*property].name));
      if (form.kind == grammar::Instead::Kind::any && shop_.protection[piece])
        return say("accept-2", form.span,
                   fmt::format("{} is protection: there the advice is never passed over.", name(piece)),
                   "write one step up or down, refer or order");
    }
    made.instead.push_back(next);
  }

  bool lines(const grammar::Deal::Lines& form, Deal& made) {
    made.one_make = form.one_make;
    made.make = form.make ? form.make->text : "";
    for (const auto& phrase : form.pieces) {
      const auto piece = checker_.piece_named(phrase);
      if (!piece) return false;
      made.pieces.push_back(*piece);
    }
    std::sort(made.pieces.begin(), made.pieces.end());
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

  bool gives(const grammar::Deal::Gives& form, bool counted, Deal& made) {
    const bool percent = form.amount.parts.size() == 1 && form.amount.parts.front().currency.empty();
    if (form.together || !percent) {
      const auto amount = money(form.amount);
      if (!amount) return false;
      made.gives = form.together ? Deal::Gives::price_together : Deal::Gives::sum_off;
      made.amount = *amount;
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
    return true;
  }

  void add(std::size_t deal, const grammar::Phrase& other) {
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

  Checker& checker_;
  Policy& policy_;
  Shop& shop_;
  std::optional<Checker::Grouped> group_;  // of the accept line at hand
  std::vector<bool> by_group_;             // by piece: it is accepted by a group's line
};

}  // namespace

void Checker::check_stock() {
  Stock stock(*this);
  stock.protection();
  stock.accepts();
  stock.worth();
  stock.deals();
  stock.rounding();
  stock.plan();
}

}  // namespace lacestay::compiler
