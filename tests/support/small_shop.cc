#include "tests/support/small_shop.hpp"

#include <unistd.h>

#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>

#include "compiler/check/compile.hpp"
#include "compiler/values/days.hpp"

namespace lacestay::tests {

namespace fs = std::filesystem;

std::shared_ptr<const runtime::Engine> engine_of(const std::string& items) {
  const auto compiled = compiler::compile(
      "small.fitting", "policy \"Small shop\"\nedition 1, in force from 1 September 2026\nmoney GBP\n" + items,
      [](const std::string&) {
        return Problem{"file-5", "there is none"};
      });
  INFO(render(compiled.diagnostics));
  REQUIRE(compiled.policy);
  auto engine = runtime::Engine::build(compiled.policy).value();
  return engine;
}

runtime::Stock stock_of(const compiler::Policy& policy, const Files& files) {
  static int made = 0;
  const auto folder =
      fs::temp_directory_path() / ("lacestay_stock_" + std::to_string(getpid()) + "_" + std::to_string(++made));
  fs::create_directories(folder);
  for (const auto& [name, text] : files) std::ofstream(folder / name, std::ios::binary) << text;
  auto stock = runtime::read_stock(policy, folder, {});
  fs::remove_all(folder);
  return stock;
}

runtime::Player player_of(const compiler::Policy& policy, const std::string& details,
                          const std::vector<std::string>& owns) {
  grammar::Diagnostics problems;
  runtime::PlayerReader reader(policy, problems);
  for (std::size_t at = 0; at < details.size();) {
    const auto comma = std::min(details.find(',', at), details.size());
    const auto equals = details.find('=', at);
    reader.set(details.substr(at, equals - at), details.substr(equals + 1, comma - equals - 1));
    at = details.find_first_not_of(", ", comma);
  }
  for (const auto& piece : owns) reader.set_owned(piece);
  INFO(render(problems.sorted()));
  REQUIRE(problems.empty());
  return reader.take();
}

std::int64_t day_of(int year, int month, int day) { return compiler::day_number(year, month, day); }

}  // namespace lacestay::tests
