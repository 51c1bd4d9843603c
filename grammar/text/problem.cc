#include "grammar/text/problem.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "grammar/text/csv.hpp"

namespace lacestay {

using grammar::Span;

namespace {

constexpr std::size_t widest_line = 120;

// One character per code point, blanks for tabs and no-break spaces, so that the marks below line up.
std::vector<std::string> cells(std::string_view text) {
  std::vector<std::string> cells;
  for (std::size_t i = 0; i < text.size();) {
    std::size_t length = 1;
    while (i + length < text.size() && (static_cast<unsigned char>(text[i + length]) & 0xC0) == 0x80) ++length;
    const auto character = text.substr(i, length);
    const bool blank = character == "\t" || character == "\xC2\xA0";
    const bool mark = character == "\xEF\xBB\xBF";  // the byte-order mark takes no room on the screen
    if (!mark) cells.emplace_back(blank ? " " : std::string(character));
    i += length;
  }
  return cells;
}

std::string quote(const Span& span) {
  const auto begin = span.source->place(span.begin);
  auto line = span.source->line(begin.line);
  auto line_begin = span.source->line_start(begin.line);
  // Of a very long line only what can be shown is cut into cells: characters have up to four bytes.
  constexpr std::uint32_t bytes_before = 4 * (widest_line + 60);
  if (span.begin - line_begin > bytes_before) {
    auto cut = span.begin - line_begin - bytes_before;
    while ((static_cast<unsigned char>(line[cut]) & 0xC0) == 0x80) ++cut;
    line.remove_prefix(cut);
    line_begin += cut;
  }
  line = line.substr(0, 2 * bytes_before);
  const auto marked_end = std::min<std::size_t>(span.end, line_begin + line.size());
  const std::size_t lead = cells(line.substr(0, span.begin - line_begin)).size();
  const std::size_t marks =
      marked_end > span.begin ? cells(line.substr(span.begin - line_begin, marked_end - span.begin)).size() : 1;
  const auto all = cells(line);
  std::size_t from = 0;
  while (from < lead && from < all.size() && all[from] == " ") ++from;
  if (lead + std::min<std::size_t>(marks, 60) > from + widest_line) from = lead - 40;
  std::string text = "      ", under = "      ";
  if (from > 0 && all[from - 1] != " ") text += "… ", under += "  ";
  for (std::size_t i = from; i < all.size() && i < from + widest_line; ++i) text += all[i];
  if (all.size() > from + widest_line) text += " …";
  under.append(lead - from, ' ');
  under.append(std::min(marks, from + widest_line - lead), '^');
  return text + "\n" + under + "\n";
}

std::string place_of(const Span& span) {
  const auto within = span.source->is_sheet() ? "column " + grammar::column_letters(span)
                                              : fmt::format("character {}", span.source->place(span.begin).column);
  return fmt::format("{}, {}, {}", span.source->name(), line_text(span), within);
}

}  // namespace

std::string line_text(const Span& span) {
  return fmt::format("{} {}", span.source->is_sheet() ? "row" : "line", span.source->place(span.begin).line);
}

std::string render(const Problem& problem) {
  std::string out = fmt::format("{}{}{}\n", problem.code, problem.code.empty() ? "" : ": ", problem.message);
  if (problem.where.source) out += fmt::format("  {}\n{}", place_of(problem.where), quote(problem.where));
  for (const auto& note : problem.notes) {
    out +=
        fmt::format("  {}{}{}\n", note.text, note.span.source ? ": " : "", note.span.source ? place_of(note.span) : "");
    if (note.span.source) out += quote(note.span);
  }
  if (!problem.hint.empty()) out += fmt::format("  Try: {}.\n", problem.hint);
  for (std::size_t at = 0; at < problem.ready_text.size();) {
    const auto end = problem.ready_text.find('\n', at) + 1;
    out += "      " + problem.ready_text.substr(at, end - at);
    at = end;
  }
  return out;
}

std::string render(const std::vector<Problem>& problems) {
  std::string out;
  for (const auto& problem : problems) {
    if (!out.empty()) out += '\n';
    out += render(problem);
  }
  return out;
}

}  // namespace lacestay
