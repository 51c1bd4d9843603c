#include "grammar/text/plain_text.hpp"

#include <fmt/format.h>

namespace lacestay::grammar {

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

std::optional<Problem> refuse_text(std::string_view text, std::size_t most) {
  if (text.size() > most)
    return Problem{
        "file-2",
        fmt::format("The file has more than {} bytes ({} MiB), which is the most that is read.", most, most >> 20),
        "split it over several files"};
  for (std::size_t i = 0; i < text.size();) {
    const auto here = static_cast<std::uint32_t>(i);
    if (text[i] == '\0')
      return Problem{"file-3",
                     "The file holds a byte of value 0, so it is not a text file.",
                     "save it as plain text (UTF-8) and try again",
                     {nullptr, here, here}};
    const std::size_t length = sequence_length(text, i);
    if (length == 0)
      return Problem{"file-4",
                     fmt::format("The file is not UTF-8 text: byte {} has the value {}.", i + 1,
                                 static_cast<unsigned>(static_cast<unsigned char>(text[i]))),
                     "save it as 'UTF-8' in the editor's save-as window and try again",
                     {nullptr, here, here}};
    i += length;
  }
  return std::nullopt;
}

}  // namespace lacestay::grammar
