#include "tests/support/program_folder.hpp"

#include <fmt/format.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <cstdlib>
#include <fstream>
#include <sstream>

namespace lacestay::tests {

namespace fs = std::filesystem;

std::string bytes_of(const fs::path& path) {
  std::stringstream text;
  text << std::ifstream(path, std::ios::binary).rdbuf();
  return text.str();
}

ProgramFolder::ProgramFolder(std::string program) : program_(std::move(program)) {
  auto name = (fs::temp_directory_path() / "lacestay-program-XXXXXX").string();
  if (!::mkdtemp(name.data())) std::abort();
  folder_ = name;
}
ProgramFolder::~ProgramFolder() {
  std::error_code ignored;
  fs::remove_all(folder_, ignored);
}

void ProgramFolder::write(const std::string& name, const std::string& text) const {
  std::ofstream(folder_ / name, std::ios::binary) << text;
}
std::string ProgramFolder::read(const std::string& name) const { return bytes_of(folder_ / name); }

std::vector<std::string> ProgramFolder::names() const {
  std::vector<std::string> all;
  for (const auto& entry : fs::directory_iterator(folder_)) all.push_back(entry.path().filename().string());
  std::sort(all.begin(), all.end());
  return all;
}

Ran ProgramFolder::run(const std::string& words, const std::string& environment) const {
  // Beside the folder: a test may look at all there is in it.
  const auto out = folder_.string() + ".out", err = folder_.string() + ".err";
  const int status = std::system(fmt::format("cd '{}' && {} '{}' {} > '{}' 2> '{}' < /dev/null", folder_.string(),
                                             environment, program_, words, out, err)
                                     .c_str());
  Ran ran{WIFEXITED(status) ? WEXITSTATUS(status) : -1, bytes_of(out), bytes_of(err)};
  fs::remove(out), fs::remove(err);
  return ran;
}

}  // namespace lacestay::tests
