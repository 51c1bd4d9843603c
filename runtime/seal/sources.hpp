// The sources of a sealed policy: their names, the SHA-256 of their texts, and of the texts only the lines that spans
// point into. Inner to runtime/.
//
// A span is written as [source, line, byte, end line, end byte]: sources are counted from 0, lines from 1, bytes from 0
// in their line, line ends included. The end is one past the last byte; where nothing is spanned it is the beginning.
// Loaded again, a kept line stands at its number among empty ones, so places and the text of spans come out the same.
// Of a spreadsheet the first line is kept as well: it shows which column a byte is in.
#pragma once

#include <map>
#include <memory>
#include <string>
#include <vector>

#include "compiler/tables/policy.hpp"
#include "runtime/seal/json.hpp"

namespace lacestay::runtime {

// For writing: notes which lines are needed as spans are written.
class SourceKeeper {
 public:
  explicit SourceKeeper(const compiler::Policy& policy);

  // Throws std::logic_error where the span points into none of the policy's sources.
  [[nodiscard]] SealedJson span(const grammar::Span& span);
  // The list of sources, once every span has been written.
  [[nodiscard]] SealedJson sources() const;

 private:
  struct Where {
    std::uint32_t line, byte;
  };
  Where keep(std::size_t source, std::uint32_t at);

  const compiler::Policy& policy_;
  std::map<const grammar::Source*, std::size_t> index_;
  std::vector<std::map<std::uint32_t, std::string>> lines_;  // by source, by line: its text with its line end
};

// For reading: sources put together again, and spans into them.
class SourceRebuilder {
 public:
  // The sources of a document of this form. Throws SealedFault where they are not as they should be.
  SourceRebuilder(const SealedJson& sources, int form);

  // Nothing where it does not point into a kept line, or parts a character.
  [[nodiscard]] std::optional<grammar::Span> span(const SealedJson& json) const;

  std::vector<std::shared_ptr<const grammar::Source>> sources;
  std::vector<std::string> texts_sha256;

 private:
  bool rebuild(const SealedJson& source);
  [[nodiscard]] std::optional<std::uint32_t> byte_at(std::size_t source, const SealedJson& line,
                                                     const SealedJson& byte) const;

  int form_ = 0;
  std::size_t bytes_ = 0;                                        // of all sources
  std::vector<std::map<std::uint32_t, std::uint32_t>> lengths_;  // by source, by kept line: with its line end
};

}  // namespace lacestay::runtime
