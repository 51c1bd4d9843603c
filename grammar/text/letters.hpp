// Letters and digits of ASCII, whatever the locale; the bytes of other alphabets are neither, and stay as they are.
#pragma once

#include <string>
#include <string_view>

namespace lacestay::grammar {

[[nodiscard]] constexpr bool is_capital(char c) { return c >= 'A' && c <= 'Z'; }
[[nodiscard]] constexpr bool is_letter(char c) { return is_capital(c) || (c >= 'a' && c <= 'z'); }
[[nodiscard]] constexpr bool is_digit(char c) { return c >= '0' && c <= '9'; }
[[nodiscard]] constexpr char lower(char c) { return is_capital(c) ? static_cast<char>(c + ('a' - 'A')) : c; }
[[nodiscard]] constexpr char upper(char c) { return c >= 'a' && c <= 'z' ? static_cast<char>(c - ('a' - 'A')) : c; }

[[nodiscard]] inline std::string lower_case(std::string text) {
  for (char& c : text) c = lower(c);
  return text;
}

// A label, as it begins a line.
[[nodiscard]] inline std::string capital(std::string text) {
  if (!text.empty()) text[0] = upper(text[0]);
  return text;
}

// A name as people write it in a heading or a cell: "ISO 10256-2" and "iso_10256_2" are the same. Letters and digits in
// lower case, and an underscore for whatever stands between them. Bytes past ASCII belong to letters of other
// alphabets, or are taken for such.
[[nodiscard]] inline std::string plain_name(std::string_view text) {
  std::string name;
  for (const char c : text) {
    if (is_letter(c) || is_digit(c) || (static_cast<unsigned char>(c) & 0x80) != 0)
      name += lower(c);
    else if (!name.empty() && name.back() != '_')
      name += '_';
  }
  while (!name.empty() && name.back() == '_') name.pop_back();
  return name;
}

}  // namespace lacestay::grammar
