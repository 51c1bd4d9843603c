#include "runtime/stock/cells.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <vector>

#include "compiler/values/days.hpp"
#include "compiler/values/names.hpp"
#include "grammar/read/reader.hpp"
#include "grammar/text/letters.hpp"
#include "runtime/base/table_words.hpp"

namespace lacestay::runtime {

using grammar::is_digit;
using grammar::is_letter;

namespace {

// Where the text before a dash or the word to ends, and where the text after it begins.
struct Parted {
  std::string_view before, after;
};

std::optional<Parted> parted(std::string_view text) {
  if (const auto to = text.find(" to "); to != text.npos)
    return Parted{trimmed(text.substr(0, to)), trimmed(text.substr(to + 4))};
  for (const std::string_view dash :
       {"-", "\xE2\x80\x90", "\xE2\x80\x91", "\xE2\x80\x92", "\xE2\x80\x93", "\xE2\x80\x94"})
    if (const auto at = text.find(dash); at != text.npos && at > 0)
      return Parted{trimmed(text.substr(0, at)), trimmed(text.substr(at + dash.size()))};
  return std::nullopt;
}

// The marks of feet and inches as a word processor turns them.
std::string with_plain_marks(std::string text) {
  static constexpr std::array<std::pair<std::string_view, char>, 5> turned = {{{"\xE2\x80\x99", '\''},
                                                                               {"\xE2\x80\xB2", '\''},
                                                                               {"\xE2\x80\x9C", '"'},
                                                                               {"\xE2\x80\x9D", '"'},
                                                                               {"\xE2\x80\xB3", '"'}}};
  for (const auto& [mark, plain] : turned)
    for (auto at = text.find(mark); at != text.npos; at = text.find(mark, at)) text.replace(at, mark.size(), 1, plain);
  return text;
}

// What follows the last digit or fraction: the unit, which serves both ends of a range.
std::string_view unit_of(std::string_view text) {
  auto at = text.size();
  while (at > 0 && (is_letter(text[at - 1]) || text[at - 1] == ' ' ||
                    std::string_view("%'\"").find(text[at - 1]) != std::string_view::npos))
    --at;
  return trimmed(text.substr(at));
}

}  // namespace

const std::optional<ItemValue>& CellReader::read(const std::string& text) {
  const auto [at, fresh] = known_.try_emplace(text);
  if (fresh) at->second = text.empty() ? ItemValue{} : scale_->has_members() ? members(text) : amounts(text);
  return at->second;
}

// One member, or several with commas, semicolons, the words or and and, or slashes between them. The whole is looked at
// first, and slashes part last: "S/M" may be what one size is shown as.
bool CellReader::add_members(std::string_view text, std::size_t depth, ItemValue& value) const {
  static const std::array<std::vector<std::string_view>, 2> joints = {{{" or ", " and ", ";", ","}, {"/"}}};
  const auto member = scale_->member_called(plain_name(text), text);
  if (member) {
    value.members |= *member < 64 ? std::uint64_t{1} << *member : 0;
    return *member < 64;
  }
  if (depth == joints.size()) return false;
  for (std::size_t at = 0;;) {
    std::size_t end = text.size(), next = text.npos;
    for (const auto joint : joints[depth])
      if (const auto found = text.find(joint, at); found < end) end = found, next = found + joint.size();
    if (!add_members(text.substr(at, end - at), depth + 1, value)) return false;
    if (next == text.npos) return true;
    at = next;
  }
}

std::optional<ItemValue> CellReader::members(std::string_view text) const {
  ItemValue value{true, 0, 0, 0};
  return add_members(text, 0, value) ? std::optional(value) : std::nullopt;
}

std::optional<ItemValue> CellReader::amounts(std::string_view text) const {
  const auto plain = with_plain_marks(std::string(trimmed(text)));
  text = plain;
  if (const auto one = amount(text)) return ItemValue{true, 0, *one, *one};
  const auto ends = parted(text);
  if (!ends) return std::nullopt;
  const auto high = amount(ends->after);
  // One unit may serve both ends; it beats the heading's.
  const bool shared = unit_of(ends->before).empty() && !unit_of(ends->after).empty();
  const auto low =
      amount(shared ? fmt::format("{} {}", ends->before, unit_of(ends->after)) : std::string(ends->before));
  if (!low || !high || *low > *high) return std::nullopt;
  return ItemValue{true, 0, *low, *high};
}

std::optional<std::int64_t> CellReader::amount(std::string_view text) const {
  if (text.empty() || text.front() == '-') return std::nullopt;
  const auto pointed = with_point(text);
  if (!pointed) return std::nullopt;
  auto written = *pointed;
  // Money has its digits and no more: 1.200 may be meant for 1200.
  if (const auto point = written.find('.'); scale_->dimension == compiler::Dimension::money && point != written.npos) {
    const auto digits =
        std::find_if_not(written.begin() + static_cast<std::ptrdiff_t>(point) + 1, written.end(), is_digit);
    if (digits - written.begin() - static_cast<std::ptrdiff_t>(point) - 1 > scale_->money_digits) return std::nullopt;
  }
  const bool bare = unit_of(written).empty() && written.find('\'') == written.npos;  // 4'6 is feet and inches
  if (bare && !unit_.empty()) written += " " + unit_;
  // A bare price is in the policy's money.
  if (bare && unit_.empty() && scale_->dimension == compiler::Dimension::money) written += " " + currency_;
  const grammar::Source source("a cell", written);
  const auto value = grammar::read_value(source);
  const auto* quantity = value ? std::get_if<grammar::Quantity>(&*value) : nullptr;
  if (const auto* date = value ? std::get_if<grammar::Date>(&*value) : nullptr;
      date && scale_->kind == compiler::Scale::Kind::day)
    return compiler::day_number(*date);
  if (!quantity || scale_->kind != compiler::Scale::Kind::amount) return std::nullopt;
  const auto ticks = compiler::ticks_of(*quantity, {scale_->dimension, currency_, scale_->bare_unit});
  const auto* found = std::get_if<std::int64_t>(&ticks);
  return found ? std::optional(*found) : std::nullopt;
}

std::string CellReader::wants() const {
  if (scale_->has_members()) return "";
  if (scale_->dimension == compiler::Dimension::age) return ": an age is told in whole months, or in whole years";
  if (no_money()) return ": the policy does not say what its money is";
  return "";
}

bool CellReader::no_money() const { return scale_->dimension == compiler::Dimension::money && currency_.empty(); }

std::string CellReader::accepts() const {
  using compiler::Dimension;
  if (scale_->has_members()) return "one or more of " + compiler::listed(scale_->shown_members());
  if (scale_->kind == compiler::Scale::Kind::day) return "a day, as in: 31 August 2027, or 2027-08-31";
  switch (scale_->dimension) {
    case Dimension::length: return "a length or a range of it, as in: 265 mm, or 96-104 cm";
    case Dimension::weight: return "a weight or a range of it, as in: 30 kg, or 30-40 kg";
    case Dimension::flex: return "a flex, as in: 75 flex";
    case Dimension::money: return "a sum, as in: 45.50" + (no_money() ? "" : " " + currency_);
    case Dimension::age: return "an age in whole months or a range of it, as in: 9 years, 114 months, or 9-12 years";
    default: return "a number or a range of it, as in: 7, or 7-9";
  }
}

std::string write_value(const compiler::Scale& scale, const ItemValue& value) {
  if (!value.known) return "";
  if (!scale.has_members())
    return value.low == value.high
               ? scale.write(value.low)
               : compiler::show_range(value.low, value.high, scale.dimension, scale.shown, scale.money_digits);
  std::string out;
  for (std::size_t member = 0; member < scale.members.size(); ++member)
    if (member < 64 && (value.members >> member & 1) != 0)
      out += (out.empty() ? "" : ", ") + scale.shown_member(member);
  return out;
}

}  // namespace lacestay::runtime
