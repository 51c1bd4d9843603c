// Real or recorded people before two editions: how many are answered otherwise, and which.
#pragma once

#include <memory>
#include <string>
#include <utility>
#include <vector>

#include "compiler/compare/difference.hpp"
#include "grammar/text/diagnostic.hpp"
#include "runtime/engine/engine.hpp"
#include "runtime/player/player.hpp"

namespace lacestay::runtime {

// A file of people: CSV with a heading of details, such as `age,weight (kg),skill` (a column `player` names them), or
// one JSON object a line.
struct People {
  // One person, as each policy that reads the file needs it.
  struct Person {
    std::string name;                                          // from the column `player`, else "line 17"
    std::vector<std::pair<std::string, std::string>> details;  // CSV
    std::string json;
  };
  std::shared_ptr<const grammar::Source> source;
  std::vector<std::string> columns;  // of CSV: its details
  std::vector<Person> people;
};

// What can't be read is told to `problems`; the rest is read.
[[nodiscard]] People read_people(std::string name, std::string text, grammar::Diagnostics& problems);

// How the people of a file fare.
struct PeopleLines {
  struct Becomes {
    std::string answer, before, after;  // "stick flex", "55 to 75 flex", "60 to 80 flex"
  };
  struct Changed {
    std::string name;
    std::vector<Becomes> answers;
  };
  std::size_t people = 0;
  std::size_t compared = 0;                                    // whom both editions can advise
  std::vector<Changed> changed;                                // in the file's order
  std::vector<std::pair<std::string, std::size_t>> by_answer;  // how many of them, by what changes
  // Columns that neither edition asks: "club", "wieght (perhaps weight is meant)".
  std::vector<std::string> passed_over;
  // Whom an edition can't advise, and why: "line 17: age is 3 years, but …".
  std::vector<std::string> outside;
};

// Someone with details left blank counts as changed where the answers still possible are others. Cost: some
// microseconds a person.
[[nodiscard]] PeopleLines compare_people(const Engine& earlier, const Engine& later,
                                         const compiler::Difference& difference, const People& people);

}  // namespace lacestay::runtime
