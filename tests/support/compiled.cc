#include "tests/support/compiled.hpp"

#include <catch2/catch.hpp>

#include "tests/support/places.hpp"

namespace lacestay::tests {

compiler::Compiled compile_files(const std::vector<naive::TextFile>& files) {
  return compiler::compile(files.front().name, files.front().text, [&](const std::string& path) -> Result<std::string> {
    for (const auto& file : files)
      if (file.name == path) return file.text;
    return Problem{"file-5", "there is none"};
  });
}

compiler::Compiled compile_text(const std::string& name, const std::string& text) {
  return compile_files({{name, text}});
}

std::shared_ptr<const compiler::Policy> policy_of(const std::string& name, const std::string& text) {
  auto made = compile_text(name, text);
  INFO(render(made.diagnostics));
  REQUIRE(made.policy);
  return made.policy;
}

std::shared_ptr<const compiler::Policy> shipped_policy(const std::string& file) {
  auto made = compiler::compile_file(in_policies(file));
  INFO(render(made.diagnostics));
  REQUIRE(made.policy);
  return made.policy;
}

std::shared_ptr<const runtime::Engine> engine_of(std::shared_ptr<const compiler::Policy> policy) {
  auto built = runtime::Engine::build(std::move(policy));
  INFO((built ? "" : built.problem().message));
  REQUIRE(built);
  return built.value();
}

std::shared_ptr<const runtime::Engine> engine_of(const std::string& name, const std::string& text) {
  return engine_of(policy_of(name, text));
}

}  // namespace lacestay::tests
