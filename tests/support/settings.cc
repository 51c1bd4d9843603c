#include "tests/support/settings.hpp"

#include <cstdlib>

namespace lacestay::tests {

bool whole() { return std::getenv("LACESTAY_WHOLE") != nullptr; }

std::optional<std::uint64_t> one_seed() {
  const auto* seed = std::getenv("LACESTAY_SEED");
  return seed ? std::optional(std::stoull(seed)) : std::nullopt;
}

bool loud() { return std::getenv("LACESTAY_LOUD") != nullptr; }

std::string keep_in() {
  const auto* folder = std::getenv("LACESTAY_KEEP");
  return folder ? folder : "";
}

bool rewrite_golden() { return std::getenv("LACESTAY_REWRITE_GOLDEN") != nullptr; }

}  // namespace lacestay::tests
