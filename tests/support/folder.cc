#include "tests/support/folder.hpp"

#include <stdlib.h>

#include <algorithm>
#include <fstream>
#include <sstream>
#include <stdexcept>

namespace lacestay::tests {

namespace fs = std::filesystem;

std::string bytes_of(const fs::path& path) {
  std::ifstream in(path, std::ios::binary);
  if (!in) throw std::runtime_error("can't be read: " + path.string());
  std::ostringstream bytes;
  bytes << in.rdbuf();
  return bytes.str();
}

Folder::Folder(const fs::path& within) {
  auto name = (within / "lacestay-test-XXXXXX").string();
  if (!::mkdtemp(name.data())) throw std::runtime_error("no folder for the test in " + within.string());
  folder_ = name;
}

Folder::~Folder() {
  std::error_code ignored;
  fs::permissions(folder_, fs::perms::owner_all, ignored);  // a test may have taken them away
  fs::remove_all(folder_, ignored);
}

std::string Folder::write(const std::string& name, const std::string& bytes) const {
  std::ofstream(folder_ / name, std::ios::binary) << bytes;
  return *this / name;
}

std::vector<std::string> Folder::names() const {
  std::vector<std::string> all;
  for (const auto& entry : fs::directory_iterator(folder_)) all.push_back(entry.path().filename().string());
  std::sort(all.begin(), all.end());
  return all;
}

}  // namespace lacestay::tests
