// A policy made ready for use: from its own text or a sealed document, compiled or loaded, laid out as an engine,
// proved.
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "grammar/text/problem.hpp"
#include "runtime/engine/engine.hpp"

namespace lacestay::runtime {

enum class Proving : std::uint8_t {
  required,
  not_yet,  // for those who show what the proof finds, or compare editions whatever it says
};

struct Loaded {
  enum class Refused : std::uint8_t {
    no,
    unreadable,  // the file, or one it brings in, can't be read
    text,        // the policy's text
    seal,        // the sealed document
    layout,      // a table is too large to be laid out
    proof,
  };
  Refused refused = Refused::no;
  std::shared_ptr<const Engine> engine;  // null where it is refused
  std::vector<Problem> problems;         // why it is refused, in order; empty where it is not
  std::size_t left_out = 0;              // findings of the proof beyond those
  // What the problems' places point into.
  std::shared_ptr<const compiler::Policy> policy;
  std::vector<std::shared_ptr<const grammar::Source>> sources;
};

// Never throws for bad input. Files the policy brings in must lie in its own folder. Cost: some 50 ms for the shipped
// policy, of which the proof is some 20.
[[nodiscard]] Loaded load_policy(const std::string& path, Proving proving);
// The same of a text in memory, which brings in no files; `name` is what problems call it.
[[nodiscard]] Loaded load_policy_text(const std::string& name, std::string text, Proving proving);

}  // namespace lacestay::runtime
