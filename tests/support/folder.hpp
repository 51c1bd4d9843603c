// A folder of a test's own, with files in it, gone with its holder.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

namespace lacestay::tests {

// A whole file's bytes. A file that can't be read fails the test case.
[[nodiscard]] std::string bytes_of(const std::filesystem::path& path);

class Folder {
 public:
  Folder() : Folder(std::filesystem::temp_directory_path()) {}
  explicit Folder(const std::filesystem::path& within);
  ~Folder();
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;

  [[nodiscard]] const std::filesystem::path& folder() const { return folder_; }
  [[nodiscard]] std::string operator/(const std::string& name) const { return (folder_ / name).string(); }
  // Written; its path.
  std::string write(const std::string& name, const std::string& bytes) const;
  [[nodiscard]] std::string read(const std::string& name) const { return bytes_of(folder_ / name); }
  [[nodiscard]] std::vector<std::string> names() const;  // of what is directly in it, in order

 private:
  std::filesystem::path folder_;
};

}  // namespace lacestay::tests
