#include "tests/support/shop/small_shop.hpp"

#include <catch2/catch.hpp>

#include "compiler/values/days.hpp"
#include "tests/support/folder.hpp"
#include "tests/support/policy/compiled.hpp"

namespace lacestay::tests {

std::shared_ptr<const runtime::Engine> small_shop(const std::string& items) {
  return engine_of("small.fitting",
                   "policy \"Small shop\"\nedition 1, in force from 1 September 2026\nmoney GBP\n" + items);
}

runtime::Stock stock_of(const compiler::Policy& policy, const Files& files) {
  const Folder folder;
  for (const auto& [name, text] : files) folder.write(name, text);
  return runtime::read_stock(policy, folder.folder(), {});
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
  return reader.take().value();
}

std::int64_t day_of(int year, int month, int day) { return compiler::day_number(year, month, day); }

}  // namespace lacestay::tests
