// Monotonicity: how a worked-out detail moves as one of the asked details it rests on rises, the others held.
#pragma once

#include <cstdint>
#include <vector>

#include "compiler/tables/tables.hpp"

namespace lacestay::compiler {

// `level`: it does not move at all. `unknown`: it may rise and fall, or could not be told.
enum class Trend : std::uint8_t { level, rising, falling, unknown };

// By worked-out detail, then by asked detail. Derived step by step from the signs of the operands' bounds, so `rising`
// and `falling` are certain (not strictly: it may stand still for a while).
[[nodiscard]] std::vector<std::vector<Trend>> trends(const Tables& tables);

}  // namespace lacestay::compiler
