// One mistake, one message: names of things that something was said about already, and what was meant by an unknown
// name. Inner to compiler/.
#pragma once

#include <fmt/format.h>

#include <limits>
#include <string>
#include <string_view>
#include <vector>

#include "compiler/check/checker.hpp"
#include "compiler/values/names.hpp"

namespace lacestay::compiler {

// What a detail or a property is known as once its own line was found wrong: its name is declared, and nothing more is
// said where it is used.
inline constexpr ColumnId told_column = std::numeric_limits<ColumnId>::max();
inline constexpr std::uint32_t told_target = std::numeric_limits<std::uint32_t>::max();

// The name that was probably meant, or nothing. Each guess compares with every name, so past a number of messages none
// is made: such a file was not mistyped.
inline std::string meant_by(const Checker& checker, std::string_view name, const std::vector<std::string>& known) {
  constexpr std::size_t most_guesses = 50;
  return checker.diagnostics.size() > most_guesses ? std::string() : nearest_name(name, known);
}

// What an unknown name may have been meant for, as a hint: the nearest in spelling; else the names it shares words
// with, and `otherwise`, since it may well be another thing. Empty where nothing is like it, or too much.
inline std::string write_what_was_meant(const Checker& checker, const std::string& name,
                                        const std::vector<std::string>& known, const std::string& otherwise) {
  constexpr std::size_t most_offered = 4;
  if (const auto near = meant_by(checker, name, known); !near.empty()) return "write " + near;
  const auto like = names_sharing_words(name, known);
  if (like.empty() || like.size() > most_offered) return "";
  return "write " + listed(like, "or") + "; or, if it is another thing, " + otherwise;
}

// Where what a column of the stock tells is bounded, for who looks for it among the details or the properties; empty
// of another name.
inline std::string where_items_are_held_to(const Checker& checker, std::string_view name) {
  const auto sum = checker.policy.currency.empty() ? std::string("80 GBP") : "80 " + checker.policy.currency;
  const auto says = name == "price"             ? "price at most " + sum
                    : name == "made"            ? std::string("made at most 4 years before today")
                    : name == "condition"       ? std::string("condition new")
                    : name == "certified_until" ? std::string("certified until today")
                                                : std::string();
  return says.empty() ? "" : "take this out, and say in the accept line what an item must be, as in: " + says;
}

// "a, b and c", while a line can hold them.
inline std::string some_of(const std::vector<std::string>& names, std::string_view last = "and") {
  constexpr std::size_t most_listed = 40;
  return names.size() > most_listed ? "those the policy declares" : listed(names, last);
}

// Of two ends that are turned round.
inline std::string larger_first(std::string_view first, std::string_view second) {
  return fmt::format("{} is larger than {}, and stands before it.", first, second);
}

}  // namespace lacestay::compiler
