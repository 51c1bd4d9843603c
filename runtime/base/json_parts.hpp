// Small pieces that all JSON output is put together from. Inner to runtime/.
#pragma once

#include <nlohmann/json.hpp>
#include <optional>
#include <string>

#include "runtime/base/entry_reference.hpp"

namespace lacestay::runtime {

[[nodiscard]] inline nlohmann::ordered_json text_or_null(const std::string& text) {
  return text.empty() ? nlohmann::ordered_json(nullptr) : nlohmann::ordered_json(text);
}

[[nodiscard]] inline nlohmann::ordered_json entry_or_null(const std::optional<EntryReference>& entry) {
  if (!entry) return nullptr;
  return nlohmann::ordered_json{{"number", entry->number}, {"hash", entry->hash}};
}

// On one line, without blanks. Never throws: bytes that are no UTF-8 become U+FFFD.
template <typename Json>
[[nodiscard]] std::string compact_text(const Json& json) {
  return json.dump(-1, ' ', false, Json::error_handler_t::replace);
}

template <typename List, typename Write>
[[nodiscard]] nlohmann::ordered_json list_of(const List& list, Write write) {
  auto all = nlohmann::ordered_json::array();
  for (const auto& each : list) all.push_back(write(each));
  return all;
}

}  // namespace lacestay::runtime
