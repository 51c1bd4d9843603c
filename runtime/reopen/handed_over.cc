#include "runtime/reopen/handed_over.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cctype>

#include "compiler/shelf/stages.hpp"
#include "compiler/values/names.hpp"
#include "grammar/read/reader.hpp"
#include "runtime/advice/words.hpp"
#include "runtime/base/table_words.hpp"

namespace lacestay::runtime {
namespace {

// Words with one _ between them and at both ends, so that each can be found whole: "_stick_flex_50_flex_".
std::string as_words(const std::string& text) { return "_" + plain_name(text) + "_"; }

// Where a name or its label is found among the words, and its length without the final _.
struct Found {
  std::size_t at = std::string::npos, length = 0;
};
Found find_in(const std::string& words, const std::string& name, const std::string& label) {
  Found best;
  for (const auto& each : {as_words(name), as_words(label)}) {
    if (each.size() < 3) continue;
    const auto at = words.find(each);
    const bool better = at < best.at || (at == best.at && each.size() - 1 > best.length);
    if (at != words.npos && better) best = {at, each.size() - 1};
  }
  return best;
}

void add_safety(const Answer& answer, std::vector<std::string>& safety) {
  using Role = compiler::Role::Kind;
  for (const auto& part : answer.parts) {
    if (!part.safety || part.role == Role::silenced || part.role == Role::overruled) continue;
    auto says = part.rule + (part.because.empty() ? "" : ": " + part.because);
    if (std::find(safety.begin(), safety.end(), says) == safety.end()) safety.push_back(std::move(says));
  }
}

// What is said of a property in the part between two commas that names it: "size 220 mm", ", flex: 50".
std::string value_said(const std::string& what, const PropertyAdvice& property) {
  for (std::size_t begin = 0; begin <= what.size();) {
    const auto end = std::min(what.find_first_of(",;", begin), what.size());
    const auto part = what.substr(begin, end - begin);
    for (std::size_t at = 1; at <= part.size(); ++at) {
      const bool word_goes_on =
          at < part.size() && (std::isalnum(static_cast<unsigned char>(part[at])) || part[at] == '_');
      const auto words = as_words(part.substr(0, at));
      const auto named = [&](const std::string& name) { return name.size() > 0 && words.ends_with(as_words(name)); };
      if (word_goes_on || !(named(property.name) || named(property.label))) continue;
      const auto value = part.find_first_not_of(" :=-", at);
      return value == part.npos ? "" : part.substr(value);
    }
    begin = end + 1;
  }
  return "";
}

// A member's place, or an amount in ticks; nothing where the words are not just one.
std::optional<std::int64_t> value_read(const compiler::Policy& policy, const compiler::Scale& scale,
                                       const std::string& said) {
  if (scale.has_members()) {
    const auto words = as_words(said);
    const auto is = [&](const std::string& name) { return words == as_words(name); };
    const auto says = [&](const std::string& name) { return words.find(as_words(name)) != std::string::npos; };
    for (std::size_t i = 0; i < scale.members.size(); ++i)
      if (is(scale.members[i]) || is(scale.shown_member(i))) return static_cast<std::int64_t>(i);
    std::optional<std::int64_t> found;
    for (std::size_t i = 0; i < scale.members.size(); ++i) {
      if (!says(scale.members[i]) && !says(scale.shown_member(i))) continue;
      if (found) return std::nullopt;
      found = static_cast<std::int64_t>(i);
    }
    return found;
  }
  const grammar::Source source("what was handed over", said);
  const auto value = grammar::read_value(source);
  const auto* quantity = value ? std::get_if<grammar::Quantity>(&*value) : nullptr;
  if (!quantity) return std::nullopt;
  const auto ticks = compiler::ticks_of(*quantity, {scale.dimension, policy.currency, scale.bare_unit});
  const auto* held = std::get_if<std::int64_t>(&ticks);
  return held ? std::optional(*held) : std::nullopt;
}

// The rules that bind items of a property and that the value does not keep to. One that gave the answer itself is kept
// to, but for more, or less, where that is accepted.
void add_broken(const compiler::Policy& policy, const PropertyAdvice& advice, const compiler::PropertyText& text,
                const std::string& what, std::vector<HandedOver::Broken>& broken) {
  const auto value = value_read(policy, text.scale, value_said(what, advice));
  if (!value) return;
  const auto& answer = advice.answer;
  const auto& table = policy.tables.tables[answer.table];
  const auto at = [&](std::int64_t step) { return text.scale.has_members() ? step : text.at(step); };
  // What each accept line asks first; which of several is for this player does not matter to what none of them lets.
  std::vector<compiler::Asked> asked;
  for (const auto& stage : compiler::stages_of(policy, text.piece))
    if (!stage.instead && !stage.settled)
      asked.push_back(stage.asked[answer.table - policy.pieces[text.piece].first_property]);
  if (asked.empty()) asked.emplace_back();
  const auto last = std::int64_t{policy.tables.answers[table.target].steps} - 1;
  for (const auto& part : answer.parts) {
    const auto& row = table.rows[part.row];
    if (!row.binds || part.role == compiler::Role::Kind::silenced || part.says == one_of_several) continue;
    if (compiler::makes_base(row.effect) && !answer.certain) continue;
    const bool kept = std::any_of(asked.begin(), asked.end(), [&](const compiler::Asked& by_line) {
      const auto steps = compiler::steps_bound(by_line, compiler::bounds_of(row, last), answer.possible.front());
      // Past the declared range lies what no rule speaks of.
      return (!steps.among || compiler::has_member(*steps.among, *value)) &&
             (steps.low == 0 || *value >= at(steps.low)) && (steps.high == last || *value <= at(steps.high));
    });
    if (!kept) broken.push_back({part.rule, part.says});
  }
}

template <typename... Parts>
Problem refused(fmt::format_string<const Parts&...> clause, const Parts&... parts) {
  return {"", fmt::format(clause, parts...)};
}

std::string text_of_answer(const compiler::Policy& policy, const Answer& answer) {
  return fmt::format("{}", fmt::join(possible_in_words(policy, answer), ", or "));
}

// The words are just one of those that the advice leaves open.
bool will_do(const compiler::Policy& policy, const Answer& answer, const std::string& words) {
  const auto& advised = answer.possible.front();
  if (!answer.certain || advised.standing != Standing::answered || !compiler::leaves_open(advised.low)) return false;
  const auto& scale = policy.properties[policy.tables.tables[answer.table].target].scale;
  for (std::size_t i = 0; i < scale.members.size(); ++i)
    if (words == as_words(scale.members[i]) || words == as_words(scale.shown_member(i)))
      return compiler::has_member(compiler::members_of(advised.low), static_cast<std::int64_t>(i));
  return false;
}

}  // namespace

Result<HandedOver> read_handed_over(const Advice& advice, const std::string& what) {
  const auto& policy = *advice.given_by;
  auto words = as_words(what);
  bool left_out = false;
  for (const std::string none : {"_without", "_no"})
    if (words.rfind(none + "_", 0) == 0) left_out = true, words.erase(0, none.size());
  // The piece it begins with: the longest, for one name may begin with another.
  const PieceAdvice* piece = nullptr;
  std::size_t length = 0;
  std::vector<std::string> names;
  for (const auto& each : advice.pieces) {
    names.push_back(each.name);
    const auto found = find_in(words, each.name, each.label);
    if (found.at == 0 && found.length > length) piece = &each, length = found.length;
  }
  if (!piece)
    return refused("'{}' does not begin with a piece of that policy; there are {}", what, compiler::listed(names));
  const auto rest = words.substr(length);
  for (const auto& other : advice.pieces) {
    if (&other == piece || find_in(rest, other.name, other.label).at == rest.npos) continue;
    return refused("'{}' names {} and {}; record each by itself", what, piece->name, other.name);
  }
  if (!left_out && rest == "_")
    return refused("'{}' does not say what was different: write what it was, or without {}", what, piece->name);
  HandedOver said;
  said.what = what;
  said.piece = piece->name;
  said.protection = policy.shop.protection[static_cast<std::size_t>(piece - advice.pieces.data())];
  std::vector<const PropertyAdvice*> named;
  for (const auto& property : piece->properties)
    if (!left_out && find_in(rest, property.name, property.label).at != rest.npos) named.push_back(&property);
  if (named.empty()) {
    // The piece itself, and with it all that is asked of it.
    said.advised = text_of_answer(policy, piece->presence);
    add_safety(piece->presence, said.safety);
    for (const auto& property : piece->properties) add_safety(property.answer, said.safety);
  } else if (named.size() == 1) {
    said.property = named.front()->name;
    said.advised = text_of_answer(policy, named.front()->answer);
  } else {
    for (const auto* property : named)
      said.advised += fmt::format("{}{} {}", said.advised.empty() ? "" : ", ", property->name,
                                  text_of_answer(policy, property->answer));
  }
  for (const auto* property : named) {
    add_safety(property->answer, said.safety);
    add_broken(policy, *property, policy.properties[policy.tables.tables[property->answer.table].target], what,
               said.broken);
  }
  // A word may be another piece's answer: "helmet without cage".
  for (const auto& other : advice.pieces)
    for (const auto& property : other.properties)
      for (const auto& answer : possible_in_words(policy, property.answer))
        if (find_in(rest, answer, "").at != rest.npos) add_safety(property.answer, said.safety);
  // What stands after all that is named, where that is one thing.
  auto value = rest;
  if (named.size() == 1) {
    const auto name = find_in(rest, named.front()->name, named.front()->label);
    value = name.at == 0 ? rest.substr(name.length) : "";
  }
  const bool open = named.size() == 1 && will_do(policy, named.front()->answer, value);
  if (!left_out && named.size() <= 1 && (open || value == as_words(said.advised)))
    return refused("{} {} is what was advised", said.about(), said.advised);
  return said;
}

}  // namespace lacestay::runtime
