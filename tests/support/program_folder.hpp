// A folder of a test's own, with files in it, in which the program is run as a shop runs it.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

namespace lacestay::tests {

struct Ran {
  int code = -1;  // -1: it ended by a signal
  std::string out, problems;
};

// Gone with its holder.
class ProgramFolder {
 public:
  explicit ProgramFolder(std::string program);
  ~ProgramFolder();
  ProgramFolder(const ProgramFolder&) = delete;
  ProgramFolder& operator=(const ProgramFolder&) = delete;

  [[nodiscard]] const std::filesystem::path& folder() const { return folder_; }
  void write(const std::string& name, const std::string& text) const;
  [[nodiscard]] std::string read(const std::string& name) const;
  [[nodiscard]] std::vector<std::string> names() const;  // sorted

  // The words as a shell has them, in the folder; `environment` as it stands before a command: "A=b".
  [[nodiscard]] Ran run(const std::string& words, const std::string& environment = "") const;

 private:
  std::filesystem::path folder_;
  std::string program_;
};

// A whole file.
[[nodiscard]] std::string bytes_of(const std::filesystem::path& path);

}  // namespace lacestay::tests
