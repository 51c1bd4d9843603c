#include "runtime/sale/shop_folder.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <sys/xattr.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <csignal>
#include <cstdio>
#include <cstring>
#include <thread>
#include <vector>

#include "runtime/base/flushed_file.hpp"
#include "runtime/base/sha256.hpp"

namespace lacestay::runtime {
namespace {

constexpr const char* lock_name = ".stock.lock";
// Positions in a table are 32 bits (grammar/text/source.hpp); a stock of a million items is a tenth of this.
constexpr std::int64_t largest = 1 << 30;
constexpr mode_t writable_bits = S_IWUSR | S_IWGRP | S_IWOTH;

class Open {
 public:
  explicit Open(int file) : file_(file) {}
  ~Open() {
    if (file_ >= 0) ::close(file_);
  }
  Open(const Open&) = delete;
  Open& operator=(const Open&) = delete;
  [[nodiscard]] int get() const { return file_; }
  explicit operator bool() const { return file_ >= 0; }

 private:
  int file_;
};

[[noreturn]] void unreadable(const std::string& name, const std::string& why, std::string hint) {
  throw Error{"sale-3", fmt::format("'{}' {}.", name, why), std::move(hint)};
}

[[noreturn]] void unwritable(const std::string& name, int error) {
  const char* hint = "see to the disk, then try again";
  if (error == ENOSPC || error == EDQUOT || error == EFBIG)
    hint = "make room on the disk, then try again";
  else if (error == EACCES || error == EPERM || error == EROFS)
    hint = "let this user write the folder and its files, then try again";
  throw Error{"sale-11", fmt::format("'{}' can't be written: {}.", name, std::strerror(error)), hint};
}

// Extended attributes, such as access lists. Those that the filesystem or the user's rights refuse are skipped.
void copy_attributes(int from, int to) {
  const auto size = ::flistxattr(from, nullptr, 0);
  if (size <= 0) return;
  std::vector<char> names(static_cast<std::size_t>(size));
  const auto listed = ::flistxattr(from, names.data(), names.size());
  for (auto at = names.data(); listed > 0 && at < names.data() + listed; at += std::strlen(at) + 1) {
    const auto length = ::fgetxattr(from, at, nullptr, 0);
    if (length < 0) continue;
    std::vector<char> value(static_cast<std::size_t>(length));
    const auto got = ::fgetxattr(from, at, value.data(), value.size());
    if (got >= 0) static_cast<void>(::fsetxattr(to, at, value.data(), static_cast<std::size_t>(got), 0));
  }
}

// The filesystem has no such way of renaming; a plain one has to do.
bool cannot(int error) { return error == EINVAL || error == ENOSYS || error == EOPNOTSUPP; }

}  // namespace

ShopFolder::ShopFolder(std::string path, StockManner manner) : path_(std::move(path)), manner_(std::move(manner)) {
  folder_ = ::open(path_.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (folder_ < 0)
    throw Error{"sale-1", fmt::format("The stock folder '{}' can't be opened: {}.", path_, std::strerror(errno)),
                "name the folder that holds the stock files"};
}

ShopFolder::~ShopFolder() {
  if (lock_ >= 0) ::close(lock_);
  ::close(folder_);
}

void ShopFolder::lock() {
  struct stat about {};
  const bool known = ::fstat(folder_, &about) == 0;
  const bool marked = known && (about.st_mode & writable_bits) == 0;
  const char* hint = "let this user write the folder, then try again";
  if (marked || ::faccessat(folder_, ".", W_OK | X_OK, AT_EACCESS) != 0)
    unreadable(path_, "is a folder that can't be written", hint);
  lock_ = ::openat(folder_, lock_name, O_RDONLY | O_CREAT | O_NOFOLLOW | O_CLOEXEC, 0666);
  if (lock_ < 0) unreadable(lock_name, fmt::format("can't be opened: {}", std::strerror(errno)), hint);
  const auto end = std::chrono::steady_clock::now() + manner_.patience;
  while (::flock(lock_, LOCK_EX | LOCK_NB) != 0) {
    if (errno != EWOULDBLOCK && errno != EINTR)
      unreadable(lock_name, fmt::format("can't be locked: {}", std::strerror(errno)),
                 "keep the stock on a disk that knows locks");
    if (std::chrono::steady_clock::now() >= end)
      throw Error{"sale-2",
                  fmt::format("Another till has held '{}/{}' for {} seconds.", path_, lock_name,
                              std::chrono::duration<double>(manner_.patience).count()),
                  "try again once its sale is through"};
    std::this_thread::sleep_for(std::chrono::milliseconds(5));
  }
}

std::optional<std::string> ShopFolder::read(const std::string& name) const {
  // O_NONBLOCK: opening a pipe would otherwise wait for its other end.
  const Open file(::openat(folder_, name.c_str(), O_RDONLY | O_NOFOLLOW | O_NONBLOCK | O_CLOEXEC));
  if (!file && errno == ENOENT) return std::nullopt;
  if (!file && errno == ELOOP) unreadable(name, "is a link", "put the file itself into the folder");
  if (!file)
    unreadable(name, fmt::format("can't be read: {}", std::strerror(errno)), "let this user read it, then try again");
  struct stat about {};
  if (::fstat(file.get(), &about) != 0 || !S_ISREG(about.st_mode))
    unreadable(name, "is not a plain file", "put the file itself into the folder");
  if (about.st_size > largest) unreadable(name, "has more than 1 GiB", "split it over several files");
  std::string bytes;
  for (std::size_t filled = 0;;) {
    bytes.resize(filled + std::max<std::size_t>(static_cast<std::size_t>(about.st_size), 4096) + 1);
    const auto got = ::read(file.get(), bytes.data() + filled, bytes.size() - filled);
    if (got < 0 && errno == EINTR) continue;
    if (got < 0)
      unreadable(name, fmt::format("can't be read: {}", std::strerror(errno)), "see to the disk, then try again");
    filled += static_cast<std::size_t>(got);
    bytes.resize(filled);
    if (got == 0) return bytes;
  }
}

std::optional<std::string> ShopFolder::fingerprint(const std::string& name) const {
  try {
    const auto bytes = read(name);
    return bytes ? std::optional(sha256(*bytes)) : std::nullopt;
  } catch (const Error&) {
    return std::nullopt;
  }
}

bool ShopFolder::holds(const std::string& name) const {
  return ::faccessat(folder_, name.c_str(), F_OK, AT_SYMLINK_NOFOLLOW) == 0;
}

void ShopFolder::demand_writable(const std::string& name) const {
  struct stat about {};
  const bool known = ::fstatat(folder_, name.c_str(), &about, AT_SYMLINK_NOFOLLOW) == 0;
  // A file marked read-only is left alone, though a superuser or whoever may write the folder could replace it.
  const bool marked = known && (about.st_mode & writable_bits) == 0;
  if (!known || marked || ::faccessat(folder_, name.c_str(), W_OK, AT_EACCESS) != 0)
    unreadable(name, "is read-only", "let this user write it, then try again");
}

void ShopFolder::write(const std::string& name, std::string_view bytes, const std::string& like) const {
  remove(name);
  const auto as_model = [&](int file) {
    if (like.empty()) return 0;
    const Open model(::openat(folder_, like.c_str(), O_RDONLY | O_NOFOLLOW | O_NONBLOCK | O_CLOEXEC));
    struct stat about {};
    if (!model || ::fstat(model.get(), &about) != 0) return errno;
    // Owner first: giving a file away takes bits off its mode. Only a superuser may, so others keep what they can.
    if (::fchown(file, about.st_uid, about.st_gid) != 0)
      static_cast<void>(::fchown(file, static_cast<uid_t>(-1), about.st_gid) != 0);
    if (::fchmod(file, about.st_mode & 07777) != 0) return errno;
    copy_attributes(model.get(), file);
    return 0;
  };
  if (const int error = write_flushed(folder_, name, bytes, as_model); error != 0)
    unwritable(like.empty() ? name : like, error);
}

bool ShopFolder::exchange(const std::string& one, const std::string& other) const {
  if (!manner_.exchange) return false;
  if (::renameat2(folder_, one.c_str(), folder_, other.c_str(), RENAME_EXCHANGE) == 0) return true;
  if (cannot(errno)) return false;
  unwritable(other, errno);
}

void ShopFolder::move_over(const std::string& from, const std::string& to) const {
  if (::renameat(folder_, from.c_str(), folder_, to.c_str()) != 0) unwritable(to, errno);
}

bool ShopFolder::move_to_free(const std::string& from, const std::string& to) const {
  if (::renameat2(folder_, from.c_str(), folder_, to.c_str(), RENAME_NOREPLACE) == 0) return true;
  if (errno == EEXIST) return false;
  if (!cannot(errno)) unwritable(to, errno);
  if (holds(to)) return false;
  move_over(from, to);
  return true;
}

void ShopFolder::remove(const std::string& name) const {
  if (::unlinkat(folder_, name.c_str(), 0) != 0 && errno != ENOENT) unwritable(name, errno);
}

void ShopFolder::sync() const {
  if (const int error = flush_folder(folder_); error != 0) unwritable(path_, error);
}

bool ShopFolder::being_written(const std::string& name) const {
  const Open file(::openat(folder_, name.c_str(), O_RDONLY | O_NOFOLLOW | O_NONBLOCK | O_CLOEXEC));
  if (!file) return false;
  // A read lease is granted only while nobody has the file open for writing. A program that opens it while we hold the
  // lease makes the kernel send us a signal; the default one, SIGIO, would end this program, SIGURG is ignored.
  static_cast<void>(::fcntl(file.get(), F_SETSIG, SIGURG));
  return ::fcntl(file.get(), F_SETLEASE, F_RDLCK) != 0 && errno == EAGAIN;
}

}  // namespace lacestay::runtime
