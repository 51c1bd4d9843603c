// What all pages are put together from. Inner to runtime/.
#pragma once

#include <fmt/format.h>

#include <string>
#include <string_view>

namespace lacestay::runtime {

// A text as content or as a quoted attribute: nothing in it is markup.
[[nodiscard]] inline std::string escaped(std::string_view text) {
  std::string out;
  for (const char c : text) {
    switch (c) {
      case '&': out += "&amp;"; break;
      case '<': out += "&lt;"; break;
      case '>': out += "&gt;"; break;
      case '"': out += "&quot;"; break;
      case '\'': out += "&#39;"; break;
      default: out += c;
    }
  }
  return out;
}

// An element around content that is markup already; `attributes` begins with a blank.
[[nodiscard]] inline std::string element(const char* name, const std::string& content, const char* attributes = "") {
  return fmt::format("<{0}{2}>{1}</{0}>\n", name, content, attributes);
}
// The same around elements, on lines of their own.
[[nodiscard]] inline std::string block(const char* name, const std::string& content, const char* attributes = "") {
  return fmt::format("<{0}{2}>\n{1}</{0}>\n", name, content, attributes);
}
// A table's heading for its column or row, around content that is markup already.
[[nodiscard]] inline std::string head_cell(const std::string& content, const char* scope) {
  return fmt::format("<th scope=\"{}\">{}</th>", scope, content);
}

// A whole document: `title` is text, `body` markup; `attributes` are the body's and begin with a blank.
[[nodiscard]] inline std::string html_page(const std::string& title, const char* style, const std::string& body,
                                           const char* attributes = "") {
  return fmt::format(
      "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
      "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>{}</title>\n"
      "<style>{}</style>\n</head>\n<body{}>\n<main>\n{}</main>\n</body>\n</html>\n",
      escaped(title), style, attributes, body);
}

}  // namespace lacestay::runtime
