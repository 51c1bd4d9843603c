// Policies to seal: the shipped ones, those of the reference page, random ones, and one with every kind of line end.
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "runtime/player/player.hpp"
#include "tests/reference/draw.hpp"
#include "tests/support/policy/compiled.hpp"

namespace lacestay::tests {

struct NamedPolicy {
  std::string name;
  std::shared_ptr<const compiler::Policy> policy;
};

[[nodiscard]] std::string text_of_file(const std::string& path);  // from the checkout's root

// Fails the test where it does not compile.
[[nodiscard]] std::shared_ptr<const compiler::Policy> compiled(const std::string& text);
// Every construct of the language that leaves something in a policy, small.
[[nodiscard]] const std::string& corner_shop();

// The reference page's examples that compile.
[[nodiscard]] std::vector<NamedPolicy> reference_policies();
// `count` of the random policies that compile, from a seed up.
[[nodiscard]] std::vector<NamedPolicy> random_policies(std::uint64_t seed, std::size_t count);

// Each detail one of its values, or (one in `blank_of`) not known; never unknown where that is 0.
[[nodiscard]] runtime::Player random_player(const compiler::Policy& policy, naive::Draw& draw,
                                            std::int64_t blank_of = 0);

}  // namespace lacestay::tests
