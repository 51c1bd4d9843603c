// A folder of the shop's files, held open: whole files read and put there, and one program at a time that may.
//
// Each file is reached from the open folder by its plain name, and a link is not followed, so that nothing outside of
// the folder is read or replaced. Throws Error, with sale-1 to sale-13 (grammar/read/messages.md); what turns it into
// an answer is the caller's edge (stock_change.hpp). One thread at a time.
#pragma once

#include <chrono>
#include <functional>
#include <optional>
#include <string>
#include <string_view>

#include "grammar/text/error.hpp"

namespace lacestay::runtime {

// How to go about a change. All but `patience` is for tests and for unusual disks.
struct StockManner {
  std::chrono::milliseconds patience{5000};  // how long to wait for another till
  // Told the name of each step just taken; a test ends the program there, or saves a file as a spreadsheet would.
  std::function<void(std::string_view step)> reached;
  // False: as on a disk where two files can't change places in one step.
  bool exchange = true;
};

class ShopFolder {
 public:
  // Where the folder can't be opened: sale-1.
  ShopFolder(std::string path, StockManner manner);
  ~ShopFolder();
  ShopFolder(const ShopFolder&) = delete;
  ShopFolder& operator=(const ShopFolder&) = delete;

  // Until this object ends, no other program has the lock, or sale-2; sale-3 where the folder is read-only. The lock
  // is advisory, on a file of its own that stays: a spreadsheet doesn't ask for it.
  void lock();

  // A plain file's bytes; nothing where there is no such file. A link, a folder, or what can't be read: sale-3.
  [[nodiscard]] std::optional<std::string> read(const std::string& name) const;
  // The SHA-256 of the same; nothing too where it is no plain file.
  [[nodiscard]] std::optional<std::string> fingerprint(const std::string& name) const;
  [[nodiscard]] bool holds(const std::string& name) const;
  // Where this file is marked read-only or this user may not write it: sale-3.
  void demand_writable(const std::string& name) const;

  // A new file on the disk, not only in memory, when this returns, with the owner, mode and attributes of `like`.
  // Where it can't be written (no room): sale-11, which names `like`, and there is no new file.
  void write(const std::string& name, std::string_view bytes, const std::string& like = {}) const;

  // Two files change places in one step. False where the disk can't do that; sale-11 where it won't.
  [[nodiscard]] bool exchange(const std::string& one, const std::string& other) const;
  // In the place of what bears the name `to`. `move_to_free` leaves what is there alone, and says so by false.
  void move_over(const std::string& from, const std::string& to) const;
  [[nodiscard]] bool move_to_free(const std::string& from, const std::string& to) const;
  void remove(const std::string& name) const;  // if it is there
  void sync() const;                           // the names in the folder are on the disk

  // Whether a program has the file open to write it. False where the disk can't tell.
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
