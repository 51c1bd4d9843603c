// The problems a stage finds, collected: the order of a run's messages is stable (by file, then place).
#pragma once

#include <string>
#include <vector>

#include "grammar/text/problem.hpp"

namespace lacestay::grammar {

// A later stage asks `empty()` before it builds on an earlier one's work.
class Diagnostics {
 public:
  // What was added, to be completed; good until the next is.
  Problem& add(std::string code, Span where, std::string message, std::string hint = {});
  Problem& add(Problem problem);
  // What was added last, to be completed. Precondition: something was.
  Problem& last() { return untold_ > 0 ? spare_ : all_.back(); }
  [[nodiscard]] bool empty() const { return all_.empty(); }
  [[nodiscard]] std::size_t size() const { return all_.size() + untold_; }
  // In order of file (as they were first named), then place. Past the first 200, one at the end says how many more.
  [[nodiscard]] std::vector<Problem> sorted() const;

 private:
  std::vector<Problem> all_;
  std::size_t untold_ = 0;  // past the limit: counted, not kept
  Problem spare_;           // what `add` returns then, so that callers can go on completing it
};

}  // namespace lacestay::grammar
