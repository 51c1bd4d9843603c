#include "runtime/daybook/chain.hpp"

#include <sys/random.h>

#include <cerrno>
#include <nlohmann/json.hpp>

#include "runtime/base/json_parts.hpp"
#include "runtime/base/sha256.hpp"

namespace lacestay::runtime {

std::string hash_of(const EntryHead& head) {
  const auto or_null = [](const auto& value) { return value ? nlohmann::json(*value) : nlohmann::json(nullptr); };
  const nlohmann::json said = {{"about", or_null(head.about)}, {"at", head.at},
                               {"content", head.content_hash}, {"kind", head.kind},
                               {"number", head.number},        {"policy", or_null(head.policy)},
                               {"previous", head.previous},    {"stock", or_null(head.stock)}};
  // A head that someone has altered may hold bytes that are no text; it has a hash all the same.
  return sha256(compact_text(said));
}

std::string hash_of_content(std::string_view salt, std::string_view content) {
  std::string both(salt);
  both += content;
  return sha256(both);
}

std::string hash_before_first(const std::string& id) { return sha256("lacestay daybook " + id); }

std::string random_bytes(std::size_t count) {
  std::string bytes(count, '\0');
  for (std::size_t at = 0; at < count;) {
    const auto got = ::getrandom(bytes.data() + at, count - at, 0);
    if (got > 0)
      at += static_cast<std::size_t>(got);
    else if (errno != EINTR)
      throw Error{"daybook-1", "The system gives no random numbers.", "try again later"};
  }
  return bytes;
}

std::string in_hexadecimal(std::string_view bytes) {
  constexpr const char* digits = "0123456789abcdef";
  std::string out;
  for (const char c : bytes) {
    out += digits[static_cast<unsigned char>(c) >> 4];
    out += digits[static_cast<unsigned char>(c) & 15];
  }
  return out;
}

}  // namespace lacestay::runtime
