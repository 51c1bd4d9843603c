#include "runtime/base/layout.hpp"

#include "grammar/text/source.hpp"

namespace lacestay::runtime {

std::string padded(std::string_view text, std::size_t width) {
  std::string out(text);
  const auto taken = grammar::characters(text);
  if (taken < width) out.append(width - taken, ' ');
  return out;
}

std::string wrapped(std::string_view text, std::size_t indent, std::string_view first) {
  std::string out = padded(first, indent);
  std::size_t at = indent;
  bool line_empty = true;
  while (!text.empty()) {
    const auto blank = text.find(' ');
    const auto word = text.substr(0, blank);
    const auto wide = grammar::characters(word);
    if (!line_empty && at + 1 + wide > text_width) {
      out += '\n';
      out.append(indent, ' ');
      at = indent;
      line_empty = true;
    }
    if (!line_empty) out += ' ', ++at;
    out += word;
    at += wide;
    line_empty = false;
    const auto next = blank == std::string_view::npos ? blank : text.find_first_not_of(' ', blank);
    text.remove_prefix(next == std::string_view::npos ? text.size() : next);
  }
  return out + "\n";
}

}  // namespace lacestay::runtime
