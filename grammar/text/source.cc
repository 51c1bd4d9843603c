#include "grammar/text/source.hpp"

#include <algorithm>

namespace lacestay::grammar {

std::string_view Span::text() const { return source ? source->text().substr(begin, end - begin) : std::string_view{}; }

Span join(const Span& first, const Span& last) { return {first.source, first.begin, last.end}; }

Source::Source(std::string name, std::string text, Shape shape)
    : name_(std::move(name)), text_(std::move(text)), shape_(shape) {
  line_starts_.push_back(0);
  for (std::size_t i = 0; i < text_.size(); ++i) {
    const bool lone_return = text_[i] == '\r' && (i + 1 == text_.size() || text_[i + 1] != '\n');
    if (text_[i] == '\n' || lone_return) line_starts_.push_back(static_cast<std::uint32_t>(i + 1));
  }
}

Source::Place Source::place(std::uint32_t byte) const {
  const auto after = std::upper_bound(line_starts_.begin(), line_starts_.end(), byte);
  const auto line = static_cast<std::uint32_t>(after - line_starts_.begin());
  const auto start = line_starts_[line - 1];
  return {line, static_cast<std::uint32_t>(characters(std::string_view(text_).substr(start, byte - start))) + 1};
}

std::string_view Source::line(std::uint32_t line) const {
  const auto start = line_starts_[line - 1];
  auto end = line < line_starts_.size() ? line_starts_[line] : static_cast<std::uint32_t>(text_.size());
  while (end > start && (text_[end - 1] == '\n' || text_[end - 1] == '\r')) --end;
  return std::string_view(text_).substr(start, end - start);
}

std::size_t characters(std::string_view text) {
  return static_cast<std::size_t>(
      std::count_if(text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0) != 0x80; }));
}

}  // namespace lacestay::grammar
