#include "tests/support/shipped.hpp"

#include "tests/support/compiled.hpp"

namespace lacestay::tests {

const runtime::Engine& shipped() {
  static const auto built = engine_of(shipped_policy("northgate.fitting"));
  return *built;
}

}  // namespace lacestay::tests
