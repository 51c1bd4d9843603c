// A folder in which the program is run as a shop runs it.
#pragma once

#include <string>

#include "tests/support/folder.hpp"
#include "tests/support/process.hpp"

namespace lacestay::tests {

class ProgramFolder : public Folder {
 public:
  // The words as a shell has them, in the folder; `environment` as it stands before a command: "A=b".
  [[nodiscard]] Ran run(const std::string& words, const std::string& environment = "") const;
  // One that goes well; what it printed.
  [[nodiscard]] std::string said(const std::string& words) const;
};

}  // namespace lacestay::tests
