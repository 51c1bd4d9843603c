// What the daybook's sources share: prepared statements, and SQLite's errors as messages. Inner to the daybook.
#pragma once

#include <string>
#include <utility>

#include "runtime/daybook/daybook.hpp"

namespace lacestay::runtime {

struct Daybook::Prepared {
  explicit Prepared(Database& base);
  Statement last, add_entry, add_mention, add_item, add_shelf, shelf_id, add_use, name, add_name, entry, policy_id;
};

[[nodiscard]] Error damaged(const std::string& path, const std::string& how);
// What SQLite said, for a person; `path` is the daybook's.
[[nodiscard]] Error told(const DatabaseError& error, const std::string& path);

// Runs it, and turns what SQLite says into what a person is told.
template <typename Do>
auto in_words(const std::string& path, Do what) {
  try {
    return what();
  } catch (const DatabaseError& error) {
    throw told(error, path);
  }
}

}  // namespace lacestay::runtime
