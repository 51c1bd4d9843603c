#include "runtime/base/csv_line.hpp"

namespace lacestay::runtime {
namespace {

std::string in_quotes(const std::string& text) {
  std::string quoted = "\"";
  for (const char c : text) {
    quoted += c;
    if (c == '"') quoted += c;
  }
  return quoted + '"';
}

// A bare cell ends at a separator or a line end, loses the blanks around it, and can't begin with a quote.
bool plain(const std::string& text, char separator) {
  if (text.empty()) return true;
  return text.front() != ' ' && text.back() != ' ' && text.find_first_of("\"\r\n") == text.npos &&
         text.find(separator) == text.npos;
}

}  // namespace

std::string csv_line(const std::vector<std::string>& cells, char separator, std::string_view line_end) {
  std::string line;
  for (std::size_t i = 0; i < cells.size(); ++i) {
    if (i > 0) line += separator;
    line += plain(cells[i], separator) ? cells[i] : in_quotes(cells[i]);
  }
  return line.append(line_end);
}

}  // namespace lacestay::runtime
