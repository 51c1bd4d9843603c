#include "runtime/options/values.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <ctime>

#include "compiler/values/days.hpp"
#include "grammar/read/reader.hpp"
#include "grammar/text/plain_text.hpp"
#include "runtime/options/stop.hpp"

namespace lacestay::runtime {

std::int64_t day_in(const std::string& text) {
  const grammar::Source source{"a day", text};
  const auto value = grammar::read_value(source);
  const auto* date = value ? std::get_if<grammar::Date>(&*value) : nullptr;
  if (!date)
    throw Stop{not_understood, fmt::format("'{}' is not a day; write 2026-09-01 or \"1 September 2026\".\n", text)};
  return compiler::day_number(*date);
}

std::string line_of_text(const Words& words, const std::string& option) {
  const auto text = words.value(option).value_or("");
  const bool plain = std::all_of(text.begin(), text.end(), [](unsigned char c) { return c >= ' ' && c != 127; });
  if (!plain || grammar::refuse_text(text))
    throw Stop{not_understood, fmt::format("{} takes one line of plain text.\n", option)};
  return text;
}

std::int64_t today() {
  const auto now = std::chrono::system_clock::to_time_t(std::chrono::system_clock::now());
  std::tm local{};
  localtime_r(&now, &local);
  return compiler::day_number(local.tm_year + 1900, local.tm_mon + 1, local.tm_mday);
}

std::int64_t day_for(const Words& words) {
  const auto& given = words.value("--on");
  return given ? day_in(*given) : today();
}

}  // namespace lacestay::runtime
