// What all pages are put together from. Inner to runtime/.
#pragma once

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

}  // namespace lacestay::runtime
