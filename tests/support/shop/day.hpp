// A folder with a daybook of its own, and entries to put in it.
#pragma once

#include <filesystem>
#include <functional>
#include <string>

#include "runtime/daybook/daybook.hpp"

namespace lacestay::tests {

class Day {
 public:
  Day();
  ~Day();
  Day(const Day&) = delete;
  Day& operator=(const Day&) = delete;

  [[nodiscard]] const std::filesystem::path& folder() const { return folder_; }
  [[nodiscard]] std::string path() const { return (folder_ / "shop.daybook").string(); }

 private:
  std::filesystem::path folder_;
};

// An advice or (every third) a quote, with contents, names, items and shelves that follow from the number.
[[nodiscard]] runtime::NewEntry some_entry(const std::string& policy, int number);
// A policy's document to rest on, kept.
[[nodiscard]] std::string keep_some_policy(runtime::Daybook& daybook);

// What the Error says that is thrown: "code: message"; empty where there is none.
[[nodiscard]] std::string trouble_of(const std::function<void()>& what);

// Each file of the folder, whole, one after the other.
[[nodiscard]] std::string all_bytes(const std::filesystem::path& folder);

// In a process of its own; what it returned, or -1 where it was killed.
int in_child(const std::function<int()>& what);

// Of 22 August 2026, 09:00 UTC, and so many milliseconds.
[[nodiscard]] runtime::Moment at_nine(std::int64_t later_ms = 0);

}  // namespace lacestay::tests
