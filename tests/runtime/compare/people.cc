#include "tests/runtime/compare/people.hpp"

#include <fmt/format.h>

#include <fstream>
#include <sstream>

#include "tests/reference/draw.hpp"
#include "tests/support/places.hpp"
#include "tests/support/settings.hpp"

namespace lacestay::tests {

std::optional<std::vector<Row>> rows_of(const std::string& set) {
  const auto path = oracle(set);
  std::ifstream in(path);
  if (!in) {
    std::ifstream missing(path + ".missing");
    std::string reason = "it has not been fetched (tests/oracles/fetch.sh)";
    if (missing) std::getline(missing, reason);
    skipped(set + ": " + reason);
    return std::nullopt;
  }
  const auto cut = [](const std::string& line) {
    std::vector<std::string> fields;
    std::stringstream stream(line);
    for (std::string field; std::getline(stream, field, ',');) fields.push_back(field);
    return fields;
  };
  std::string line;
  std::getline(in, line);
  const auto names = cut(line);
  std::vector<Row> rows;
  while (std::getline(in, line)) {
    const auto fields = cut(line);
    Row row;
    for (std::size_t i = 0; i < fields.size() && i < names.size(); ++i)
      if (!fields[i].empty()) row[names[i]] = fields[i];
    rows.push_back(std::move(row));
  }
  return rows;
}

std::vector<Person> people_of(const std::string& set, const std::vector<Row>& rows,
                              const std::map<std::string, std::string>& columns) {
  std::vector<Person> people;
  for (std::size_t i = 0; i < rows.size(); ++i) {
    Person person{fmt::format("{}, line {}", set, i + 2), {}, ""};
    for (const auto& [detail, column] : columns) {
      const auto found = rows[i].find(column);
      if (found == rows[i].end()) continue;
      if (detail == "sex") {
        static const std::map<std::string, const char*> told = {{"boy", "male"}, {"girl", "female"}, {"1", "male"},
                                                                {"0", "female"}, {"M", "male"},      {"F", "female"}};
        person.sex = told.at(found->second);
        continue;
      }
      person.measured[detail] = detail == "age" ? found->second.substr(0, found->second.find('.')) : found->second;
    }
    people.push_back(std::move(person));
  }
  return people;
}

std::vector<Person> sampled(std::vector<Person> people, std::size_t count, std::uint64_t seed) {
  if (people.size() <= count) return people;
  naive::Draw draw(seed);
  std::vector<Person> some;
  for (std::size_t i = 0; i < people.size(); ++i) {
    const auto left = people.size() - i, wanted = count - some.size();
    if (draw.between(1, static_cast<std::int64_t>(left)) <= static_cast<std::int64_t>(wanted))
      some.push_back(std::move(people[i]));
  }
  return some;
}

}  // namespace lacestay::tests
