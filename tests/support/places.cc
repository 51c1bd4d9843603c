#include "tests/support/places.hpp"

namespace lacestay::tests {

std::string in_checkout(const std::string& path) { return std::string(LACESTAY_ROOT) + "/" + path; }
std::string in_policies(const std::string& path) { return in_checkout("policies/" + path); }
std::string program() { return LACESTAY_PROGRAM; }
std::string oracle(const std::string& name) { return std::string(LACESTAY_ORACLES) + "/" + name; }

}  // namespace lacestay::tests
