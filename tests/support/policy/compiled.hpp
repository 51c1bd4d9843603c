// Policies compiled in a test, and their engines. Where a text does not compile, or a policy is too large for an
// engine, an exception shows what the compiler said, and so fails the test case.
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "compiler/check/compile.hpp"
#include "runtime/engine/engine.hpp"
#include "tests/reference/generate/generator.hpp"

namespace lacestay::tests {

// Whatever comes of it: a text that brings in no other file, or the first of several that may bring in the rest.
[[nodiscard]] compiler::Compiled compile_text(const std::string& name, const std::string& text);
[[nodiscard]] compiler::Compiled compile_files(const std::vector<naive::TextFile>& files);

[[nodiscard]] std::shared_ptr<const compiler::Policy> policy_of(const std::string& name, const std::string& text);
// Of a file in policies/, as "northgate.fitting".
[[nodiscard]] std::shared_ptr<const compiler::Policy> shipped_policy(const std::string& file);
[[nodiscard]] std::shared_ptr<const runtime::Engine> engine_of(std::shared_ptr<const compiler::Policy> policy);
[[nodiscard]] std::shared_ptr<const runtime::Engine> engine_of(const std::string& name, const std::string& text);

}  // namespace lacestay::tests
