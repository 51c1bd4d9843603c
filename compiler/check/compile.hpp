// Text to tables: the whole way, as one call.
#pragma once

#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "compiler/tables/policy.hpp"
#include "grammar/text/diagnostic.hpp"

namespace lacestay::compiler {

// The most rows (rows of charts, and rules) in one policy.
inline constexpr std::size_t most_rows = 10'000;

struct Compiled {
  std::shared_ptr<const Policy> policy;                         // absent where anything was wrong
  std::vector<grammar::Diagnostic> diagnostics;                 // in order of file and place
  std::vector<std::shared_ptr<const grammar::Source>> sources;  // what the diagnostics' spans point into
};

// The text of a file the policy brings in, by its path as written, or why it can't be had.
struct FileText {
  std::optional<std::string> text;
  std::string why;
};
using ReadFile = std::function<FileText(const std::string& path)>;

// Compiles a policy whose own text is given. Never throws for bad input. Cost: about linear in rows.
[[nodiscard]] Compiled compile(const std::string& name, std::string text, const ReadFile& read_file);

// Reads and compiles a policy on disk. Files it brings in must lie in its own folder, links followed.
[[nodiscard]] Compiled compile_file(const std::filesystem::path& path);
// The same where its own text has been read: a pipe can be read once.
[[nodiscard]] Compiled compile_file(const std::filesystem::path& path, FileText own);

// A whole file, or why it can't be read: it is missing, or a folder. Of one that is larger than `most`, a byte more
// than that, for whoever reads the text to refuse.
[[nodiscard]] FileText read_text_file(const std::filesystem::path& path, std::size_t most = grammar::largest_file);

}  // namespace lacestay::compiler
