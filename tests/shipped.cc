#include "tests/shipped.hpp"

#include <catch2/catch.hpp>
#include <string>

#include "compiler/compile.hpp"

namespace lacestay::tests {

const runtime::Engine& shipped() {
  static const auto built = [] {
    const auto compiled = compiler::compile_file(std::string(LACESTAY_ROOT) + "/policies/northgate.fitting");
    INFO(grammar::render(compiled.diagnostics));
    REQUIRE(compiled.policy);
    std::string why;
    auto made = runtime::Engine::build(compiled.policy, why);
    INFO(why);
    REQUIRE(made);
    return made;
  }();
  return *built;
}

}  // namespace lacestay::tests
