// Two editions of a generated policy, from a seed: the policy and what becomes of it after a few edits such as an owner
// makes, or two policies that say quite different things of the same details, or that have nothing in common.
#pragma once

#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "compiler/compare/editions.hpp"
#include "tests/reference/generate/generator.hpp"
#include "tests/support/settings.hpp"

namespace lacestay::judges {

struct EditionFiles {
  std::vector<naive::TextFile> files;  // the policy first
  std::shared_ptr<const compiler::Policy> policy;

  [[nodiscard]] std::string text() const;
};

struct EditionPair {
  compiler::OfSides<EditionFiles> editions;
  std::vector<std::string> edits;  // what was done, in order
  bool same_answers = false;       // nothing that was done can change an answer
  bool same_words = false;         // nor a reason, a source, a name or a domain
};

// Policies by seed; of one seed and another kit's seed, other pieces and rules over the same details.
using Generator = std::function<naive::Generated(std::uint64_t seed, std::optional<std::uint64_t> kit_seed)>;
[[nodiscard]] Generator generator(const naive::Settings& settings);

// `same_answers` takes edits of that kind alone. Nothing where the generated policy does not compile, or no edit of it.
[[nodiscard]] std::optional<EditionPair> pair_of(std::uint64_t seed, const Generator& generate, bool same_answers);

// Goes through the pairs of these seeds; how many seeds give none. A failure shows the seed and both editions.
std::size_t each_pair(const tests::Seeds& seeds, const Generator& generate, bool same_answers,
                      const std::function<void(std::uint64_t seed, const EditionPair& pair)>& check);

// Compiled, or with no policy where anything was wrong.
[[nodiscard]] EditionFiles edition_of(std::vector<naive::TextFile> files);

}  // namespace lacestay::judges
