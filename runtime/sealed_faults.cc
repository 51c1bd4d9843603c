#include "runtime/sealed_faults.hpp"

namespace lacestay::runtime {
std::optional<std::string> sealed_fault(const compiler::Policy&) { return std::nullopt; }
}  // namespace lacestay::runtime
