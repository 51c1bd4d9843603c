// A file the program writes is on the disk before it replaces the old one, and its name is after.
//
// The test stands between the program and the system: it sees each flush, and what the file's name led to at that time.
#include <fmt/format.h>
#include <sys/syscall.h>
#include <unistd.h>

#include <catch2/catch.hpp>
#include <cerrno>
#include <cstdlib>

#include "runtime/command/command_line.hpp"
#include "tests/support/program_folder.hpp"

namespace {

namespace fs = std::filesystem;
using namespace lacestay;

// What is looked at while something is flushed, what was seen, and an error that the disk is made to tell.
std::string watched;
std::vector<std::string> seen;
int told_by_disk = 0;

}  // namespace

// Takes the place of the C library's.
extern "C" int fsync(int file) {
  if (!watched.empty()) {
    std::error_code unknown;
    const auto flushed = fs::read_symlink(fmt::format("/proc/self/fd/{}", file), unknown);
    const bool folder = fs::is_directory(flushed, unknown);
    seen.push_back(fmt::format("{} flushed, {} stands there",
                               folder ? flushed.filename().string() + "/" : tests::bytes_of(flushed),
                               tests::bytes_of(watched)));
    if (told_by_disk != 0) return errno = told_by_disk, -1;
  }
  return static_cast<int>(::syscall(SYS_fsync, file));
}

namespace {

class Folder {
 public:
  Folder() {
    auto name = (fs::temp_directory_path() / "lacestay-written-XXXXXX").string();
    REQUIRE(::mkdtemp(name.data()));
    path_ = fs::path(name) / "kept";
    fs::create_directory(path_);
  }
  ~Folder() { fs::remove_all(path_.parent_path()); }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  [[nodiscard]] std::string of(const std::string& name) const { return (path_ / name).string(); }
  [[nodiscard]] std::size_t files() const {
    return static_cast<std::size_t>(std::distance(fs::directory_iterator(path_), fs::directory_iterator()));
  }

 private:
  fs::path path_;
};

TEST_CASE("the new file is flushed while the old one stands, and then its folder") {
  const Folder folder;
  runtime::write_file(folder.of("page"), "old");
  seen.clear();
  watched = folder.of("page");
  runtime::write_file(folder.of("page"), "new");
  watched.clear();
  CHECK(seen == std::vector<std::string>{"new flushed, old stands there", "kept/ flushed, new stands there"});
  CHECK(tests::bytes_of(folder.of("page")) == "new");
  CHECK(folder.files() == 1);
}

TEST_CASE("where the disk can't take it, the old file stays, and nothing lies beside it") {
  const Folder folder;
  runtime::write_file(folder.of("page"), "old");
  watched = folder.of("page");
  told_by_disk = ENOSPC;
  std::string told;
  int code = 0;
  try {
    runtime::write_file(folder.of("page"), "new");
  } catch (const runtime::Stop& stop) {
    told = render(stop.problem());
    code = stop.code();
  }
  watched.clear();
  told_by_disk = 0;
  CHECK(told == fmt::format("'{}' can't be written: No space left on device.\n", folder.of("page")));
  CHECK(code == 3);
  CHECK(tests::bytes_of(folder.of("page")) == "old");
  CHECK(folder.files() == 1);
}

}  // namespace
