// A folder with a daybook of its own, and entries to put in it.
#pragma once

#include <filesystem>
#include <functional>
#include <string>

#include "runtime/daybook/daybook.hpp"
#include "tests/support/folder.hpp"

namespace lacestay::tests {

class Day : public Folder {
 public:
  [[nodiscard]] std::string path() const { return *this / "shop.daybook"; }
};

// An advice or (every third) a quote, with contents, names, items and shelves that follow from the number.
[[nodiscard]] runtime::NewEntry some_entry(const std::string& policy, int number);
// A policy's document to rest on, kept.
[[nodiscard]] std::string keep_some_policy(runtime::Daybook& daybook);

// What the Error says that is thrown: "code: message"; empty where there is none.
[[nodiscard]] std::string trouble_of(const std::function<void()>& what);

// Each file of the folder, whole, one after the other.
[[nodiscard]] std::string all_bytes(const std::filesystem::path& folder);

// Of 22 August 2026, 09:00 UTC, and so many milliseconds.
[[nodiscard]] runtime::Moment at_nine(std::int64_t later_ms = 0);

}  // namespace lacestay::tests
