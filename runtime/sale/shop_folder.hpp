// A folder of the shop's files, held open: whole files are read and replaced in it, under a lock between programs.
//
// Files are opened relative to the open folder by plain names, and links are not followed, so that nothing outside the
// folder is read or replaced. Throws Error, with sale-1 to sale-13 (grammar/read/messages.md), which stock_change.hpp
// turns into results. One thread at a time.
#pragma once

#include <chrono>
#include <functional>
#include <optional>
#include <string>
#include <string_view>

#include "grammar/text/error.hpp"

namespace lacestay::runtime {

// How a change is made. All but `patience` is for tests and unusual filesystems.
struct StockManner {
  std::chrono::milliseconds patience{5000};  // how long to wait for another till
  // Called with the name of each step just taken: a test ends the program there, or saves a file as a spreadsheet
  // would.
  std::function<void(std::string_view step)> reached;
  // False: as on a filesystem without RENAME_EXCHANGE.
  bool exchange = true;
};

class ShopFolder {
 public:
  // Where the folder can't be opened: sale-1.
  ShopFolder(std::string path, StockManner manner);
  ~ShopFolder();
  ShopFolder(const ShopFolder&) = delete;
  ShopFolder& operator=(const ShopFolder&) = delete;

  // Takes the lock until this object is destroyed; waits up to `patience`, then sale-2. sale-3 where the folder is
  // read-only. The lock is advisory (flock), on a file of its own that is never removed; spreadsheets ignore it.
  void lock();

  // A plain file's bytes; nothing where there is no such file. A link, a folder, or what can't be read: sale-3.
  [[nodiscard]] std::optional<std::string> read(const std::string& name) const;
  // The SHA-256 of the same; nothing too where it is no plain file.
  [[nodiscard]] std::optional<std::string> fingerprint(const std::string& name) const;
  [[nodiscard]] bool holds(const std::string& name) const;
  // Throws sale-3 where this file is marked read-only or this user may not write it. A rename over it would succeed all
  // the same, for that needs only the folder to be writable.
  void demand_writable(const std::string& name) const;

  // Writes a new file and flushes it to the disk, with the owner, mode and extended attributes of `like`. Throws
  // sale-11, which names `like`, where that fails (no room); then there is no new file.
  void write(const std::string& name, std::string_view bytes, const std::string& like = {}) const;

  // Exchanges two files in one atomic step. False where the filesystem can't do that; sale-11 for other errors.
  [[nodiscard]] bool exchange(const std::string& one, const std::string& other) const;
  // Renames a file, replacing `to`; move_to_free gives false instead where `to` is taken.
  void move_over(const std::string& from, const std::string& to) const;
  [[nodiscard]] bool move_to_free(const std::string& from, const std::string& to) const;
  void remove(const std::string& name) const;  // if it is there
  void sync() const;                           // flushes the folder: renames so far are on the disk

  // Whether a program has the file open for writing (found by asking for a read lease). False where the filesystem has
  // no leases.
  [[nodiscard]] bool being_written(const std::string& name) const;

  void reached(std::string_view step) const {
    if (manner_.reached) manner_.reached(step);
  }

 private:
  std::string path_;
  StockManner manner_;
  int folder_ = -1;
  int lock_ = -1;
};

}  // namespace lacestay::runtime
