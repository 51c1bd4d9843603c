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

Cell in_unit_of(Cell cell, const Amount& other) {
  const auto give = [&](Value& value) {
    auto* quantity = std::get_if<Quantity>(&value);
    if (!quantity || quantity->parts.size() != 1 || !quantity->parts.front().bare()) return;
    quantity->parts.front().unit = other.unit, quantity->parts.front().currency = other.currency;
  };
  if (auto* interval = std::get_if<Interval>(&cell))
    give(interval->from), give(interval->to);
  else if (auto* value = std::get_if<Value>(&cell))
    give(*value);
  return cell;
}

const Span& span_of(const Cell& cell) {
  if (const auto* interval = std::get_if<Interval>(&cell)) return interval->span;
  if (const auto* open = std::get_if<LeftOpen>(&cell)) return open->span;
  return span_of(std::get<Value>(cell));
}

}  // namespace lacestay::grammar
