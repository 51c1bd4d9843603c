#include "tests/support/policy/compiled.hpp"

#include <stdexcept>

#include "tests/support/places.hpp"

namespace lacestay::tests {
namespace {

std::shared_ptr<const compiler::Policy> demanded(compiler::Compiled made) {
  if (!made.policy) throw std::runtime_error("it does not compile:\n" + render(made.diagnostics));
  return std::move(made.policy);
}

}  // namespace

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
  return demanded(compile_text(name, text));
}

std::shared_ptr<const compiler::Policy> shipped_policy(const std::string& file) {
  return demanded(compiler::compile_file(in_policies(file)));
}

std::shared_ptr<const runtime::Engine> engine_of(std::shared_ptr<const compiler::Policy> policy) {
  return runtime::Engine::build(std::move(policy)).value();
}

std::shared_ptr<const runtime::Engine> engine_of(const std::string& name, const std::string& text) {
  return engine_of(policy_of(name, text));
}

}  // namespace lacestay::tests
