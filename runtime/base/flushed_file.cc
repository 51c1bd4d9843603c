#include "runtime/base/flushed_file.hpp"

#include <fcntl.h>
#include <unistd.h>

#include <cerrno>

namespace lacestay::runtime {

namespace {

int write_all(int file, std::string_view bytes) {
  while (!bytes.empty()) {
    const auto written = ::write(file, bytes.data(), bytes.size());
    if (written < 0 && errno == EINTR) continue;
    if (written < 0) return errno;
    bytes.remove_prefix(static_cast<std::size_t>(written));
  }
  return 0;
}

}  // namespace

int write_flushed(int folder, const std::string& name, std::string_view bytes,
                  const std::function<int(int file)>& prepare) {
  const int file = ::openat(folder, name.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW | O_CLOEXEC, 0666);
  if (file < 0) return errno;
  int error = write_all(file, bytes);
  if (error == 0 && prepare) error = prepare(file);
  if (error == 0 && ::fsync(file) != 0) error = errno;
  // Some disks tell only now that there is no room.
  if (::close(file) != 0 && error == 0 && errno != EINTR) error = errno;
  if (error != 0) ::unlinkat(folder, name.c_str(), 0);
  return error;
}

int flush_folder(int folder) {
  // Some filesystems keep no names apart from the files, and say EINVAL.
  return ::fsync(folder) == 0 || errno == EINVAL ? 0 : errno;
}

}  // namespace lacestay::runtime
