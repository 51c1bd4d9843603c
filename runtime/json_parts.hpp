// Small pieces that all JSON output is put together from. Inner to runtime/.
#pragma once

#include <nlohmann/json.hpp>
#include <string>

namespace lacestay::runtime {

[[nodiscard]] inline nlohmann::ordered_json text_or_null(const std::string& text) {
  return text.empty() ? nlohmann::ordered_json(nullptr) : nlohmann::ordered_json(text);
}

template <typename List, typename Write>
[[nodiscard]] nlohmann::ordered_json list_of(const List& list, Write write) {
  auto all = nlohmann::ordered_json::array();
  for (const auto& each : list) all.push_back(write(each));
  return all;
}

}  // namespace lacestay::runtime
