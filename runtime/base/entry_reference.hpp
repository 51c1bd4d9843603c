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

// What the fitter gave instead of what was advised.
struct HandedOver {
  std::string about;    // the answer it concerns: "stick flex", "neck_guard"
  std::string advised;  // "35 to 45 flex", "needed"
  std::string what;     // in the fitter's words
  std::string by, why;
  std::vector<std::string> safety;  // safety rules that speak of it, each with its because
  bool protection = false;          // it concerns a piece of protection
};

}  // namespace lacestay::runtime
