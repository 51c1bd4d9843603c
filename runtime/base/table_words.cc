#include "runtime/base/table_words.hpp"

#include <algorithm>

namespace lacestay::runtime {

std::string_view trimmed(std::string_view text) {
  const auto first = text.find_first_not_of(' ');
  return first == text.npos ? std::string_view() : text.substr(first, text.find_last_not_of(' ') + 1 - first);
}

Heading read_heading(std::string_view text) {
  const auto open = text.rfind('('), close = text.rfind(')');
  if (open == text.npos || close == text.npos || close < open) return {plain_name(text), ""};
  return {plain_name(text.substr(0, open)), std::string(trimmed(text.substr(open + 1, close - open - 1)))};
}

std::optional<std::int64_t> whole_number(std::string_view text) {
  const auto digits = trimmed(text);
  if (digits.empty() || digits.size() > 15 || digits.find_first_not_of("0123456789") != digits.npos)
    return std::nullopt;
  std::int64_t number = 0;
  for (const char digit : digits) number = number * 10 + (digit - '0');
  return number;
}

std::optional<std::string> with_point(std::string_view text) {
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
