// What a sealed policy holds of each part of a policy: one list of keys and members a struct, by which it is written
// and read alike, and the words for enumerators in their order. Inner to runtime/.
//
// A key that is added, goes or changes its meaning makes another form (sealed_policy.hpp). A field says from which form
// on there is its key; in an older document the member keeps its default, unless `unseal` gives it what it meant then.
#pragma once

#include <array>
#include <tuple>

#include "compiler/tables/policy.hpp"

namespace lacestay::runtime {

template <typename Struct, typename Member>
struct Field {
  const char* key;
  Member Struct::*member;
  int since;
};
template <typename Struct, typename Member>
constexpr Field<Struct, Member> field(const char* key, Member Struct::*member, int since = 1) {
  return {key, member, since};
}

// std::tuple of the fields of a struct; std::array of the words of an enumeration.
template <typename T>
inline constexpr auto fields_of = nullptr;
template <typename T>
inline constexpr auto words_of = nullptr;

// How many keys a struct has in a form.
template <typename T>
[[nodiscard]] constexpr std::size_t keys_in(int form) {
  return std::apply([form](const auto&... each) { return (std::size_t{each.since <= form} + ...); }, fields_of<T>);
}

// ---- quantities and formulas

template <>
inline constexpr auto words_of<compiler::Dimension> =
    std::array{"length", "weight", "age", "flex", "money", "number", "day"};
template <>
inline constexpr auto words_of<grammar::Unit> =
    std::array{"millimetre", "centimetre", "metre", "inch", "foot",  "gram", "kilogram",
               "ounce",      "pound",      "stone", "year", "month", "flex", "percent"};
template <>
inline constexpr auto fields_of<compiler::ShownUnit> = std::tuple{
    field("currency", &compiler::ShownUnit::currency), field("fractions", &compiler::ShownUnit::fractions, 3),
    field("parts", &compiler::ShownUnit::parts, 3), field("unit", &compiler::ShownUnit::unit)};

template <>
inline constexpr auto fields_of<compiler::Rational> = std::tuple{field("denominator", &compiler::Rational::denominator),
                                                                 field("numerator", &compiler::Rational::numerator)};
template <>
inline constexpr auto words_of<compiler::FormulaStep::Kind> =
    std::array{"detail",  "constant",    "add",    "subtract", "multiply",   "divide",       "larger",
               "smaller", "whole_years", "shrink", "round_up", "round_down", "round_nearest"};
template <>
inline constexpr auto fields_of<compiler::FormulaStep> =
    std::tuple{field("denominator", &compiler::FormulaStep::denominator), field("index", &compiler::FormulaStep::index),
               field("kind", &compiler::FormulaStep::kind), field("numerator", &compiler::FormulaStep::numerator)};

// ---- tables

template <>
inline constexpr auto fields_of<compiler::Cut> =
    std::tuple{field("after", &compiler::Cut::after), field("at", &compiler::Cut::at)};
template <>
inline constexpr auto fields_of<compiler::AskedDomain> =
    std::tuple{field("grain", &compiler::AskedDomain::grain), field("highest", &compiler::AskedDomain::highest),
               field("lowest", &compiler::AskedDomain::lowest), field("members", &compiler::AskedDomain::members),
               field("plain_number", &compiler::AskedDomain::plain_number)};
template <>
inline constexpr auto fields_of<compiler::WorkedOut> =
    std::tuple{field("chart", &compiler::WorkedOut::chart),
               field("fits_64", &compiler::WorkedOut::fits_64),
               field("formula", &compiler::WorkedOut::formula),
               field("highest", &compiler::WorkedOut::highest),
               field("inputs", &compiler::WorkedOut::inputs),
               field("largest_denominator", &compiler::WorkedOut::largest_denominator),
               field("largest_numerator", &compiler::WorkedOut::largest_numerator),
               field("lowest", &compiler::WorkedOut::lowest),
               field("plain_number", &compiler::WorkedOut::plain_number)};
template <>
inline constexpr auto fields_of<compiler::Column> =
    std::tuple{field("cuts", &compiler::Column::cuts), field("detail", &compiler::Column::detail),
               field("places", &compiler::Column::places), field("worked_out", &compiler::Column::worked_out)};
template <>
inline constexpr auto fields_of<compiler::Cell> =
    std::tuple{field("column", &compiler::Cell::column), field("places", &compiler::Cell::places)};
template <>
inline constexpr auto words_of<compiler::Effect> =
    std::array{"base", "keep",    "floor", "cap",     "step",  "refer",  "present",
               "need", "suggest", "omit",  "caution", "value", "applies"};
template <>
inline constexpr auto fields_of<compiler::Row> =
    std::tuple{field("binds", &compiler::Row::binds, 2), field("cells", &compiler::Row::box),
               field("effect", &compiler::Row::effect),  field("entry", &compiler::Row::entry),
               field("high", &compiler::Row::high),      field("low", &compiler::Row::low),
               field("rule", &compiler::Row::rule),      field("safety", &compiler::Row::safety)};
template <>
inline constexpr auto fields_of<compiler::AnswerSpace> =
    std::tuple{field("band", &compiler::AnswerSpace::band), field("ordered", &compiler::AnswerSpace::ordered),
               field("steps", &compiler::AnswerSpace::steps)};
template <>
inline constexpr auto words_of<compiler::Table::Kind> =
    std::array{"property", "piece", "caution", "detail", "shop_line"};
template <>
inline constexpr auto fields_of<compiler::Table> =
    std::tuple{field("columns", &compiler::Table::columns), field("kind", &compiler::Table::kind),
               field("outranks", &compiler::Table::outranks), field("rows", &compiler::Table::rows),
               field("target", &compiler::Table::target)};
template <>
inline constexpr auto fields_of<compiler::ShutOut> =
    std::tuple{field("cells", &compiler::ShutOut::box), field("line", &compiler::ShutOut::line)};
template <>
inline constexpr auto words_of<compiler::Presence> = std::array{"always", "optional", "conditional"};
template <>
inline constexpr auto fields_of<compiler::Tables> =
    std::tuple{field("answers", &compiler::Tables::answers),   field("asked", &compiler::Tables::asked),
               field("columns", &compiler::Tables::columns),   field("piece_of", &compiler::Tables::piece_of),
               field("presence", &compiler::Tables::presence), field("shut_out", &compiler::Tables::shut_out, 3),
               field("tables", &compiler::Tables::tables),     field("worked_out", &compiler::Tables::worked_out)};

// ---- texts

template <>
inline constexpr auto fields_of<compiler::WrittenAmount> =
    std::tuple{field("at", &compiler::WrittenAmount::at), field("units", &compiler::WrittenAmount::units)};
template <>
inline constexpr auto words_of<compiler::Scale::Kind> = std::array{"amount", "day", "grades", "choice"};
template <>
inline constexpr auto fields_of<compiler::Scale> =
    std::tuple{field("bare_unit", &compiler::Scale::bare_unit), field("dimension", &compiler::Scale::dimension),
               field("edges", &compiler::Scale::edges, 3),      field("kind", &compiler::Scale::kind),
               field("members", &compiler::Scale::members),     field("money_digits", &compiler::Scale::money_digits),
               field("shown", &compiler::Scale::shown),         field("shown_as", &compiler::Scale::shown_as, 3),
               field("whole", &compiler::Scale::whole)};
template <>
inline constexpr auto fields_of<compiler::DetailText> =
    std::tuple{field("may_be_blank", &compiler::DetailText::may_be_blank),
               field("may_change", &compiler::DetailText::may_change),
               field("name", &compiler::DetailText::name),
               field("precision", &compiler::DetailText::precision),
               field("question", &compiler::DetailText::question),
               field("scale", &compiler::DetailText::scale),
               field("span", &compiler::DetailText::span)};
template <>
inline constexpr auto fields_of<compiler::WorkedOutText> =
    std::tuple{field("name", &compiler::WorkedOutText::name), field("scale", &compiler::WorkedOutText::scale),
               field("span", &compiler::WorkedOutText::span)};
template <>
inline constexpr auto fields_of<compiler::PieceText> =
    std::tuple{field("first_property", &compiler::PieceText::first_property),
               field("label", &compiler::PieceText::label), field("name", &compiler::PieceText::name),
               field("properties", &compiler::PieceText::properties), field("span", &compiler::PieceText::span)};
template <>
inline constexpr auto fields_of<compiler::PropertyText> =
    std::tuple{field("first", &compiler::PropertyText::first), field("label", &compiler::PropertyText::label),
               field("name", &compiler::PropertyText::name),   field("piece", &compiler::PropertyText::piece),
               field("scale", &compiler::PropertyText::scale), field("sizes", &compiler::PropertyText::sizes, 3),
               field("span", &compiler::PropertyText::span),   field("step", &compiler::PropertyText::step)};
template <>
inline constexpr auto words_of<compiler::RuleText::Kind> = std::array{"chart", "rule", "declaration"};
template <>
inline constexpr auto fields_of<compiler::RuleText> = std::tuple{field("because", &compiler::RuleText::because),
                                                                 field("caution", &compiler::RuleText::caution),
                                                                 field("effect", &compiler::RuleText::effect),
                                                                 field("entries", &compiler::RuleText::entries),
                                                                 field("kind", &compiler::RuleText::kind),
                                                                 field("name", &compiler::RuleText::name),
                                                                 field("safety", &compiler::RuleText::safety),
                                                                 field("sized_from", &compiler::RuleText::sized_from),
                                                                 field("sized_to", &compiler::RuleText::sized_to, 3),
                                                                 field("source", &compiler::RuleText::source),
                                                                 field("span", &compiler::RuleText::span),
                                                                 field("whom", &compiler::RuleText::whom, 3)};
template <>
inline constexpr auto words_of<compiler::Sure::Kind> =
    std::array{"needed", "left_out", "at_least", "at_most", "within", "never_falls", "never_rises", "one_of"};
template <>
inline constexpr auto fields_of<compiler::Sure> = std::tuple{field("advice_alone", &compiler::Sure::advice_alone, 2),
                                                             field("cells", &compiler::Sure::when),
                                                             field("detail", &compiler::Sure::detail),
                                                             field("high", &compiler::Sure::high),
                                                             field("kind", &compiler::Sure::kind),
                                                             field("low", &compiler::Sure::low),
                                                             field("members", &compiler::Sure::members, 2),
                                                             field("span", &compiler::Sure::span),
                                                             field("target", &compiler::Sure::target)};

template <>
inline constexpr auto fields_of<compiler::NobodyText> =
    std::tuple{field("sentence", &compiler::NobodyText::sentence), field("span", &compiler::NobodyText::span)};

// ---- the shelf and the till

// From this form on a piece may have several accept lines, and has a list of them.
inline constexpr int several_accepts_since = 3;

template <>
inline constexpr auto words_of<compiler::Requirement::Kind> = std::array{
    "as_advised", "at_least", "at_most", "within", "covers", "in_date", "is", "condition_new", "price", "made"};
template <>
inline constexpr auto words_of<compiler::Requirement::Goods> = std::array{"all", "new", "used"};
template <>
inline constexpr auto fields_of<compiler::Requirement> =
    std::tuple{field("column", &compiler::Requirement::column),
               field("goods", &compiler::Requirement::goods, 4),
               field("kind", &compiler::Requirement::kind),
               field("least", &compiler::Requirement::least, 3),
               field("member", &compiler::Requirement::member),
               field("most", &compiler::Requirement::most, 3),
               field("once_cut_to", &compiler::Requirement::once_cut_to),
               field("property", &compiler::Requirement::property),
               field("span", &compiler::Requirement::span)};
template <>
inline constexpr auto words_of<compiler::Instead::Kind> = std::array{"step", "any", "refer", "order", "any_condition"};
template <>
inline constexpr auto fields_of<compiler::Instead> =
    std::tuple{field("kind", &compiler::Instead::kind), field("note", &compiler::Instead::note, 4),
               field("property", &compiler::Instead::property), field("span", &compiler::Instead::span),
               field("steps", &compiler::Instead::steps)};
template <>
inline constexpr auto fields_of<compiler::Acceptance> =
    std::tuple{field("instead", &compiler::Acceptance::instead), field("players", &compiler::Acceptance::players, 3),
               field("requirements", &compiler::Acceptance::requirements), field("span", &compiler::Acceptance::span)};
template <>
inline constexpr auto fields_of<compiler::Link> =
    std::tuple{field("both_ways", &compiler::Link::both_ways, 4), field("partner", &compiler::Link::partner),
               field("piece", &compiler::Link::piece), field("span", &compiler::Link::span)};
template <>
inline constexpr auto fields_of<compiler::Worth> =
    std::tuple{field("amount", &compiler::Worth::amount), field("players", &compiler::Worth::players, 3),
               field("property", &compiler::Worth::property), field("span", &compiler::Worth::span)};
template <>
inline constexpr auto words_of<compiler::Deal::Gives> = std::array{"percent_off", "sum_off", "price_together"};
template <>
inline constexpr auto fields_of<compiler::Deal::Tag> =
    std::tuple{field("least", &compiler::Deal::Tag::least), field("most", &compiler::Deal::Tag::most),
               field("piece", &compiler::Deal::Tag::piece)};
template <>
inline constexpr auto fields_of<compiler::Deal> = std::tuple{field("adds_to", &compiler::Deal::adds_to),
                                                             field("amount", &compiler::Deal::amount),
                                                             field("at_least", &compiler::Deal::at_least),
                                                             field("because", &compiler::Deal::because),
                                                             field("denominator", &compiler::Deal::denominator),
                                                             field("gives", &compiler::Deal::gives),
                                                             field("label", &compiler::Deal::label),
                                                             field("make", &compiler::Deal::make),
                                                             field("name", &compiler::Deal::name),
                                                             field("numerator", &compiler::Deal::numerator),
                                                             field("off_pieces", &compiler::Deal::off_pieces, 3),
                                                             field("one_make", &compiler::Deal::one_make),
                                                             field("pieces", &compiler::Deal::pieces),
                                                             field("players", &compiler::Deal::players, 3),
                                                             field("span", &compiler::Deal::span),
                                                             field("tags", &compiler::Deal::tags, 3),
                                                             field("whole_kit", &compiler::Deal::whole_kit, 3)};
template <>
inline constexpr auto words_of<compiler::PlanStep::Kind> =
    std::array{"hire", "borrow", "buy_used", "put_off", "settle"};
template <>
inline constexpr auto fields_of<compiler::PlanStep> =
    std::tuple{field("any_condition", &compiler::PlanStep::any_condition, 4),
               field("cost", &compiler::PlanStep::cost),
               field("kind", &compiler::PlanStep::kind),
               field("piece", &compiler::PlanStep::piece),
               field("players", &compiler::PlanStep::players, 3),
               field("property", &compiler::PlanStep::property, 3),
               field("span", &compiler::PlanStep::span),
               field("steps", &compiler::PlanStep::steps, 3)};
template <>
inline constexpr auto fields_of<compiler::ShopItem> =
    std::tuple{field("about", &compiler::ShopItem::about), field("text", &compiler::ShopItem::text)};
template <>
inline constexpr auto fields_of<compiler::Shop> = std::tuple{field("accepts", &compiler::Shop::accepts),
                                                             field("deals", &compiler::Shop::deals),
                                                             field("items", &compiler::Shop::items),
                                                             field("links", &compiler::Shop::links, 3),
                                                             field("plan", &compiler::Shop::plan),
                                                             field("protection", &compiler::Shop::protection),
                                                             field("round_on_bill", &compiler::Shop::round_on_bill),
                                                             field("worth", &compiler::Shop::worth)};

// ---- the whole, but for its sources (sources.hpp) and what the document says of itself

template <>
inline constexpr auto fields_of<compiler::Policy> = std::tuple{field("cautions", &compiler::Policy::cautions),
                                                               field("currency", &compiler::Policy::currency),
                                                               field("details", &compiler::Policy::details),
                                                               field("edition", &compiler::Policy::edition),
                                                               field("in_force_from", &compiler::Policy::in_force_from),
                                                               field("in_force_to", &compiler::Policy::in_force_to),
                                                               field("make_sure", &compiler::Policy::sures),
                                                               field("nobody", &compiler::Policy::nobody, 3),
                                                               field("pieces", &compiler::Policy::pieces),
                                                               field("properties", &compiler::Policy::properties),
                                                               field("rules", &compiler::Policy::rules),
                                                               field("shop", &compiler::Policy::shop),
                                                               field("tables", &compiler::Policy::tables),
                                                               field("title", &compiler::Policy::title),
                                                               field("worked_out", &compiler::Policy::worked_out)};

}  // namespace lacestay::runtime
