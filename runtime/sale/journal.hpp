// The journal of a change to several files: a small CSV table, which a person can read if it comes to that. Its last
// row holds the subject and a SHA-256 of the rows before it.
#pragma once

#include <optional>
#include <string>
#include <vector>

namespace lacestay::runtime {

struct Journal {
  struct File {
    std::string name;
    std::string before, after;  // SHA-256 of its old and new content
    std::string by_hand;        // as in file_set.hpp
  };
  std::string subject;
  std::vector<File> files;
};

[[nodiscard]] std::string journal_text(const Journal& journal);

// Nothing where the text is not, to the last byte, what journal_text writes: a torn or altered journal is never acted
// on.
[[nodiscard]] std::optional<Journal> read_journal(std::string text);

}  // namespace lacestay::runtime
