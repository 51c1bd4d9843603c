// Where the checkout, the program and the fetched data sets are.
#pragma once

#include <string>

namespace lacestay::tests {

[[nodiscard]] std::string in_checkout(const std::string& path);  // a path from the top of the checkout
[[nodiscard]] std::string in_policies(const std::string& path);  // a path from policies/
[[nodiscard]] std::string program();                             // the lacestay that was built
[[nodiscard]] std::string oracle(const std::string& name);       // a data set by its file's name; it may be missing

}  // namespace lacestay::tests
