// Lines that say what can't be said where it stands, told by what the language has in its place.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

#include "grammar/read/nodes.hpp"

namespace lacestay::grammar {

// What is said of a line in place of its commit point's message.
struct ToldAs {
  std::string message, hint;
  std::size_t skipped = 0;  // bytes from where reading stopped to what is marked
};

// A line that reading stopped in, and what is known of it.
struct Stopped {
  LineKind kind{};
  std::string_view code;    // the commit point's
  std::string_view file;    // all of the text
  std::string_view line;    // the line, with those it goes on in
  std::string_view before;  // of it, up to where reading stopped
  std::string_view rest;    // of it, from there on
};

std::optional<ToldAs> nearly_right(const Stopped& at);

// The word that stands first in a text, of letters, digits, `_` and signs beyond ASCII; empty where none does.
[[nodiscard]] std::string_view first_word(std::string_view text);
[[nodiscard]] std::string_view without_last_blanks(std::string_view text);

}  // namespace lacestay::grammar
