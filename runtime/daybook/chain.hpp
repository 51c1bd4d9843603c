// How entries of the daybook hang together: what is hashed, and over what. Inner to the daybook.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "runtime/daybook/daybook.hpp"

namespace lacestay::runtime {

// The part of an entry that the chain hashes; it stays when the content is erased.
struct EntryHead {
  std::int64_t number = 0;
  std::string at, kind;
  std::optional<std::string> policy, stock;
  std::optional<std::int64_t> about;
  std::string content_hash, previous;
};

// SHA-256 of the head as JSON: keys sorted, no blanks.
[[nodiscard]] std::string hash_of(const EntryHead& head);
// SHA-256 of the salt's bytes, then the content's.
[[nodiscard]] std::string hash_of_content(std::string_view salt, std::string_view content);
// The `previous` of the first entry of the daybook with this id.
[[nodiscard]] std::string hash_before_first(const std::string& id);

// So many bytes from the system's source of random ones.
[[nodiscard]] std::string random_bytes(std::size_t count);
[[nodiscard]] std::string in_hexadecimal(std::string_view bytes);

}  // namespace lacestay::runtime
