#include "runtime/seal/json.hpp"

#include <algorithm>

namespace lacestay::runtime {

using compiler::Int128;

namespace {

constexpr Int128 largest_plain = (Int128{1} << 53) - 1;

bool plain(Int128 value) { return -largest_plain <= value && value <= largest_plain; }

// The parser is iterative, but writing and comparing recurse, so the nesting depth is checked first.
bool too_deep(std::string_view text) {
  std::size_t depth = 0;
  bool quoted = false;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    if (quoted) {
      if (c == '\\') ++i;
      if (c == '"') quoted = false;
    } else if (c == '"') {
      quoted = true;
    } else if (c == '[' || c == '{') {
      if (++depth > deepest_sealed) return true;
    } else if ((c == ']' || c == '}') && depth > 0) {
      --depth;
    }
  }
  return false;
}

}  // namespace

std::string canonical(const SealedJson& json) {
  return json.dump(-1, ' ', false, SealedJson::error_handler_t::replace);
}

std::optional<SealedJson> parsed(std::string_view text) {
  if (too_deep(text)) return std::nullopt;
  auto json = SealedJson::parse(text, nullptr, false);
  return json.is_discarded() ? std::nullopt : std::optional(std::move(json));
}

SealedJson sealed_number(Int128 value) {
  if (plain(value)) return static_cast<std::int64_t>(value);
  std::string digits;
  // Digits are taken from the negative number itself: the least 128-bit integer has no negation.
  for (Int128 rest = value; rest != 0; rest /= 10) {
    const auto digit = static_cast<int>(rest % 10);
    digits += static_cast<char>('0' + (digit < 0 ? -digit : digit));
  }
  if (value < 0) digits += '-';
  std::reverse(digits.begin(), digits.end());
  return digits;
}

std::optional<Int128> number_of(const SealedJson& json) {
  if (json.is_number_unsigned()) {
    const Int128 value = json.get<std::uint64_t>();
    return plain(value) ? std::optional(value) : std::nullopt;
  }
  if (json.is_number_integer()) {
    const Int128 value = json.get<std::int64_t>();
    return plain(value) ? std::optional(value) : std::nullopt;
  }
  if (!json.is_string()) return std::nullopt;
  const auto& text = json.get_ref<const std::string&>();
  const bool negative = !text.empty() && text.front() == '-';
  Int128 value = 0;
  for (std::size_t i = negative ? 1 : 0; i < text.size(); ++i) {
    if (text[i] < '0' || text[i] > '9') return std::nullopt;
    const auto tens = compiler::multiply(value, 10);
    const auto sum = tens ? compiler::add(*tens, negative ? '0' - text[i] : text[i] - '0') : std::nullopt;
    if (!sum) return std::nullopt;
    value = *sum;
  }
  // Leading zeros, or a string for a number that fits 2^53, would be written back differently, so they are refused.
  return sealed_number(value) == json ? std::optional(value) : std::nullopt;
}

}  // namespace lacestay::runtime
