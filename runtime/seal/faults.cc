#include "runtime/seal/faults.hpp"

#include "grammar/tree/units.hpp"
#include "runtime/seal/holding.hpp"

namespace lacestay::runtime {

using compiler::Dimension;
using compiler::Policy;
using compiler::Scale;
using compiler::Sure;

namespace {

// As the compiler has them (compile.cc, compiler/check/details.cc); claims and rules besides bound how long a proof can
// take.
constexpr std::size_t most_kit_names = 1000, most_details = 2000, most_members = 1000;
constexpr std::size_t most_rules = 20'000, most_sures = 10'000, most_nobody = 64;

void hold_scale(const Policy& policy, const Scale& scale, const std::string& of) {
  hold(scale.has_members() ? !scale.members.empty() && scale.members.size() <= most_members : scale.members.empty(),
       "{} has {} members", of, scale.members.size());
  hold(scale.shown_as.empty() || scale.shown_as.size() == scale.members.size(), "{} shows other members than it has",
       of);
  hold(scale.money_digits >= 0 && scale.money_digits <= 4, "{} has {} digits of money", of, scale.money_digits);
  if (scale.has_members()) return;
  for (const auto& unit : scale.shown) hold(unit.parts > 0 && within_ticks(unit.parts), "{} goes in no parts", of);
  for (std::size_t i = 0; i < scale.edges.size(); ++i) {
    const auto& [at, units] = scale.edges[i];
    hold(within_ticks(at) && (i == 0 || scale.edges[i - 1].at < at), "{} has edges that do not rise", of);
    hold(units.size() == 1 || units.size() == 2, "{} has an edge in {} units", of, units.size());
    for (const auto& unit : units)
      hold(unit.parts > 0 && within_ticks(unit.parts) &&
               (!unit.unit || compiler::dimension_of(*unit.unit) == scale.dimension),
           "{} has an edge of another kind", of);
    hold(ticks_per(units.front(), scale.money_digits) >= ticks_per(units.back(), scale.money_digits),
         "{} has an edge in a small unit before a large one", of);
  }
  hold((scale.kind == Scale::Kind::day) == (scale.dimension == Dimension::day), "{} is a day and is none", of);
  hold(scale.shown.size() == 1 || scale.shown.size() == 2, "{} is shown in {} units", of, scale.shown.size());
  // The large unit is counted in small ones.
  const auto large = ticks_per(scale.shown.front(), scale.money_digits),
             small = ticks_per(scale.shown.back(), scale.money_digits);
  hold(large >= small, "{} is shown in a small unit before a large one", of);
  hold(scale.dimension != Dimension::money ||
           scale.money_digits == grammar::currency_digits(policy.currency).value_or(2),
       "{} has digits that are not the currency's", of);
}

// The steps of an asked number: ticks, or whole units of its dimension.
bool is_grain(const Scale& scale, std::int64_t grain) {
  if (grain == 1) return true;
  if (scale.kind != Scale::Kind::amount || !scale.whole) return false;
  for (const auto& each : grammar::unit_spellings())
    if (compiler::dimension_of(each.unit) == scale.dimension && compiler::ticks_per({each.unit, ""}) == grain)
      return true;
  const bool money = scale.dimension == Dimension::money;
  return (money || scale.dimension == Dimension::number) &&
         compiler::ticks_per({std::nullopt, money ? "x" : ""}, scale.money_digits) == grain;
}

void hold_asked(const Policy& policy, std::size_t i) {
  const auto& text = policy.details[i];
  const auto& domain = policy.tables.asked[i];
  const auto of = fmt::format("details/{}", i);
  hold_scale(policy, text.scale, of);
  hold(domain.members == text.scale.has_members(), "{} has members and has none", of);
  hold(domain.lowest <= domain.highest && within_ticks(domain.lowest) && within_ticks(domain.highest),
       "{} has no domain", of);
  const bool number = text.scale.kind == Scale::Kind::amount && text.scale.dimension == Dimension::number;
  hold(domain.plain_number == number, "{} is a plain number and is none", of);
  hold(is_grain(text.scale, domain.grain), "{} is asked in steps of no unit", of);
  hold(domain.lowest % domain.grain == 0 && domain.highest % domain.grain == 0, "{} ends between two steps", of);
  if (domain.members)
    hold(domain.lowest == 0 && domain.highest == static_cast<std::int64_t>(text.scale.members.size()) - 1,
         "{} has another domain than its members", of);
  if (text.scale.kind == Scale::Kind::day) hold(is_day(domain.lowest) && is_day(domain.highest), "{} has no days", of);
  if (text.precision)
    hold(*text.precision >= 0 && within_ticks(*text.precision), "{} is measured to {}", of, *text.precision);
}

void hold_property(const Policy& policy, std::size_t i) {
  const auto& text = policy.properties[i];
  const auto& space = policy.tables.answers[i];
  const auto of = fmt::format("properties/{}", i);
  hold_scale(policy, text.scale, of);
  hold(text.scale.kind != Scale::Kind::day, "{} is a day", of);
  constexpr std::uint32_t most_steps = 10'000;
  hold(space.steps > 0 && space.steps <= most_steps, "{} has {} steps", of, space.steps);
  hold(text.sizes.empty() || !text.scale.has_members(), "{} has sizes and members", of);
  if (text.scale.has_members()) {
    hold(space.steps == text.scale.members.size(), "{} has another number of steps than of members", of);
    hold(!space.band, "{} is a band of members", of);
    hold(space.ordered == (text.scale.kind == Scale::Kind::grades), "{} is ordered as it is not declared", of);
    return;
  }
  hold(space.ordered, "{} is an amount without an order", of);
  if (!text.sizes.empty()) {
    const auto& sizes = text.sizes;
    hold(sizes.size() == space.steps && sizes.size() > 1 && !space.band, "{} has other sizes than steps", of);
    hold(std::adjacent_find(sizes.begin(), sizes.end(), std::greater_equal<>()) == sizes.end() &&
             within_ticks(sizes.front()) && within_ticks(sizes.back()),
         "{} has sizes that do not rise", of);
  }
  const auto last = compiler::Int128{text.first} + compiler::Int128{text.step} * (space.steps - 1);
  hold(text.step > 0 && within_ticks(text.step) && within_ticks(text.first) && last <= largest_ticks,
       "{} runs out of range", of);
}

void hold_pieces(const Policy& policy) {
  std::uint32_t next = 0;
  for (std::size_t i = 0; i < policy.pieces.size(); ++i) {
    const auto& piece = policy.pieces[i];
    hold(piece.first_property == next && piece.properties <= policy.properties.size() - next,
         "pieces/{} has properties that are not its own", i);
    for (std::uint32_t k = 0; k < piece.properties; ++k, ++next)
      hold(policy.properties[next].piece == i && policy.tables.piece_of[next] == i,
           "properties/{} is of another piece than its own", next);
  }
  hold(next == policy.properties.size(), "properties are left over");
}

void hold_sure(const Policy& policy, std::size_t i) {
  const auto& sure = policy.sures[i];
  const auto of = fmt::format("make_sure/{}", i);
  hold_box(policy.tables, sure.when, of);
  if (sure.of_piece()) {
    hold(sure.target < policy.pieces.size(), "{} is about no piece", of);
    return;
  }
  hold(sure.target < policy.properties.size(), "{} is about no property", of);
  const auto& space = policy.tables.answers[sure.target];
  const bool names_members = sure.kind == Sure::Kind::one_of;
  hold(sure.members.empty() != names_members, "{} names members where it has a bound, or none where it should", of);
  hold(std::adjacent_find(sure.members.begin(), sure.members.end(), std::greater_equal<>()) == sure.members.end() &&
           (sure.members.empty() || sure.members.back() < space.steps),
       "{} names members that there are not", of);
  hold(space.ordered != names_members, "{} is about a choice, which has no order, or names members of what has one",
       of);
  hold(0 <= sure.low && sure.low <= sure.high && sure.high < space.steps, "{} names steps that there are not", of);
  hold(sure.detail < policy.details.size(), "{} rises with no detail", of);
  hold(!sure.moves() || policy.details[sure.detail].scale.kind != Scale::Kind::choice, "{} rises with a choice", of);
}

// That a search for a player looks at no more of them than the checker lets pass, each of two details at least, or of a
// choice.
void hold_nobody(const Policy& policy) {
  hold(policy.nobody.size() <= most_nobody, "nobody has more than {} lines", most_nobody);
  const auto& all = policy.tables.shut_out;
  for (std::size_t i = 0; i < all.size(); ++i) {
    const auto of = fmt::format("tables/shut_out/{}", i);
    hold(all[i].line < policy.nobody.size() && (i == 0 || all[i - 1].line < all[i].line),
         "{} is of no line, or of one that stands before the last", of);
    hold_box(policy.tables, all[i].box, of);
    const auto under = policy.tables.asked_under(all[i].box);
    const bool a_choice =
        !all[i].box.empty() && policy.scale_of(all[i].box.front().column).kind == compiler::Scale::Kind::choice;
    hold(a_choice || std::count(under.begin(), under.end(), true) >= 2, "{} is about one detail alone", of);
  }
}

}  // namespace

void hold_together(const Policy& policy) {
  const auto& tables = policy.tables;
  hold(policy.details.size() + policy.worked_out.size() <= most_details, "details are more than {}", most_details);
  hold(policy.pieces.size() + policy.properties.size() <= most_kit_names, "pieces and properties are more than {}",
       most_kit_names);
  hold(policy.rules.size() <= most_rules, "rules are more than {}", most_rules);
  hold(policy.sures.size() <= most_sures, "make_sure has more than {} lines", most_sures);
  hold(!policy.pieces.empty(), "pieces is empty");
  hold(policy.currency.empty() || grammar::currency_digits(policy.currency), "currency is none");
  hold(is_day(policy.in_force_from) && is_day(policy.in_force_to.value_or(policy.in_force_from)) &&
           policy.in_force_from <= policy.in_force_to.value_or(policy.in_force_from),
       "in_force_from and in_force_to are no days, or ends before it begins");
  hold_tables_shape(policy);
  for (std::size_t i = 0; i < policy.details.size(); ++i) hold_asked(policy, i);
  for (std::size_t i = 0; i < policy.properties.size(); ++i) hold_property(policy, i);
  hold_pieces(policy);
  for (std::size_t i = 0; i < policy.worked_out.size(); ++i) {
    const auto of = fmt::format("worked_out/{}", i);
    const auto& scale = policy.worked_out[i].scale;
    hold(!scale.has_members() || tables.worked_out[i].formula.empty(), "{} has members", of);
    hold_scale(policy, scale, of);
    hold(tables.worked_out[i].plain_number == (!scale.has_members() && scale.dimension == Dimension::number),
         "{} is a plain number and is none", of);
  }
  hold_columns(policy);
  hold_tables(policy);
  hold_worked_out(policy);
  hold_charts(policy);
  for (std::size_t i = 0; i < policy.sures.size(); ++i) hold_sure(policy, i);
  hold_nobody(policy);
  hold_shop(policy);
}

}  // namespace lacestay::runtime
