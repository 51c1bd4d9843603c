#include "tests/support/policy/shipped.hpp"

#include "tests/support/policy/compiled.hpp"

namespace lacestay::tests {

const runtime::Engine& shipped() {
  static const auto built = engine_of(shipped_policy("northgate.fitting"));
  return *built;
}

}  // namespace lacestay::tests
