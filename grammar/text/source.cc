#include "grammar/text/source.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace lacestay::grammar {

std::string_view Span::text() const { return source ? source->text().substr(begin, end - begin) : std::string_view{}; }

Span join(const Span& first, const Span& last) { return {first.source, first.begin, last.end}; }

Source::Source(std::string name, std::string text) : name_(std::move(name)), text_(std::move(text)) {
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

namespace {

// The length of the well-formed UTF-8 sequence at `text[i]`, or 0. Overlong forms, surrogates and values past
// U+10FFFF are not well formed (The Unicode Standard, table 3-7).
std::size_t sequence_length(std::string_view text, std::size_t i) {
  const auto byte = [&](std::size_t k) { return static_cast<unsigned char>(text[k]); };
  const unsigned char lead = byte(i);
  if (lead < 0x80) return 1;
  const std::size_t length = lead >= 0xC2 && lead <= 0xDF   ? 2
                             : (lead & 0xF0) == 0xE0        ? 3
                             : lead >= 0xF0 && lead <= 0xF4 ? 4
                                                            : 0;
  if (length == 0 || i + length > text.size()) return 0;
  for (std::size_t k = 1; k < length; ++k)
    if ((byte(i + k) & 0xC0) != 0x80) return 0;
  const unsigned char second = byte(i + 1);
  const bool overlong = (lead == 0xE0 && second < 0xA0) || (lead == 0xF0 && second < 0x90);
  const bool outside = (lead == 0xED && second > 0x9F) || (lead == 0xF4 && second > 0x8F);
  return overlong || outside ? 0 : length;
}

}  // namespace

std::vector<Refusal> refuse_text(std::string_view text, std::size_t most) {
  if (text.size() > most)
    return {{"file-2",
             fmt::format("The file has more than {} bytes ({} MiB), which is the most that is read.", most, most >> 20),
             "split it over several files"}};
  for (std::size_t i = 0; i < text.size();) {
    if (text[i] == '\0')
      return {{"file-3", "The file holds a byte of value 0, so it is not a text file.",
               "save it as plain text (UTF-8) and try again", static_cast<std::uint32_t>(i)}};
    const std::size_t length = sequence_length(text, i);
    if (length == 0)
      return {{"file-4",
               fmt::format("The file is not UTF-8 text: byte {} has the value {}.", i + 1,
                           static_cast<unsigned>(static_cast<unsigned char>(text[i]))),
               "save it as 'UTF-8' in the editor's save-as window and try again", static_cast<std::uint32_t>(i)}};
    i += length;
  }
  return {};
}

}  // namespace lacestay::grammar
