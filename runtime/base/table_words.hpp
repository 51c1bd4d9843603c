// What is said in the cells of the shop's tables, as far as counts and sales need it.
#pragma once

#include <algorithm>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace lacestay::runtime {

// "On_Hand " and "on hand" head the same column.
[[nodiscard]] inline std::string heading_word(std::string_view text) {
  std::string word;
  for (const char c : text) {
    const bool blank = c == ' ' || c == '_' || c == '\t';
    if (!blank)
      word += c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    else if (!word.empty() && word.back() != ' ')
      word += ' ';
  }
  if (!word.empty() && word.back() == ' ') word.pop_back();
  return word;
}

// A whole number from 0, of at most 15 digits (past that spreadsheets round), with blanks around it or none.
[[nodiscard]] inline std::optional<std::int64_t> whole_number(std::string_view text) {
  const auto first = text.find_first_not_of(' ');
  if (first == text.npos) return std::nullopt;
  const auto digits = text.substr(first, text.find_last_not_of(' ') + 1 - first);
  if (digits.size() > 15 || digits.find_first_not_of("0123456789") != digits.npos) return std::nullopt;
  std::int64_t number = 0;
  for (const char digit : digits) number = number * 10 + (digit - '0');
  return number;
}

// A number with a point where some countries write a comma: "26.5 cm" for "26,5 cm". Nothing where it could be either:
// 1,200 may be meant for 1200.
[[nodiscard]] inline std::optional<std::string> with_point(std::string_view text) {
  std::string written(text);
  const auto comma = written.find(',');
  if (comma == written.npos) return written;
  const auto after = std::min(written.find_first_not_of("0123456789", comma + 1), written.size());
  const auto digits = after - comma - 1;
  if (digits < 1 || digits > 2) return std::nullopt;
  written[comma] = '.';
  return written;
}

}  // namespace lacestay::runtime
