#include "runtime/load/load.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "compiler/check/compile.hpp"
#include "runtime/chart/findings.hpp"
#include "runtime/seal/sealed_policy.hpp"

namespace lacestay::runtime {
namespace {

using Refused = Loaded::Refused;

Loaded refused(Refused stage, Problem problem) {
  Loaded loaded;
  loaded.refused = stage;
  loaded.problems.push_back(std::move(problem));
  return loaded;
}

Loaded built(std::shared_ptr<const compiler::Policy> policy, Proving proving) {
  auto engine = Engine::build(policy);
  if (!engine) return refused(Refused::layout, engine.problem());
  Loaded loaded;
  loaded.policy = std::move(policy);
  if (proving == Proving::required) {
    auto proof = compiler::prove(*loaded.policy);
    std::erase_if(proof.findings, [](const compiler::Finding& finding) { return !finding.refuses(); });
    if (!proof.findings.empty()) {
      loaded.refused = Refused::proof;
      loaded.problems = told(**engine, proof);
      loaded.left_out = proof.left_out;
      return loaded;
    }
  }
  loaded.engine = std::move(*engine);
  return loaded;
}

Loaded unsealed(const std::string& name, std::string_view document, Proving proving) {
  auto read = unseal(document);
  if (read) return built(std::move(read->policy), proving);
  return refused(
      Refused::seal,
      {"sealed-1", fmt::format("'{}' is a sealed policy that is not used: {}.", name, read.problem().message),
       fmt::format("seal the policy again from its own file: lacestay inspect POLICY --seal {}", name)});
}

Loaded compiled(compiler::Compiled made, Proving proving) {
  if (made.policy) return built(std::move(made.policy), proving);
  Loaded loaded;
  loaded.refused = made.diagnostics.front().code == "file-5" ? Refused::unreadable : Refused::text;
  loaded.problems = std::move(made.diagnostics);
  loaded.sources = std::move(made.sources);
  return loaded;
}

}  // namespace

Loaded load_policy(const std::string& path, Proving proving) {
  auto own = compiler::read_text_file(path, largest_sealed);
  if (own && looks_sealed(*own)) return unsealed(path, *own, proving);
  return compiled(compiler::compile_file(path, std::move(own)), proving);
}

Loaded load_policy_text(const std::string& name, std::string text, Proving proving) {
  if (looks_sealed(text)) return unsealed(name, text, proving);
  const auto nothing = [](const std::string&) -> Result<std::string> {
    return Problem{"file-5", "a policy in memory brings in no files"};
  };
  return compiled(compiler::compile(name, std::move(text), nothing), proving);
}

}  // namespace lacestay::runtime
