// The journal of a change to several files: a small table, so that a person could read it too.
#pragma once

#include <optional>
#include <string>
#include <vector>

namespace lacestay::runtime {

struct Journal {
  struct File {
    std::string name, before, after;  // fingerprints
    std::string by_hand;
  };
  std::string subject;
  std::vector<File> files;
};

[[nodiscard]] std::string journal_text(const Journal& journal);

// Nothing where the text is not, to the last byte, what journal_text wrote.
[[nodiscard]] std::optional<Journal> read_journal(std::string text);

}  // namespace lacestay::runtime
