// What every page of the program is held to.
#pragma once

#include <set>
#include <string>

namespace lacestay::tests {

enum class Drawings { none, may_be };  // elements of a drawing (SVG) may close themselves, no others

// Every tag closed in its order, every heading of a table with its scope; the names of those seen. Fails the test case.
std::multiset<std::string> well_formed(const std::string& page, Drawings drawings = Drawings::none);

}  // namespace lacestay::tests
