// The check that bytes pass before anyone reads them: whether they are a text at all.
#pragma once

#include <optional>
#include <string_view>

#include "grammar/text/problem.hpp"

namespace lacestay::grammar {

// Why a text can't be a source (more than `most` bytes, a NUL byte, not UTF-8), file-2 to file-4, or nothing. There is
// no source yet that `where` could point into: its `begin` is the byte at which the text ends being one, or 0. Cost:
// linear in the text.
[[nodiscard]] std::optional<Problem> refuse_text(std::string_view text, std::size_t most = largest_file);

}  // namespace lacestay::grammar
