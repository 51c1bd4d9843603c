// Real people, measured: the fetched data sets, a row a person.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace lacestay::tests {

struct Person {
  std::string from;                             // set and line
  std::map<std::string, std::string> measured;  // by detail: a number, in years, kg or cm
  std::string sex;                              // empty where the set does not say
};

using Row = std::map<std::string, std::string>;

// The rows of a fetched set, or nothing where it could not be had, which is then a skip (in CI a failure).
[[nodiscard]] std::optional<std::vector<Row>> rows_of(const std::string& set);
// Columns of the set, by the details they hold. Ages are cut to whole years.
[[nodiscard]] std::vector<Person> people_of(const std::string& set, const std::vector<Row>& rows,
                                            const std::map<std::string, std::string>& columns);
// `count` of them in their order, or everyone where there are no more.
[[nodiscard]] std::vector<Person> sampled(std::vector<Person> people, std::size_t count, std::uint64_t seed);

}  // namespace lacestay::tests
