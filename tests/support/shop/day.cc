#include "tests/support/shop/day.hpp"

#include <fmt/format.h>

#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "compiler/values/days.hpp"
#include "compiler/values/quantity.hpp"
#include "runtime/base/sha256.hpp"

namespace lacestay::tests {

namespace fs = std::filesystem;
using runtime::EntryKind;

std::string keep_some_policy(runtime::Daybook& daybook) {
  return daybook.keep_policy({"Corner shop", 3, std::string(64, 'a'), R"({"a":"policy"})"});
}

runtime::NewEntry some_entry(const std::string& policy, int number) {
  runtime::NewEntry entry;
  entry.policy = policy;
  nlohmann::json content = {{"format", 1}, {"weight", fmt::format("{} kg", 20 + number % 90)}, {"number", number}};
  entry.names = {"piece skates", fmt::format("rule rule_{}", number % 40), fmt::format("rule other_{}", number % 7)};
  if (number % 3 == 0) {
    entry.kind = EntryKind::quote;
    entry.stock = std::string(64, 'c');
    entry.items = {fmt::format("SK-{}", number % 500)};
    entry.shelves = {fmt::format(R"({{"piece":"skates","items":[{}]}})", number % 50)};
    content["shelves"] = {runtime::sha256(entry.shelves.front())};
  }
  entry.content = content.dump();
  return entry;
}

std::string trouble_of(const std::function<void()>& what) {
  try {
    what();
    return "";
  } catch (const Error& error) {
    return error.problem().code + ": " + error.problem().message;
  }
}

std::string all_bytes(const fs::path& folder) {
  std::stringstream all;
  for (const auto& entry : fs::recursive_directory_iterator(folder))
    if (entry.is_regular_file()) all << std::ifstream(entry.path(), std::ios::binary).rdbuf();
  return all.str();
}

runtime::Moment at_nine(std::int64_t later_ms) {
  const auto day = compiler::day_number(2026, 8, 22);
  return runtime::Moment{std::chrono::milliseconds((day * 24 + 9) * 3'600'000 + later_ms)};
}

}  // namespace lacestay::tests
