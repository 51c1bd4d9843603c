// What the fitter asks: names, domains, units to show.
#include <fmt/format.h>

#include "compiler/checker.hpp"
#include "compiler/names.hpp"

namespace lacestay::compiler {

namespace {

// The dimension of a quantity that stands where nothing says what is due.
Dimension own_dimension(const grammar::Quantity& quantity) {
  const auto& part = quantity.parts.front();
  return part.unit ? dimension_of(*part.unit) : part.currency.empty() ? Dimension::number : Dimension::money;
}

std::vector<ShownUnit> units_of(const grammar::Quantity& quantity) {
  std::vector<ShownUnit> units;
  for (const auto& part : quantity.parts) {
    const bool percent = part.unit == grammar::Unit::percent;
    units.push_back({part.unit, part.currency});
    if (percent) return units;
  }
  return units;
}

}  // namespace

// A name that was declared before is an error that shows the first one.
bool Checker::fresh_name(const std::string& name, const grammar::Span& span, const char* what,
                         const std::vector<std::pair<std::string, grammar::Span>>& known) {
  for (const auto& [other, where] : known) {
    if (other != name) continue;
    diagnostics
        .add("names-2", span, fmt::format("There are two {} called '{}'.", what, name), "give one of them another name")
        .notes.push_back({"the first one", where});
    return false;
  }
  return true;
}

bool Checker::members_once(const grammar::Domain& domain, Scale& scale) {
  scale.kind = domain.kind == grammar::Domain::Kind::grades ? Scale::Kind::grades : Scale::Kind::choice;
  std::vector<std::pair<std::string, grammar::Span>> seen;
  for (const auto& word : domain.members) {
    if (!fresh_name(word.text, word.span, "members", seen)) return false;
    seen.emplace_back(word.text, word.span);
    scale.members.push_back(word.text);
  }
  return true;
}

void Checker::read_shown(const grammar::Domain& domain, Scale& scale) {
  if (domain.shown_in.empty()) return;
  std::vector<ShownUnit> units;
  for (const auto& word : domain.shown_in) {
    const auto unit = grammar::unit_named(word.text);
    const auto found = unit ? dimension_of(*unit) : Dimension::money;
    if (scale.kind != Scale::Kind::amount || found != scale.dimension) {
      diagnostics.add("units-2", word.span, fmt::format("'{}' is not a unit of what is shown here.", word.text),
                      "name a unit of the same kind as the range's");
      return;
    }
    units.push_back({unit, unit ? "" : word.text});
  }
  if (units.size() == 2) {
    const auto large = ticks_per(units[0]), small = ticks_per(units[1]);
    if (large <= small || large % small != 0) {
      diagnostics.add("units-2", domain.shown_in[1].span, "These two units don't go together.",
                      "name the larger one first, as in: shown in st and lb");
      return;
    }
  }
  scale.shown = std::move(units);
}

// Fills the scale and the two ends in ticks.
void Checker::read_domain(const grammar::Domain& domain, Scale& scale, std::int64_t& low, std::int64_t& high) {
  const auto& interval = *domain.interval;
  if (std::holds_alternative<grammar::Date>(interval.to)) {
    scale.kind = Scale::Kind::day;
    scale.dimension = Dimension::day;
    scale.shown = {ShownUnit{}};
  } else if (const auto* quantity = std::get_if<grammar::Quantity>(&interval.to)) {
    scale.dimension = own_dimension(*quantity);
    scale.shown = units_of(*quantity);
    scale.money_digits = grammar::currency_digits(policy.currency).value_or(2);
    scale.whole = domain.whole;
    if (domain.whole && scale.dimension == Dimension::age) scale.bare_unit = quantity->parts.back().unit;
    if (scale.bare_unit == grammar::Unit::month) scale.bare_unit.reset();
  } else {
    diagnostics.add("domain-1", interval.span, "Two numbers or two days should stand here.",
                    "write it as in: 12 to 180 kg; or use grades or choice for words");
    return;
  }
  const auto from = amount(interval.from, scale), to = amount(interval.to, scale);
  if (!from || !to) return;
  low = *from, high = *to;
  if (low > high)
    diagnostics.add("domain-1", interval.span, "The second end lies below the first.", "write the lower end first");
}

void Checker::declare_details() {
  std::vector<std::pair<std::string, grammar::Span>> known;
  each<grammar::Ask>([&](const grammar::Ask& ask, const grammar::Item& item, std::size_t) {
    DetailText text;
    text.name = ask.name.text;
    text.question = ask.question ? ask.question->text : "";
    text.may_change = ask.may_change;
    text.may_be_blank = ask.may_be_blank;
    text.span = item.head;
    AskedDomain domain;
    if (!fresh_name(text.name, ask.name.span, "details", known)) return;
    known.emplace_back(text.name, ask.name.span);
    if (ask.domain.kind == grammar::Domain::Kind::amount) {
      read_domain(ask.domain, text.scale, domain.lowest, domain.highest);
      const auto& scale = text.scale;
      domain.plain_number = scale.kind == Scale::Kind::amount && scale.dimension == Dimension::number;
      if (scale.dimension == Dimension::age && !scale.whole)
        diagnostics.add("domain-2", ask.domain.span, "Ages are asked in whole years or whole months.",
                        "write it as in: 4 to 90 years, whole");
      if (scale.whole && scale.kind == Scale::Kind::amount)
        domain.grain = ticks_per(scale.shown.back(), scale.money_digits);
      if (domain.lowest % domain.grain != 0 || domain.highest % domain.grain != 0)
        diagnostics.add("units-6", ask.domain.span,
                        fmt::format("{} is asked in whole units, but an end of its range is not whole.", text.name),
                        "write whole ends");
      if (ask.give_or_take) text.precision = ticks(*ask.give_or_take, due_for(scale));
    } else {
      domain.members = true;
      if (!members_once(ask.domain, text.scale)) return;
      domain.highest = static_cast<std::int64_t>(text.scale.members.size()) - 1;
      if (ask.give_or_take)
        diagnostics.add("domain-3", ask.give_or_take->span, "Only a measured number has a give or take.",
                        "leave it out");
    }
    read_shown(ask.domain, text.scale);
    Column column;
    column.detail = static_cast<std::uint16_t>(policy.details.size());
    if (domain.members) column.places = static_cast<std::uint32_t>(text.scale.members.size());
    columns.emplace(text.name, static_cast<ColumnId>(policy.tables.columns.size()));
    policy.tables.columns.push_back(column);
    policy.tables.asked.push_back(domain);
    policy.details.push_back(std::move(text));
  });
  // A pack says what it needs the policy to ask, and in which grain.
  each<grammar::ReliesOn>([&](const grammar::ReliesOn& relies, const grammar::Item& item, std::size_t) {
    const auto column = column_named(relies.detail);
    if (!column || !relies.unit) return;
    const auto& text = policy.details[policy.tables.columns[*column].detail];
    const auto unit = grammar::unit_named(relies.unit->text);
    const bool same = unit && text.scale.kind == Scale::Kind::amount && text.scale.dimension == dimension_of(*unit);
    const bool whole = !relies.whole || (text.scale.whole && text.scale.shown.back().unit == unit);
    if (!same || !whole)
      diagnostics
          .add("parts-5", item.head,
               fmt::format("This pack relies on {}{} {}, but the policy asks it otherwise.", text.name,
                           relies.whole ? " in whole" : " in", relies.unit->text),
               "ask it as the pack relies on it, or leave the pack out")
          .notes.push_back({"asked here", text.span});
  });
}

}  // namespace lacestay::compiler
