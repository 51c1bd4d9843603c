// A problem as it is reported to a person: what is wrong, where, which other places it concerns, and what to try. One
// form for every stage, from the bytes of a policy to the sale of a kit.
//
// A stage that goes on after the first problem collects them (Diagnostics, in diagnostic.hpp). What gives one value or
// says why not returns a Result (result.hpp). Where there is no way on, an Error is thrown (error.hpp).
#pragma once

#include <string>
#include <vector>

#include "grammar/text/source.hpp"

namespace lacestay {

struct Note {
  std::string text;  // what the other place has to do with it: "the first one"
  grammar::Span span;
};

// The order lets a problem without a place be written as {code, message, hint}.
struct Problem {
  // A word and a number, such as charts-3; listed in grammar/read/messages.md. Empty where the sentence says it all.
  std::string code = {};
  // Whole sentences, without a line end after the last. Where a function knows too little of the occasion to make a
  // sentence (of which file, on whose behalf), its contract says that this is a clause, which its caller puts in one.
  std::string message = {};
  std::string hint = {};         // what to try; begins in lower case, without a full stop; may be empty
  grammar::Span where = {};      // may point nowhere
  std::vector<Note> notes = {};  // other places it concerns
  std::string ready_text = {};   // what the hint calls "this rule": whole lines as the file may hold them; may be empty
};

// The line a span begins in, in a word and a number: "line 12"; of a spreadsheet "row 12".
[[nodiscard]] std::string line_text(const grammar::Span& span);

// The text for the terminal, with the marked line and all that is above; ends with a line end. Lines of the file longer
// than 120 characters are cut around the marked place.
[[nodiscard]] std::string render(const Problem& problem);
// All of them, an empty line between two.
[[nodiscard]] std::string render(const std::vector<Problem>& problems);

}  // namespace lacestay
