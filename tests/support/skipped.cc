// Apart from the other settings: programs that are no Catch2 tests ask for those alone.
#include <catch2/catch.hpp>
#include <cstdlib>

#include "tests/support/settings.hpp"

namespace lacestay::tests {

void skipped(const std::string& reason) {
  if (std::getenv("LACESTAY_SKIP_IS_FAILURE")) FAIL("skipped: " << reason);
  WARN("skipped: " << reason);
}

}  // namespace lacestay::tests
