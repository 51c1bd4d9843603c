// Laying out text for the terminal: wrapping with a hanging indent, and padding by characters, not bytes.
#pragma once

#include <string>
#include <string_view>

namespace lacestay::runtime {

inline constexpr std::size_t text_width = 100;

// `text` broken at blanks so that no line is wider than text_width where that can be; every line begins with
// `indent` blanks and ends with a line end. `first` replaces the first line's indent and is `indent` wide or less.
[[nodiscard]] std::string wrapped(std::string_view text, std::size_t indent, std::string_view first = {});

// `text` with blanks up to `width` characters.
[[nodiscard]] std::string padded(std::string_view text, std::size_t width);

}  // namespace lacestay::runtime
