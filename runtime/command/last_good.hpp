// The last good edition: a file that only ever holds a policy that was proved when it was sealed. An edition that is
// refused leaves the file as it was, so what is pointed at it goes on with the one before.
#pragma once

#include <nlohmann/json.hpp>
#include <optional>
#include <string>

#include "compiler/tables/policy.hpp"

namespace lacestay::runtime {

class LastGood {
 public:
  // Looks at what the file holds, and throws Stop where that is something other than a sealed policy: a policy's own
  // text, say, which is not to be written over.
  explicit LastGood(std::string path);

  // Writes the policy, which the caller has proved, whole or not at all. Returns what is said of it. Throws Stop.
  std::string replace(const compiler::Policy& policy);
  // What is said where the policy was refused, and the file left as it was.
  [[nodiscard]] std::string left() const;

  // The file, whether it was written, and what it holds now and held before, for programs.
  [[nodiscard]] nlohmann::ordered_json json() const;

 private:
  struct Edition {
    std::string title, in_force, sha256;
    std::int64_t number = 0;
    [[nodiscard]] std::string short_sha256() const { return sha256.substr(0, 12); }
  };
  static Edition edition_of(const compiler::Policy& policy, std::string sha256);
  static nlohmann::ordered_json json_of(const std::optional<Edition>& edition);

  std::string path_;
  std::optional<Edition> before_, now_;
  std::string unusable_;  // what the file held is a sealed policy that can't be used: why
  bool written_ = false;
};

}  // namespace lacestay::runtime
