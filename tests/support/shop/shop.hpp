// A stock folder for tests, and work on it that ends in the middle.
#pragma once

#include <functional>
#include <map>
#include <string>

#include "runtime/sale/stock_change.hpp"
#include "tests/support/folder.hpp"

namespace lacestay::tests {

using Files = std::map<std::string, std::string>;  // name to bytes

class Shop : public Folder {
 public:
  // In memory where that can be, as thousands of tests need not wait for a disk.
  enum class On { memory, disk };
  explicit Shop(const Files& files, On where = On::memory);

  [[nodiscard]] std::string path() const { return folder().string(); }
  // Empty where the file is gone, as one may be while somebody saves it.
  [[nodiscard]] std::string text(const std::string& name) const;
  // All files but the lock.
  [[nodiscard]] Files files() const;
  // What a quote would remember of them.
  [[nodiscard]] runtime::QuotedFiles quoted() const;
};

// 14 March 2026, 16:05:09 UTC.
extern const runtime::Moment tea_time;

enum class Saving {
  renamed,   // a new file takes the old one's name
  in_place,  // the file is emptied, then written
};
void save(const std::string& path, const std::string& bytes, Saving how = Saving::renamed);

// `work` in a process of its own: true where it ran to its end, false where it ended the process by `die`.
bool run(const std::function<void()>& work);
[[noreturn]] void die();

// "sale-4: Message.\n  Try: hint.\n", or "sold 7: a.csv S1 3 -> 2\n".
[[nodiscard]] std::string told(const Result<runtime::StockChange>& result);
[[nodiscard]] std::string told(const Result<std::string>& result);

}  // namespace lacestay::tests
