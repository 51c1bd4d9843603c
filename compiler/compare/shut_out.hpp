// Players that cannot be under one edition alone: who is shut out by a line, or let in where it is gone. Whatever else
// is compared is compared among those who can be under both.
#pragma once

#include <vector>

#include "compiler/compare/difference.hpp"

namespace lacestay::compiler {

// Of one edition: the players that each of its lines shuts out and no line of the other does. Lines without such a
// player are passed over. `own` and `others` are boxes over `space`, without empty cells. Cost: bounded by the budget;
// what runs past it is said not to be settled.
[[nodiscard]] std::vector<ShutOutAlone> shut_out_alone(const Policy& space, const std::vector<ShutOut>& own,
                                                       const std::vector<ShutOut>& others,
                                                       const DifferenceBudget& budget);

}  // namespace lacestay::compiler
