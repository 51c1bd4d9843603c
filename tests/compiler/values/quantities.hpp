// Quantities from their texts, in ticks. A text that is none of the kind that is due fails the test case.
#pragma once

#include <catch2/catch.hpp>
#include <string>
#include <variant>

#include "compiler/values/quantity.hpp"
#include "grammar/read/reader.hpp"

namespace lacestay::tests {

using compiler::Dimension;
using compiler::Due;
using compiler::QuantityError;

inline std::variant<std::int64_t, QuantityError> reckoned(const std::string& text, const Due& due) {
  const grammar::Source source("a quantity", text);
  const auto value = grammar::read_value(source);
  INFO(text);
  REQUIRE(value);
  const auto* quantity = std::get_if<grammar::Quantity>(&*value);
  REQUIRE(quantity);
  return compiler::ticks_of(*quantity, due);
}

inline std::int64_t ticks(const std::string& text, const Due& due) {
  const auto found = reckoned(text, due);
  INFO(text);
  REQUIRE(std::holds_alternative<std::int64_t>(found));
  return std::get<std::int64_t>(found);
}

inline std::int64_t nm(const std::string& text) { return ticks(text, {Dimension::length, "", {}}); }         // 10^-9 m
inline std::int64_t tenths_ng(const std::string& text) { return ticks(text, {Dimension::weight, "", {}}); }  // 10^-10 g
inline std::int64_t months(const std::string& text) { return ticks(text, {Dimension::age, "", {}}); }
inline std::int64_t number(const std::string& text) { return ticks(text, {Dimension::number, "", {}}); }  // 10^-9
inline std::int64_t flex(const std::string& text) { return ticks(text, {Dimension::flex, "", {}}); }      // 10^-6
inline std::int64_t money(const std::string& text, const char* code) {
  return ticks(text, {Dimension::money, code, {}});
}

}  // namespace lacestay::tests
