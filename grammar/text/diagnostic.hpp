// What a person is told when something in their file is wrong: what, where, the other place it concerns, and
// something true to try. One form for every stage; the order of a run's messages is stable (by file, then place).
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "grammar/text/source.hpp"

namespace lacestay::grammar {

struct Note {
  std::string text;  // how the second place belongs here: "the first one"
  Span span;
};

struct Diagnostic {
  std::string code;  // a word and a number, such as charts-3; listed in grammar/read/messages.md
  std::string message;
  Span span;
  std::vector<Note> notes;
  std::string hint;        // what to try; begins in lower case, may be empty
  std::string ready_text;  // what the hint calls "this rule": whole lines as the file may hold them; may be empty
};

// Collects diagnostics; a later stage asks `empty()` before it builds on an earlier one's work.
class Diagnostics {
 public:
  Diagnostic& add(std::string code, Span span, std::string message, std::string hint = {});
  [[nodiscard]] bool empty() const { return all_.empty(); }
  [[nodiscard]] std::size_t size() const { return all_.size() + untold_; }
  // In order of file (as they were first named), then place. Past the first 200, one at the end says how many more.
  [[nodiscard]] std::vector<Diagnostic> sorted() const;

 private:
  std::vector<Diagnostic> all_;
  std::size_t untold_ = 0;
  Diagnostic spare_;  // what is written to once no more is kept
};

// The text for the terminal; ends with a line end. Lines of the file longer than 120 characters are cut around
// the marked place.
[[nodiscard]] std::string render(const Diagnostic& diagnostic);
[[nodiscard]] std::string render(const std::vector<Diagnostic>& diagnostics);

}  // namespace lacestay::grammar
