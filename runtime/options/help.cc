#include "runtime/options/help.hpp"

#include <algorithm>
#include <utility>

#include "runtime/base/layout.hpp"

namespace lacestay::runtime {
namespace {

using Rows = std::vector<std::pair<std::string, std::string>>;

constexpr std::size_t margin = 2, gap = 2;
// What is longer stands on a line of its own.
constexpr std::size_t widest_option = 30, widest_way = 56;

std::size_t left_width(const Rows& rows, std::size_t widest = widest_option) {
  std::size_t width = 0;
  for (const auto& [left, right] : rows)
    if (left.size() <= widest) width = std::max(width, left.size());
  return width;
}

// Two columns, the left one `width` wide.
std::string two_columns(const Rows& rows, std::size_t width) {
  const auto indent = margin + width + gap;
  const std::string blank(margin, ' ');
  std::string out;
  for (const auto& [left, right] : rows) {
    if (right.empty())
      out += blank + left + "\n";
    else if (left.size() <= width)
      out += wrapped(right, indent, blank + left);
    else
      out += blank + left + "\n" + wrapped(right, indent);
  }
  return out;
}

Rows rows_of(const std::vector<Option>& options) {
  Rows rows;
  for (const auto& option : options)
    rows.emplace_back(option.name + (option.value.empty() ? "" : " " + option.value), option.help);
  return rows;
}

}  // namespace

std::string help_of_program(const Commands& commands) {
  Rows listed;
  for (const auto* command : commands) listed.emplace_back(command->name, command->gist);
  const auto own = rows_of(program_options());
  const auto width = std::max(left_width(listed), left_width(own));
  return "lacestay reads a shop's fitting policy and says what a player should leave with, and why.\n"
         "\n"
         "What it can be asked:\n" +
         two_columns(listed, width) +
         "\n"
         "Each says more of itself, with all its options: lacestay quote --help\n"
         "\n"
         "Beside that:\n" +
         two_columns(own, width) +
         "\n"
         "To begin, try the shipped policy:\n"
         "  " +
         commands.front()->example +
         "\n"
         "The language is described in grammar/reference.md.\n";
}

std::string help_of(const Command& command) {
  Rows ways, words;
  for (const auto& way : command.ways) ways.emplace_back("lacestay " + command.name + " " + way.written, way.does);
  for (const auto& word : command.words) words.emplace_back(word.name, word.help);
  auto width = left_width(words);
  for (const auto& group : command.groups) width = std::max(width, left_width(rows_of(group.options)));

  auto out = wrapped(command.does, 0) + "\nIt is written:\n" + two_columns(ways, left_width(ways, widest_way)) + "\n" +
             two_columns(words, width);
  for (const auto& group : command.groups)
    out += "\n" + group.heading + ":\n" + two_columns(rows_of(group.options), width);
  return out + "\nFor example:\n  " + command.example + "\n";
}

}  // namespace lacestay::runtime
