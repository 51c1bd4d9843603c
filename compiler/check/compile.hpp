// Text to tables: the whole way, as one call.
#pragma once

#include <filesystem>
#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "compiler/tables/policy.hpp"
#include "grammar/text/result.hpp"

namespace lacestay::compiler {

// The most rows (rows of charts, and rules) in one policy.
inline constexpr std::size_t most_rows = 10'000;

struct Compiled {
  std::shared_ptr<const Policy> policy;                         // absent where anything was wrong
  std::vector<Problem> diagnostics;                             // in order of file and place
  std::vector<std::shared_ptr<const grammar::Source>> sources;  // what the diagnostics' spans point into
};

// The text of a file the policy brings in, by its path as written. Where it can't be had, the problem's message is a
// clause about the file: "there is no such file".
using ReadFile = std::function<Result<std::string>(const std::string& path)>;

// Compiles a policy whose own text is given. Never throws for bad input. Cost: about linear in rows.
[[nodiscard]] Compiled compile(const std::string& name, std::string text, const ReadFile& read_file);

// Reads and compiles a policy on disk. Files it brings in must lie in its own folder, links followed.
[[nodiscard]] Compiled compile_file(const std::filesystem::path& path);
// The same where its own text has been read: a pipe can be read once.
[[nodiscard]] Compiled compile_file(const std::filesystem::path& path, Result<std::string> own);

// A whole file. Where it can't be read, file-5 with a clause as above for its message. Of one that is larger than
// `most`, a byte more than that, for whoever reads the text to refuse.
Result<std::string> read_text_file(const std::filesystem::path& path, std::size_t most = grammar::largest_file);

}  // namespace lacestay::compiler
