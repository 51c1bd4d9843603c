// Where in the shop's daybook an advice or a quote stands, and what was handed over beside it.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

namespace lacestay::runtime {

struct EntryReference {
  std::int64_t number = 0;
  std::string hash;  // 64 hexadecimal digits
};

// How an answer about a piece, or one of its properties, is called on record: "neck_guard", "stick flex".
[[nodiscard]] inline std::string name_on_record(const std::string& piece, const std::string& property = {}) {
  return property.empty() ? piece : piece + " " + property;
}

// What the fitter gave instead of what was advised.
struct HandedOver {
  // A rule that binds items, and that what was handed over does not keep to.
  struct Broken {
    std::string rule, asks;  // "young_face", "at least cage"
  };
  std::string piece;
  std::string property;  // empty: it concerns the piece, or several of its properties
  std::string advised;   // "35 to 45 flex", "needed"
  std::string what;      // in the fitter's words
  std::string by, why;
  std::vector<std::string> safety;  // safety rules that speak of it, each with its because
  bool protection = false;          // it concerns a piece of protection
  std::vector<Broken> broken{};     // where its value could be read

  [[nodiscard]] std::string about() const { return name_on_record(piece, property); }
};

}  // namespace lacestay::runtime
