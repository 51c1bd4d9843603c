#include "tests/support/shipped.hpp"

#include <catch2/catch.hpp>
#include <string>

#include "compiler/check/compile.hpp"
#include "tests/support/places.hpp"

namespace lacestay::tests {

const runtime::Engine& shipped() {
  static const auto built = [] {
    const auto compiled = compiler::compile_file(in_policies("northgate.fitting"));
    INFO(render(compiled.diagnostics));
    REQUIRE(compiled.policy);
    auto made = runtime::Engine::build(compiled.policy).value();
    return made;
  }();
  return *built;
}

}  // namespace lacestay::tests
