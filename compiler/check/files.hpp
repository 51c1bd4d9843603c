// Gathering a policy's files: its own, and the parts and packs it brings in. Inner to compiler/.
#pragma once

#include "compiler/check/checker.hpp"
#include "compiler/check/compile.hpp"

namespace lacestay::compiler {

// Reads the policy's own text and everything it brings in. What is wrong is told to `diagnostics`.
[[nodiscard]] std::vector<PolicyFile> gather_files(const std::string& name, std::string text, const ReadFile& read_file,
                                                   grammar::Diagnostics& diagnostics);

}  // namespace lacestay::compiler
