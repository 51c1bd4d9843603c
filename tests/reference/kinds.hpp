// What kind of number a detail is and the units it is shown in, by the letter of the law: a number times a unit is that
// unit, a sum is of what it begins with, and what is rounded is in the unit it is rounded to.
#pragma once

#include <set>
#include <string>

#include "tests/reference/prepared.hpp"

namespace lacestay::naive {

struct Kind {
  Dimension dimension = Dimension::number;
  std::set<std::string> units;  // "in"; "st" and "lb"; "GBP"; none of a plain number
};

// Of an amount's unit, as answers spell it; empty where it has none.
[[nodiscard]] std::string unit_word(const grammar::Amount& amount);
// Of a detail that is a number, not a day and not one of several members.
[[nodiscard]] Kind kind_of(const Policy& policy, std::size_t detail);

}  // namespace lacestay::naive
