#include "tests/support/well_formed.hpp"

#include <catch2/catch.hpp>
#include <vector>

namespace lacestay::tests {

std::multiset<std::string> well_formed(const std::string& page, Drawings drawings) {
  static const std::set<std::string> never_closed = {"meta", "br", "!DOCTYPE"};
  std::multiset<std::string> seen;
  std::vector<std::string> open;
  for (auto at = page.find('<'); at != std::string::npos; at = page.find('<', at + 1)) {
    const auto end = page.find('>', at);
    REQUIRE(end != std::string::npos);
    const auto tag = page.substr(at + 1, end - at - 1);
    if (tag[0] == '/') {
      REQUIRE_FALSE(open.empty());
      REQUIRE(tag.substr(1) == open.back());
      open.pop_back();
      continue;
    }
    const bool closes_itself = tag.back() == '/';
    if (drawings == Drawings::none) REQUIRE_FALSE(closes_itself);
    const auto name = tag.substr(0, tag.find_first_of(" /"));
    seen.insert(name);
    if (!closes_itself && never_closed.count(name) == 0) open.push_back(name);
    if (name == "th") CHECK(tag.find("scope=\"") != std::string::npos);
  }
  CHECK(open.empty());
  return seen;
}

}  // namespace lacestay::tests
