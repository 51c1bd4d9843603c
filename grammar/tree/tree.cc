#include "grammar/tree/tree.hpp"

namespace lacestay::grammar {

std::string Phrase::joined() const {
  std::string out;
  for (const auto& word : words) {
    if (!out.empty()) out += '_';
    out += word.text;
  }
  return out;
}

std::string Phrase::as_written() const {
  std::string out;
  for (const char c : span.text()) {
    const bool blank = c == ' ' || c == '\t' || c == '\n' || c == '\r';
    if (!blank)
      out += c;
    else if (!out.empty() && out.back() != ' ')
      out += ' ';
  }
  return out;
}

const Span& span_of(const Value& value) {
  return std::visit([](const auto& held) -> const Span& { return held.span; }, value);
}

const Span& span_of(const Cell& cell) {
  if (const auto* interval = std::get_if<Interval>(&cell)) return interval->span;
  return span_of(std::get<Value>(cell));
}

}  // namespace lacestay::grammar
